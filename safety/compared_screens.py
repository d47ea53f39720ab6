"""Two screens of one person beside each other: what is new, what was cleared, what is no more.

The words are for a clinician.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from enum import IntEnum
from typing import Any

from safety.findings import Finding, Level
from safety.modalities import about_words
from safety.rules.all_rules import RULES
from safety.rules.rule import Unanswered


class Effect(IntEnum):
    """What a finding does to what it is about, the least first."""

    NOTHING = 0
    CLEARED = 1
    ASKED = 2
    CARE = 3
    HELD = 4
    OUT = 5
    STOPPED = 6


_WORDS = {
    Effect.CLEARED: "cleared",
    Effect.ASKED: "to be asked",
    Effect.CARE: "a precaution",
    Effect.HELD: "on hold",
    Effect.OUT: "left out",
}
_HOLDS_UNANSWERED = frozenset(r.code for r in RULES if r.unanswered is Unanswered.HOLD)


@dataclass(frozen=True, kw_only=True)
class Said:
    """What is compared of a finding, of whichever screen it is."""

    rule: str
    about: str
    level: str
    text: str
    cleared: bool
    holds: bool
    blocks: bool

    @property
    def effect(self) -> Effect:
        """Return what it does."""
        if self.cleared:
            return Effect.CLEARED
        if self.blocks:
            return Effect.STOPPED
        if self.level == Level.CONTRAINDICATED:
            return Effect.OUT
        if self.holds:
            return Effect.HELD
        return Effect.ASKED if self.level == Level.MISSING else Effect.CARE


def said(finding: Finding) -> Said:
    """Return what is compared of a finding of today's screen."""
    return Said(
        rule=finding.rule,
        about=str(finding.about),
        level=str(finding.level),
        text=finding.text,
        cleared=finding.cleared,
        holds=finding.holds,
        blocks=finding.blocks,
    )


def as_kept(one: Said) -> dict[str, Any]:
    """Return it as a row keeps it."""
    return asdict(one)


def from_kept(kept: Mapping[str, Any]) -> Said:
    """Return what is compared of a kept finding; more may stand beside it."""
    return Said(**{name: kept[name] for name in Said.__dataclass_fields__})


def as_signed(*, rule: str, about: str, level: str, text: str, cleared: bool) -> Said:
    """Return what is compared of a finding in a signed text, which does not say what it held.

    Nothing that was signed had been stopped. What was not recorded held where its rule of
    today holds: else less is taken, so that a change is told rather than missed.
    """
    asked = level == Level.MISSING
    holds = rule in _HOLDS_UNANSWERED if asked else level == Level.NEEDS_CLEARANCE
    return Said(
        rule=rule,
        about=about,
        level=level,
        text=text,
        cleared=cleared,
        holds=holds and not cleared,
        blocks=False,
    )


@dataclass(frozen=True, kw_only=True)
class Change:
    """One finding that does another thing than before; `text` is that of the newer screen.

    Where it is no more, the text is that of the older one.
    """

    rule: str
    about: str
    text: str
    before: Effect
    after: Effect

    @property
    def is_harder(self) -> bool:
        """Tell whether it asks for more care than before."""
        return self.after > max(self.before, Effect.CLEARED)

    @property
    def words(self) -> str:
        """Return it as a sentence."""
        text = self.text.rstrip(".")
        if self.after is Effect.NOTHING:
            return f"No longer, {about_words(self.about).lower()}: {text}."
        if self.after is Effect.STOPPED:
            return f"Nothing may be issued now: {text}."
        eased = "" if self.is_harder or self.after is Effect.CLEARED else "only "
        return f"Now {eased}{_WORDS[self.after]}, {about_words(self.about).lower()}: {text}."


def compared(before: Iterable[Said], now: Iterable[Said]) -> tuple[Change, ...]:
    """Return what changed from one screen to the next, what asks for most care first.

    Of equals, what is known comes before what nobody asked.
    """
    old, new = ({one.rule: one for one in screen} for screen in (before, now))
    asked = {one.rule for one in new.values() if one.level == Level.MISSING}
    found = [_change(old.get(rule), new.get(rule)) for rule in {**new, **old}]
    changed = [one for one in found if one.before is not one.after]
    return tuple(
        sorted(changed, key=lambda one: (not one.is_harder, -one.after, one.rule in asked))
    )


def _change(old: Said | None, new: Said | None) -> Change:
    shown = new or old
    assert shown is not None
    return Change(
        rule=shown.rule,
        about=shown.about,
        text=shown.text,
        before=old.effect if old else Effect.NOTHING,
        after=new.effect if new else Effect.NOTHING,
    )


def change_as_kept(one: Change) -> dict[str, Any]:
    """Return a change as a row keeps it."""
    return {**asdict(one), "before": int(one.before), "after": int(one.after)}


def change_from_kept(kept: Mapping[str, Any]) -> Change:
    """Return a kept change."""
    return Change(**{**kept, "before": Effect(kept["before"]), "after": Effect(kept["after"])})
