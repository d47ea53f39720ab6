"""The screen by cause: an illness, a fracture or a test once, with what it does to each kind."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from safety.findings import ALL, Finding, Level, Modality
from safety.modalities import MODALITIES
from safety.rules.rule import Rule
from safety.screen import Screen
from safety.screen_page import BY_CODE, asks_for, once
from safety.words import LEVEL_WORDS, limits_words, sections_read

#: What a rule's code ends in where it is one more rule of the same cause.
_ENDS = (
    *(".refer", ".recent", ".older", ".date", ".alone"),
    *(".not_cleared", ".not_tested", ".not_united"),
)
#: Causes that are one to a reader, though their rules are called otherwise.
_ONE_WITH = {
    "red_flag.blackout": "blackout",
    "several_fractures": "fragile_spine",
    "pressure": "pressure.over_180_110",
}


@dataclass(frozen=True, kw_only=True)
class Asked:
    """A clearance that a cause asks for: of what, beside which rule, and for which kinds."""

    subject: str
    rule: str
    modalities: tuple[Modality, ...]


@dataclass(frozen=True, kw_only=True)
class Cause:
    """All findings of one cause, the most serious first."""

    code: str
    findings: tuple[Finding, ...]

    @property
    def first(self) -> Finding:
        """Return the most serious of them."""
        return self.findings[0]

    @property
    def level_words(self) -> str:
        """Return the level of the most serious in words; all cleared says so."""
        return "Cleared" if self.first.cleared else LEVEL_WORDS[self.first.level]

    @property
    def level_class(self) -> str:
        """Return the ending of its CSS class."""
        return "fine" if self.first.cleared else str(self.first.level)

    @property
    def title(self) -> str:
        """Return what it is called: the head of its first reason."""
        telling = [f for f in self._told if f.level is not Level.REFER]
        return _heading(telling[0]) if telling else _referral(self._told[0])

    @property
    def does(self) -> str:
        """Return what it does to which kinds: "holds vibration plate, limits impact"."""
        kinds: dict[str, list[Modality]] = {}
        for f in self.findings:
            if f.about != ALL and f.level is not Level.REFER:
                kinds.setdefault(_verb(f), []).append(Modality(f.about))
        return "; ".join(
            f"{verb} {_names([m for m in Modality if m in held])}" for verb, held in kinds.items()
        )

    @property
    def says(self) -> tuple[str, ...]:
        """Return what is said of it, each sentence once; what is of one kind alone names it."""
        told = [f for f in self._told if f.level is not Level.REFER]
        ours = (words for f in told for words in _sentences(f, self.title))
        # Where a referral is all there is, the title has said it.
        referred = (f.text for f in self._told if told and f.level is Level.REFER)
        return once(_sentence(words) for words in (*ours, *referred))

    @property
    def _told(self) -> list[Finding]:
        return [f for f in self.findings if not only_asks(f)]

    @property
    def facts(self) -> tuple[str, ...]:
        """Return what is on record that set it off; what the title says is not said again."""
        told = once(words for f in self.findings for words in f.facts)
        return tuple(words for words in told if words != f"{self.title}: yes")

    @property
    def missing(self) -> tuple[str, ...]:
        """Return what is not recorded of it."""
        return once(words for f in self.findings for words in f.missing)

    @property
    def sections(self) -> tuple[str, ...]:
        """Return where what is missing is asked for."""
        return once(code for f in self.findings if f.missing for code in sections_read(_rule(f)))

    @property
    def asks(self) -> tuple[Asked, ...]:
        """Return the clearances that would lift it, one for each subject."""
        return _asked(self.findings)

    @property
    def sources(self) -> tuple[str, ...]:
        """Return the sources, each once."""
        return once(source for f in self.findings for source in f.sources)

    @property
    def evidence(self) -> tuple[str, ...]:
        """Return what the sources found, each once."""
        return once(_rule(f).evidence for f in self.findings)

    @property
    def would_change(self) -> tuple[str, ...]:
        """Return what would change it, each once."""
        return once(_would_change(f) for f in self.findings)

    @property
    def rules(self) -> tuple[str, ...]:
        """Return the codes of its rules."""
        return tuple(f.rule for f in self.findings)


@dataclass(frozen=True, kw_only=True)
class Open:
    """Answers that are not recorded and have one consequence, in one line.

    held, dosed   the kinds that wait for them, and those dosed with care until then
    conditions    names of conditions nobody asked about; other: everything else in words
    """

    held: tuple[Modality, ...]
    dosed: tuple[Modality, ...]
    conditions: tuple[str, ...]
    other: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def consequence(self) -> str:
        """Return what follows while nobody has answered."""
        told = []
        if self.held:
            told.append(f"On hold until answered: {_names(self.held)}")
        if self.dosed:
            told.append(f"Dosed with care until answered: {_names(self.dosed)}")
        return ". ".join(told) or "Asked for"

    @property
    def sections(self) -> tuple[str, ...]:
        """Return where it is asked for."""
        return once(code for f in self.findings for code in sections_read(_rule(f)))

    @property
    def sources(self) -> tuple[str, ...]:
        """Return the sources, each once."""
        return once(source for f in self.findings for source in f.sources)


def causes(seen: Screen) -> tuple[Cause, ...]:
    """Return what facts set off, by cause; what stops first stands first.

    What blocks everything stands at the top of the page, what only asks in `open_answers`.
    """
    grouped = _by_code(f for f in seen.findings if not f.blocks)
    told = {
        code: found
        for code, found in grouped.items()
        if any(not only_asks(finding) for finding in found)
    }
    return tuple(Cause(code=code, findings=tuple(found)) for code, found in told.items())


def asked(seen: Screen) -> tuple[Asked, ...]:
    """Return every clearance that is asked for, that of what blocks everything first."""
    return (*_asked(seen.blocked), *(one for cause in causes(seen) for one in cause.asks))


def _asked(found: Iterable[Finding]) -> tuple[Asked, ...]:
    by_subject: dict[str, list[Finding]] = {}
    for f in found:
        if subject := asks_for(f):
            by_subject.setdefault(subject, []).append(f)
    return tuple(
        Asked(
            subject=subject,
            rule=same[0].rule,
            modalities=tuple(m for m in Modality if any(m in f.modalities for f in same)),
        )
        for subject, same in by_subject.items()
    )


def open_answers(seen: Screen) -> tuple[Open, ...]:
    """Return what is not recorded, each answer in one line only: what holds most stands first."""
    told = {id(f) for cause in causes(seen) for f in cause.findings}
    asking = [f for f in seen.findings if not f.blocks and id(f) not in told]
    by_word: dict[str, list[Finding]] = {}
    for f in asking:
        for word in f.missing:
            by_word.setdefault(word, []).append(f)
    lines: dict[tuple[tuple[Modality, ...], ...], list[str]] = {}
    for word, found in by_word.items():
        held = _kinds(f for f in found if f.holds)
        lines.setdefault((held, () if held else _dosed(found)), []).append(word)
    ordered = sorted(lines.items(), key=lambda line: [-len(kinds) for kinds in line[0]])
    return tuple(_open(held, words, by_word) for (held, _), words in ordered)


def _dosed(found: Iterable[Finding]) -> tuple[Modality, ...]:
    return _kinds(f for f in found if not f.holds and limits_words(f.limits))


def _open(
    held: tuple[Modality, ...], words: Sequence[str], by_word: Mapping[str, Sequence[Finding]]
) -> Open:
    found = {id(f): f for word in words for f in by_word[word]}.values()
    conditions = tuple(w for w in words if all(_of_condition(f) for f in by_word[w]))
    dosed = _dosed(found)
    return Open(
        held=held,
        dosed=tuple(m for m in dosed if m not in held),
        conditions=conditions,
        other=tuple(w for w in words if w not in conditions),
        findings=tuple(found),
    )


def _kinds(found: Iterable[Finding]) -> tuple[Modality, ...]:
    held = {m for f in found for m in f.modalities}
    return tuple(m for m in Modality if m in held)


def _by_code(found: Iterable[Finding]) -> dict[str, list[Finding]]:
    grouped: dict[str, list[Finding]] = {}
    for f in found:
        grouped.setdefault(cause_of(_rule(f)), []).append(f)
    return grouped


def cause_of(rule: Rule) -> str:
    """Return the cause that a rule speaks of; its code says which."""
    stem = rule.code.removesuffix(f".{rule.applies_to}")
    for end in _ENDS:
        stem = stem.removesuffix(end)
    return _ONE_WITH.get(stem, stem)


def only_asks(finding: Finding) -> bool:
    """Tell a finding that only asks from one that a fact set off."""
    reason = _rule(finding).reason
    return finding.level is Level.MISSING and not (reason and finding.text.startswith(reason))


def _rule(finding: Finding) -> Rule:
    return BY_CODE[finding.rule]


def _of_condition(finding: Finding) -> bool:
    """Tell whether it only asks if a condition is there, and nothing further."""
    reads = _rule(finding).reads
    return len(reads) == 1 and reads[0].startswith("conditions.") and reads[0].count(".") == 1


def _verb(finding: Finding) -> str:
    if finding.cleared:
        return "cleared for"
    if finding.level is Level.CONTRAINDICATED:
        return "bars"
    if finding.holds:
        return "holds"
    return "limits" if finding.level is Level.PRECAUTION else "asks about"


def _would_change(finding: Finding) -> str:
    if asks_for(finding):
        return "A clearance lifts it for as long as the clearance lasts."
    if finding.cleared:
        return "It holds again when the clearance ends."
    if _rule(finding).review_lifts:
        return "A review with no trouble can lift it."
    return "It stands as long as the facts do. Correct them if they are wrong."


# --- In words -----------------------------------------------------------------------------


def _heading(finding: Finding) -> str:
    return _pieces(finding)[0]


def _pieces(finding: Finding) -> list[str]:
    """Return the head of a finding's reason and its sentences, without their full stops."""
    reason = _rule(finding).reason
    head, *sentences = reason.rstrip(".").split(". ")
    head, colon, rest = head.partition(": ")
    given = finding.text.removeprefix(reason).strip().rstrip(".")
    return [head, *([rest] if colon else []), *sentences, *([given] if given else [])]


def _sentences(finding: Finding, title: str) -> list[str]:
    """Return what a finding says after the title; a fragment begins with the kind it is of."""
    head, *rest = _pieces(finding)
    name = "" if finding.about == ALL else f"{MODALITIES[Modality(finding.about)].name}: "
    said = [f"{name}{words}" if words[0].islower() else words for words in rest]
    return said if head == title else [head, *said]


def _referral(finding: Finding) -> str:
    words = finding.text.removeprefix("Refer: ").rstrip(".")
    return words[:1].upper() + words[1:]


def _sentence(words: str) -> str:
    words = words if words.endswith(".") else f"{words}."
    return words[:1].upper() + words[1:]


def _and(names: Sequence[str]) -> str:
    return " and ".join((", ".join(names[:-1]), names[-1])) if names[1:] else names[0]


def _names(kinds: Sequence[Modality]) -> str:
    return _and([MODALITIES[m].name.lower() for m in kinds])
