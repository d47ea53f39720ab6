"""What stops a program until it was asked about: a fall, a broken bone, a sign, a new illness."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from patients.facts import codes
from patients.facts.declared import Facts, Falls, Fracture
from patients.facts.in_words import day_text
from programs.review.adherence import Session
from programs.review.facts_from_log import FALLS, FRACTURES, SYMPTOMS, was_asked

#: Kinds of event, by their codes in proposal/1.
FALL, FRACTURE, RED_FLAG, CONDITION = "fall", "fracture", "red_flag", "condition"
WORDS = {
    FALL: "A fall",
    FRACTURE: "Broken bone",
    RED_FLAG: "Warning sign",
    CONDITION: "New illness",
}
#: Where each is asked about; a condition stops nothing by itself (row 26c).
SECTIONS = {FALL: FALLS, FRACTURE: FRACTURES, RED_FLAG: SYMPTOMS}
LOG, FACTS = "log", "facts"


@dataclass(frozen=True, kw_only=True)
class Event:
    """Something that happened, or was found, since the last review or the signature.

    on         the day; of an illness or a sign without its own, the day of the facts
    what       its kind
    source     log or facts
    known_on   from when on it was known; what is in the facts was asked about
    """

    on: dt.date
    what: str
    source: str
    text: str
    known_on: dt.date

    def open(self, asked: Mapping[str, dt.date]) -> str | None:
        """Return the section that was not asked anew since; None where it was."""
        section = SECTIONS.get(self.what)
        if section is None or self.source == FACTS or was_asked(section, self.known_on, asked):
            return None
        return section


def logged_events(entries: Iterable[Session]) -> tuple[Event, ...]:
    """Return the falls, broken bones and warning signs that were logged, each once."""
    # One fall may be ticked in every row of its day.
    return tuple(dict.fromkeys(event for one in entries for event in _of_entry(one)))


def _of_entry(one: Session) -> Iterator[Event]:
    told = ((FALL, one.note if one.fell else ""), (FRACTURE, one.broke), (RED_FLAG, one.red_flag))
    for what, words in told:
        if words or (what == FALL and one.fell):
            text = f"{WORDS[what]}: {words}" if words else f"{WORDS[what]}."
            yield Event(on=one.on, what=what, source=LOG, text=text, known_on=one.known_on)


def new_facts(signed: Facts, today: Facts, logged: Sequence[Event] = ()) -> tuple[Event, ...]:
    """Return what was recorded since the signature, whatever its date (row 26c).

    signed   the facts that were signed upon; logged: falls that are told already
    """
    return (
        *_falls(signed, today, logged),
        *(
            _fact(today, FRACTURE, codes.FRACTURE_SITES[one.site], one.date)
            for one in _new_fractures(signed, today)
        ),
        *(
            _fact(today, RED_FLAG, label)
            for code, label in codes.SYMPTOMS.items()
            if today.symptom(code).answer
        ),
        *_conditions(signed, today),
    )


def _fact(today: Facts, what: str, words: str, on: dt.date | None = None) -> Event:
    text = f"{WORDS[what]}: {words.lower()}."
    day = on or today.as_of
    return Event(on=day, what=what, source=FACTS, text=text, known_on=today.as_of)


def _falls(signed: Facts, today: Facts, logged: Sequence[Event]) -> Iterator[Event]:
    """Yield one event where more falls are told than at the signature and by the log."""
    before, now = ((one.falls or Falls()).last_12_months or 0 for one in (signed, today))
    if now > before + len({one.on for one in logged if one.what == FALL}):
        yield _fact(today, FALL, f"{now} in the last 12 months, {before} when it was signed")


def _new_fractures(signed: Facts, today: Facts) -> list[Fracture]:
    """Return the fractures that were not on record; one that got its date is the same."""
    known = list(signed.fractures or ())
    found = []
    for one in today.fractures or ():
        same = [old for old in known if old.site == one.site and old.date in (one.date, None)]
        if same:
            known.remove(same[0])
        else:
            found.append(one)
    return found


def _conditions(signed: Facts, today: Facts) -> Iterator[Event]:
    for code, label in codes.CONDITIONS.items():
        before, now = signed.condition(code), today.condition(code)
        again = now.on is not None and now.on > (before.on or dt.date.max)
        if now.answer and (not before.answer or again):
            yield _fact(today, CONDITION, label, now.on)
    if today.person.pregnant and not signed.person.pregnant:
        yield _fact(today, CONDITION, "Pregnancy")


def event_words(event: Event) -> str:
    """Return what kind of thing happened, and when: "a fall (2 Mar 2026)"."""
    return f"{WORDS[event.what].lower()} ({day_text(event.on)})"
