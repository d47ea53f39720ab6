"""The wallet card: both boxes, who she is, what helpers must know, and whom to call."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from programs.papers.emergency import alarm
from programs.papers.paper_parts import Alarm, Issue, Words, gettext_noop, told
from programs.signed.program import SignedProgram

DO = (
    gettext_noop("Cut along the outer line. Fold along the dotted line, then once across."),
    gettext_noop("Carry it in your wallet, bag or pocket."),
)
#: What changes how an accident is cared for, by its code (common practice).
MATTERS: Mapping[str, str] = {
    "anticoagulant": gettext_noop("blood thinner"),
    "glucocorticoid": gettext_noop("cortisone by mouth (do not stop it at once)"),
    "antiepileptic": gettext_noop("medicine against fits"),
    "opioid": gettext_noop("strong painkiller (opioid)"),
}
BONES = gettext_noop("My bones may break easily.")


@dataclass(frozen=True, kw_only=True)
class WalletCard:
    """What the card says.

    do      how it becomes a card
    facts   for whoever helps her
    """

    title: str
    do: tuple[str, ...]
    alarm: Alarm
    name: str
    born: str
    facts: tuple[str, ...]
    clinic: str


def wallet_card(program: SignedProgram, words: Words, issue: Issue) -> WalletCard:
    """Return what the card says."""
    return WalletCard(
        title=words.gettext("Wallet card"),
        do=told(DO, words),
        alarm=alarm(program, words),
        name=", ".join(part for part in (_name(issue, words), issue.goes_by) if part),
        born=issue.born,
        facts=_facts(program, words, issue),
        clinic=program.clinic.name,
    )


def _name(issue: Issue, words: Words) -> str:
    """Return her name of the day; the older one, which her records bear, beside it."""
    if not issue.called_today:
        return issue.name
    return words.gettext("{now} (before: {name})").format(now=issue.called_today, name=issue.name)


def _facts(program: SignedProgram, words: Words, issue: Issue) -> tuple[str, ...]:
    taken = [words.gettext(name) for code, name in MATTERS.items() if code in program.medicines]
    bones = words.gettext(BONES)
    if not taken:
        return (bones,)
    told_on = words.gettext("I take, as known on {date}: {medicines}.")
    return (bones, told_on.format(date=issue.signed_on, medicines=", ".join(taken)))
