"""A program signed under an older rulebook held against today's: each thing that it tells above it.

The words are for a clinician. Weeks behind her do not count; a program past its last week goes on
at the dose of that week.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import asdict, dataclass
from typing import Any

from programs.dose.limit import DRAFT_WEEKS
from programs.draft.draft import Draft
from programs.draft.resume import FRAGILE_CAP, FROM_THE_START, Resume
from programs.draft.standings import weeks_named
from programs.review.above_today import Above, Today
from programs.signed.program import SignedProgram
from programs.signed.term import WEEKS_AFTER
from programs.week.week import Week, part_of
from safety.findings import ALL, Level, Modality
from safety.modalities import about_words
from safety.screen import Status

DAYS_A_WEEK = 7
IN_FORCE_WEEKS = DRAFT_WEEKS + WEEKS_AFTER


@dataclass(frozen=True, kw_only=True)
class Difference:
    """One thing that a signed program tells above what today's rulebook allows.

    modality   a modality, or "all"
    weeks      of the program, those still to come in which it is told; () where it is no matter
               of weeks
    """

    modality: str
    what: str
    told: str
    allowed: str
    weeks: tuple[int, ...]

    @property
    def words(self) -> str:
        """Return it as a sentence."""
        when = f", {weeks_named(self.weeks)}" if self.weeks else ""
        about = about_words(self.modality)
        allowed = self.allowed.rstrip(".")
        return f"{about}{when}: {self.what}. Told: {self.told}. Allowed today: {allowed}."


def differences(
    program: SignedProgram, made: Draft, week: int, resume: Resume = FROM_THE_START
) -> tuple[Difference, ...]:
    """Return what the weeks still to come tell above what is allowed; nothing where nothing is.

    made     today's draft of her facts, with what stays lifted (see still_lifted)
    week     of the program, today; 0 or less before it begins
    resume   where the program took up itself
    """
    ahead = still_to_come(program.weeks, week)
    found = list(_blocked(made, ahead))
    today = Today(made, resume)
    for modality in Modality:
        found += _of_modality(program, today, modality, ahead)
    return tuple(found)


def still_to_come(weeks: tuple[Week, ...], week: int) -> tuple[Week, ...]:
    """Return the weeks from this one on; past the last one, that one."""
    ahead = tuple(one for one in weeks if one.week >= week)
    return ahead or weeks[-1:]


def week_on(starts_on: dt.date, day: dt.date) -> int:
    """Return the week of a program on a day, from 1; 0 or less before it begins."""
    return (day - starts_on).days // DAYS_A_WEEK + 1


def still_lifted(resume: Resume) -> Resume:
    """Return what a review has lifted and today's rulebook still lets one lift in that way.

    The cap of the fragile is lifted step by step now (row 14), never whole as it once was.
    """
    return Resume(lifted=resume.lifted - {FRAGILE_CAP})


def _blocked(made: Draft, ahead: Iterable[Week]) -> Iterator[Difference]:
    if made.screen.blocked:
        yield Difference(
            modality=ALL,
            what="nothing may be issued",
            told="a program to go on with",
            allowed=_none(f.text for f in made.screen.blocked),
            weeks=tuple(week.week for week in ahead),
        )


def _of_modality(
    program: SignedProgram, today: Today, modality: Modality, ahead: Iterable[Week]
) -> Iterator[Difference]:
    held = [(week.week, part) for week in ahead if (part := part_of(week, modality)) is not None]
    if not held:
        return
    standing = today.made.standings[modality]
    if standing.status is not Status.INCLUDED:
        yield Difference(
            modality=modality,
            what="it is on hold" if standing.status is Status.ON_HOLD else "it is left out",
            told="sessions of it",
            allowed=_why_not(today.made, modality),
            weeks=tuple(week for week, _ in held),
        )
        return
    seen = [(week, above) for week, part in held for above in today.above(week, part)]
    signed = program.standings[modality].until
    if standing.until is not None and (signed is None or signed > standing.until):
        seen += _past_clearance(program, standing.until, [week for week, _ in held])
    yield from _together(modality, seen)


def _why_not(made: Draft, modality: Modality) -> str:
    """Return why a modality is not included: the findings that keep it out, else the plate's."""
    about = made.screen.about(modality)
    held = [f.text for f in about if f.holds or f.level is Level.CONTRAINDICATED]
    # The first tells its rank; what excludes a plate comes next, what holds it last.
    _, *why = made.standings[modality].why
    excluded = made.standings[modality].status is Status.EXCLUDED
    return _none(held or (why[0] if excluded else why[-1],))


def _none(reasons: Iterable[str]) -> str:
    return " ".join(dict.fromkeys(("none of it.", *reasons)))


def _past_clearance(
    program: SignedProgram, until: dt.date, weeks: Iterable[int]
) -> Iterator[tuple[int, Above]]:
    """Yield the weeks that run past the last day of the clearance they need (row 22b).

    Where the paper ends with it already, it says so itself.
    """
    for week in weeks:
        last_day = program.starts_on + dt.timedelta(days=DAYS_A_WEEK * week - 1)
        if last_day > until:
            allowed = f"only until {until:%-d %B %Y}, the last day of its clearance"
            yield week, Above(what="a clearance ends", told="sessions after it", allowed=allowed)


def _together(modality: Modality, seen: Iterable[tuple[int, Above]]) -> Iterator[Difference]:
    """Yield the same thing of several weeks once, told as in the week that is furthest above."""
    alike: dict[tuple[str, str], list[tuple[int, Above]]] = {}
    for week, above in seen:
        alike.setdefault((above.what, above.allowed), []).append((week, above))
    for (what, allowed), held in alike.items():
        furthest = max(above.by for _, above in held)
        told = dict.fromkeys(above.told for _, above in held if above.by == furthest)
        yield Difference(
            modality=modality,
            what=what,
            told=", ".join(told),
            allowed=allowed,
            weeks=tuple(sorted({week for week, _ in held})),
        )


def unreadable(why: str) -> Difference:
    """Return the difference of a program that could not be held against anything."""
    return Difference(
        modality=ALL,
        what="it cannot be held against today’s rulebook",
        told="what nobody has looked at",
        allowed=why,
        weeks=(),
    )


def written(found: Iterable[Difference]) -> list[dict[str, Any]]:
    """Return differences as they are kept."""
    return [{**asdict(one), "weeks": list(one.weeks)} for one in found]


def read(kept: Iterable[Mapping[str, Any]]) -> tuple[Difference, ...]:
    """Return kept differences."""
    return tuple(Difference(**{**one, "weeks": tuple(one["weeks"])}) for one in kept)
