"""The followup/1 document: a program in force, its log, and what is known today, read strictly."""

from __future__ import annotations

import datetime as dt
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

from patients.facts.declared import Facts
from patients.facts.document import EARLIEST, LATEST, Problem, read, read_part
from patients.facts.question import Kind, ask, yes_no
from programs.draft.resume import CAP_STEPS, Resume
from programs.log.day import DONE, EFFORT, KG, PAIN
from programs.review.adherence import LiftedSet, Planned, Session
from programs.review.grounds import planned_effort
from programs.review.ledger import InForce
from programs.review.proposal import Reading
from programs.week.week import PlateWeek
from safety.findings import Modality

FORMAT = "followup/1"
_MODALITIES = {str(m): str(m) for m in Modality}
_DONE = {code: code for code in DONE.keys.values()}
_AS_PLANNED = "as_planned"
#: No program, with all that went before it, has as many places.
MOST_PLACES = 1000
#: Sections of the facts that an event may leave to be asked anew, and the others.
_SECTIONS = tuple(Facts.__dataclass_fields__)


@dataclass(frozen=True, kw_only=True)
class _Set:
    lift: str = ask("Lift", Kind.TEXT, required=True)
    kg: float | None = ask("Load", Kind.NUMBER, low=KG.low, high=KG.high)
    reps: int | None = ask("Repetitions", Kind.INTEGER, low=0, high=200)
    left: int | None = ask("Repetitions left", Kind.INTEGER, low=0, high=100)


@dataclass(frozen=True, kw_only=True)
class _Entry:
    on: dt.date = ask("Day", Kind.DATE, required=True, future=True)
    modality: str = ask("Modality", Kind.CHOICE, choices=_MODALITIES, required=True)
    done: str = ask("Done", Kind.CHOICE, choices=_DONE, required=True)
    effort: int | None = ask("Effort", Kind.INTEGER, low=EFFORT.low, high=EFFORT.high)
    pain: int | None = ask("Pain", Kind.INTEGER, low=PAIN.low, high=PAIN.high)
    pain_settled: bool | None = yes_no("Pain settled in 24 hours")
    fell: bool | None = yes_no("Fell")
    near_fall: bool | None = yes_no("Nearly fell")
    ill: bool | None = yes_no("Ill")
    red_flag: str | None = ask("Warning sign", Kind.TEXT)
    broke: str | None = ask("Broken bone", Kind.TEXT)
    watched: bool | None = yes_no("Watched")
    plate: str | None = ask("Plate", Kind.TEXT)
    note: str | None = ask("Note", Kind.TEXT)
    sets: tuple[_Set, ...] | None = ask("Sets", Kind.LIST, of=_Set)
    entered_on: dt.date | None = ask("Entered on", Kind.DATE, future=True)

    def session(self) -> Session:
        """Return it as the review reads it."""
        told: dict[str, Any] = {name: held for name, held in vars(self).items() if held is not None}
        sets = tuple(LiftedSet(**vars(one)) for one in self.sets or ())
        return Session(**told | {"modality": Modality(self.modality), "sets": sets})


@dataclass(frozen=True, kw_only=True)
class _Days:
    as_of: dt.date = ask("Day of the review", Kind.DATE, required=True)
    episode_starts_on: dt.date | None = ask("Start of the episode", Kind.DATE)
    last_review_on: dt.date | None = ask("Last review", Kind.DATE)
    log: tuple[_Entry, ...] | None = ask("Log", Kind.LIST, of=_Entry)


@dataclass(frozen=True, kw_only=True)
class _SignedDays:
    signed_on: dt.date = ask("Signed on", Kind.DATE, required=True)
    starts_on: dt.date = ask("First day of week 1", Kind.DATE, required=True)


@dataclass(frozen=True, kw_only=True)
class FollowUp:
    """A document that was read: the program in force, its log, and what the review reads."""

    held: InForce
    log: tuple[Session, ...]
    reading: Reading


_KEYS = {"format", "as_of", "facts", "signed", "episode_starts_on", "last_review_on", "log"}
_KEYS |= {"adherent", "wants"}
_SIGNED_KEYS = {"facts", "signed_on", "starts_on", "resume", "lifted", "plate_cap_g"}


def read_followup(document: object) -> FollowUp | tuple[Problem, ...]:
    """Return what a followup/1 document holds, or all that is wrong with it."""
    if not isinstance(document, Mapping):
        return (Problem(at="", text="Not a follow-up document: an object is expected."),)
    found = _Found(document)
    return tuple(found.problems) if found.problems else found.followup()


class _Found:
    """The parts of a document as far as they could be read, and what is wrong."""

    def __init__(self, document: Mapping[Any, Any]) -> None:
        self.problems: list[Problem] = []
        if document.get("format") != FORMAT:
            self.refuse("format", f"The format must be {FORMAT}.")
        self.unknown(document, _KEYS, "")
        self.days = self.part(_Days, document, "")
        self.facts = self.read_facts(document.get("facts"), "facts")
        signed = self.group(document.get("signed"), "signed", _SIGNED_KEYS, required=True)
        self.signed_facts = self.read_facts(signed.get("facts"), "signed.facts")
        self.signed_days = self.part(_SignedDays, signed, "signed")
        self.resume = self.read_resume(signed)
        held = self.group(document.get("adherent"), "adherent", set(_MODALITIES))
        self.adherent = [_Adherent.of(Modality(name), value, self) for name, value in held.items()]
        self.caps = self.read_wants(document.get("wants"))
        self.check_order()

    def refuse(self, at: str, text: str) -> None:
        self.problems.append(Problem(at=at, text=text))

    def unknown(self, given: Mapping[Any, Any], known: set[str], at: str) -> None:
        for key in given:
            if key not in known:
                self.refuse(f"{at}{key}", "This is not a known entry.")

    def group(
        self, value: object, at: str, known: set[str], *, required: bool = False
    ) -> Mapping[str, Any]:
        if value is None and not required:
            return {}
        if not isinstance(value, Mapping):
            self.refuse(at, "This is needed." if value is None else "An object is expected here.")
            return {}
        self.unknown(value, known, f"{at}.")
        return {key: held for key, held in value.items() if key in known}

    def part(self, of: type[Any], given: Mapping[str, Any], at: str) -> Any:
        """Read the entries of a declared part; None where they could not be read."""
        held = {key: given[key] for key in of.__dataclass_fields__ if key in given}
        found = read_part(of, held, at, LATEST, EARLIEST)
        if isinstance(found, tuple):
            self.problems += found
            return None
        return found

    def read_facts(self, value: object, at: str) -> Facts | None:
        found = read(value)
        if isinstance(found, Facts):
            return found
        self.problems += [replace(one, at=f"{at}.{one.at}".rstrip(".")) for one in found]
        return None

    def read_resume(self, signed: Mapping[str, Any]) -> Resume:
        places = self.group(signed.get("resume"), "signed.resume", set(_MODALITIES))
        for name, place in places.items():
            if not _is_whole(place) or not 0 <= place <= MOST_PLACES:
                self.refuse(f"signed.resume.{name}", "A whole number of places is expected.")
        lifted = signed.get("lifted") or []
        if not isinstance(lifted, list) or not all(isinstance(one, str) for one in lifted):
            self.refuse("signed.lifted", "A list of the codes of rules is expected.")
            lifted = []
        done = {name: place for name, place in places.items() if _is_whole(place)}
        return Resume(
            half_weeks=self.weeks_before() if any(done.values()) else 0,
            done_weeks={Modality(name): place for name, place in places.items()},
            lifted=frozenset(lifted),
            plate_cap_g=self.cap(signed, "signed", CAP_STEPS[0]),
        )

    def weeks_before(self) -> int:
        """Return the weeks of the episode before week 1 of the program in force."""
        if self.days is None or self.signed_days is None or not self.days.episode_starts_on:
            return 0
        since: dt.timedelta = self.signed_days.starts_on - self.days.episode_starts_on
        return max(0, since.days // 7)

    def read_wants(self, value: object) -> tuple[float | None, ...]:
        wants = self.group(value, "wants", {"plate_cap_g"})
        return (self.cap(wants, "wants", None),) if "plate_cap_g" in wants else ()

    def cap(self, given: Mapping[str, Any], at: str, absent: float | None) -> float | None:
        value = given.get("plate_cap_g", absent)
        if value is None or (_is_number(value) and value in CAP_STEPS):
            return None if value is None else float(value)
        self.refuse(f"{at}.plate_cap_g", "One of these is expected: 1.0, 1.5, 2.0, null.")
        return absent

    def check_order(self) -> None:
        if self.days is None or self.facts is None or self.signed_days is None:
            return
        day = self.days.as_of
        for at, on in (
            ("facts.as_of", self.facts.as_of),
            ("last_review_on", self.days.last_review_on),
            ("episode_starts_on", self.days.episode_starts_on),
            ("signed.signed_on", self.signed_days.signed_on),
        ):
            if on is not None and on > day:
                self.refuse(at, "This is after the day of the review.")

    def followup(self) -> FollowUp | tuple[Problem, ...]:
        """Return the document; what was signed is drafted anew."""
        assert self.facts is not None
        assert self.signed_facts is not None
        held = InForce.of(
            None,
            self.signed_facts,
            self.resume,
            signed_on=self.signed_days.signed_on,
            starts_on=self.signed_days.starts_on,
        )
        if not held.planned.weeks:
            return (Problem(at="signed.facts", text="From these nothing is drafted."),)
        given = [one.session() for one in self.days.log or ()]
        taken = {(one.on, one.modality) for one in given}
        filled = (one for part in self.adherent for one in part.fill(held.planned))
        reading = Reading(
            day=self.days.as_of,
            facts=self.facts,
            asked=dict.fromkeys(_SECTIONS, self.facts.as_of),
            last_review=self.days.last_review_on,
            episode=self.days.episode_starts_on,
            wanted_caps=self.caps,
        )
        log = (*given, *(one for one in filled if (one.on, one.modality) not in taken))
        return FollowUp(held=held, log=log, reading=reading)


def _is_whole(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool)


def _is_number(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool)


# --- The short form: a log filled evenly ----------------------------------------------------


@dataclass(frozen=True, kw_only=True)
class _Adherent:
    """So much of the planned sessions of some weeks, done without trouble."""

    modality: Modality
    weeks: range
    share: float
    pain: int | None
    effort: int | str | None

    @classmethod
    def of(cls, modality: Modality, value: object, found: _Found) -> _Adherent:
        at = f"adherent.{modality}"
        given = found.group(value, at, {"weeks", "share", "pain", "effort"}, required=True)
        share, pain = given.get("share", 1.0), given.get("pain")
        effort = given.get("effort")
        if not _is_number(share) or not 0 <= share <= 1:
            found.refuse(f"{at}.share", "A share from 0 to 1 is expected.")
        if pain is not None and not _is_ten(pain):
            found.refuse(f"{at}.pain", "A whole number from 0 to 10 is expected.")
        if effort not in (None, _AS_PLANNED) and not _is_ten(effort):
            found.refuse(f"{at}.effort", f"0 to 10 is expected, or {_AS_PLANNED}.")
        weeks = _span(given.get("weeks"))
        if weeks is None:
            found.refuse(f"{at}.weeks", "Weeks are written like 1-6.")
        return cls(
            modality=modality, weeks=weeks or range(0), share=share, pain=pain, effort=effort
        )

    def fill(self, planned: Planned) -> Iterator[Session]:
        """Yield the sessions, spread evenly over those planned."""
        days = [
            (week, on)
            for week in self.weeks
            for on in planned.days(week, self.modality)[: planned.sessions(week, self.modality)]
        ]
        for n, (week, on) in enumerate(days):
            # Of n sessions the whole part of n x share is done.
            if math.floor(round((n + 1) * self.share, 6)) > math.floor(round(n * self.share, 6)):
                yield self._session(planned, week, on)

    def _session(self, planned: Planned, week: int, on: dt.date) -> Session:
        part = planned.dose(week, self.modality)
        effort = planned_effort(part) if self.effort == _AS_PLANNED else self.effort
        assert not isinstance(effort, str)
        plate = part.plate if isinstance(part, PlateWeek) else ""
        return Session(
            on=on,
            modality=self.modality,
            done="all",
            effort=effort,
            pain=self.pain,
            fell=False,
            ill=False,
            plate=plate,
            watched=True if plate else None,
            entered_on=on,
        )


def _is_ten(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= 10


def _span(value: object) -> range | None:
    """Return the weeks of "1-6" or "4"; None where it is neither."""
    told = _SPAN.fullmatch(value) if isinstance(value, str) else None
    return range(int(told[1]), int(told[2] or told[1]) + 1) if told else None


_SPAN = re.compile(r"([1-9][0-9]{0,2})(?:-([1-9][0-9]{0,2}))?")
