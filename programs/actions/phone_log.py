"""What she writes on her phone, day by day, and what a colleague makes of it.

It stands in a table of its own. No rule, ledger or review reads it before a colleague has taken
it into the log; what does not wait is shown in the caseload at once.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.refusals import Refused
from patients.facts.in_words import day_text
from patients.facts.units import clean_text
from patients.models.patient import Audit, Patient
from programs.actions.log_files import Knows, held_against_log
from programs.actions.log_program import program_of
from programs.actions.phone_codes import named
from programs.actions.sessions import carrier_of, log_sessions
from programs.log.day import Column, all_columns
from programs.log.entries import DayRead, Entry, read_day
from programs.log.file_days import FileDay
from programs.log.told import day_words
from programs.models.phone import PhoneDecision, PhoneEntry, PhoneOpening
from programs.models.program import SignedPlan
from programs.review.grounds import alarming
from programs.review.logged_days import session_of_entry
from safety.findings import Modality

WRITTEN_ANEW = "She rewrote this day."
MEANWHILE = (
    "She rewrote this day in the meantime, or a colleague saw to it. Look at what is on record now."
)
NOT_OF_THE_WEEK = "This day is not one of the week up to today."


@dataclass(frozen=True, kw_only=True)
class Earlier:
    """What she wrote earlier of a day as a whole, and when."""

    at: dt.datetime
    words: str


@dataclass(frozen=True, kw_only=True)
class HerDay:
    """A day that waits for a colleague.

    entry     the newest that she wrote of it
    entries   what that tells, as the log would hold it
    before    what she wrote of it earlier and nobody has decided on, the oldest first
    """

    entry: PhoneEntry
    entries: tuple[Entry, ...]
    before: tuple[PhoneEntry, ...]

    @property
    def lines(self) -> list[str]:
        """Return what she tells, a line for each kind and one for the day."""
        told = [f"{one.kind or 'the day'}: {one.words}" for one in self.entries]
        return told or ["nothing: she emptied it"]

    @property
    def earlier(self) -> list[Earlier]:
        """Return what she wrote before of the day as a whole, where it tells anything."""
        return [Earlier(at=one.at, words="; ".join(day_words(one.told))) for one in self.before]

    @property
    def does_not_wait(self) -> bool:
        """Tell whether any of it does not wait, what she took back included."""
        return any(one.does_not_wait for one in (*self.before, self.entry))


# --- Written ----------------------------------------------------------------------------------


def knows_of(signed: SignedPlan, week: int) -> Knows:
    """Return the kinds, columns and plates of a week of a signed program."""
    program = program_of(signed)
    kinds = program.planned.modalities
    return Knows(
        kinds=kinds, columns=all_columns(kinds, program.lifts(week)), plates=program.plates
    )


def read_texts(knows: Knows, on: dt.date, texts: Mapping[str, str]) -> DayRead:
    """Return what the texts of a day tell, by the names of their columns."""
    return read_day(on, _by_column(knows.columns, texts), knows.plates)


def _by_column(columns: Sequence[Column], texts: Mapping[str, str]) -> dict[Column, str]:
    return {column: texts[column.name] for column in columns if texts.get(column.name)}


def days_of(opening: PhoneOpening, at: dt.datetime) -> list[dt.date]:
    """Return the days of the week shown up to today."""
    first = first_day_of(opening)
    week = (first + dt.timedelta(days=n) for n in range(7))
    return [day for day in week if day <= timezone.localdate(at)]


def first_day_of(opening: PhoneOpening) -> dt.date:
    """Return the first day of the week shown."""
    return program_of(opening.code.signed).planned.first_day(opening.week)


def written_in(opening: PhoneOpening) -> dict[dt.date, PhoneEntry]:
    """Return the newest that she wrote of each day of the week shown, whichever code it was by."""
    first = first_day_of(opening)
    rows = PhoneEntry.objects.filter(
        code__signed=opening.code.signed_id, on__range=(first, first + dt.timedelta(days=6))
    )
    return {row.on: row for row in rows.order_by("pk")}


def write_day(
    *,
    opening: PhoneOpening,
    on: dt.date,
    texts: Mapping[str, str],
    at: dt.datetime,
    token: UUID | None = None,
) -> PhoneEntry | None:
    """Keep what she wrote of a day; returns the row that stands, None where there is none.

    The same again, or the same form again, writes nothing. Raises Refused for a day that is not
    of the week up to today, and for what cannot be read: the page has said so before.
    """
    code = opening.code
    with audit.writing():
        if on not in days_of(opening, at):
            raise Refused(NOT_OF_THE_WEEK)
        knows = knows_of(code.signed, opening.week)
        read = read_texts(knows, on, texts)
        if read.wrong:
            raise Refused(read.wrong[0].text)
        told = dict(_kept(knows, texts))
        newest, line = written_in(opening).get(on), audit.done_before(token)
        sent = _entry_of(line)
        stands = {} if newest is None else newest.told
        if told == stands or (sent is not None and sent.told == told):
            return newest
        row = PhoneEntry(
            code=code, on=on, told=told, does_not_wait=_does_not_wait(read, knows.kinds), at=at
        )
        row.save(force_insert=True)
        audit.record(
            by=None,
            at=at,
            action="write day by phone",
            on=row,
            new=audit.state_of(row),
            token=token if line is None else None,
            named=named(code),
        )
    return row


def _entry_of(line: Audit | None) -> PhoneEntry | None:
    """Return the day that a line of the record tells of; a line of anything else tells of none."""
    if line is None or line.object_type != PhoneEntry._meta.label_lower:
        return None
    return PhoneEntry.objects.get(pk=line.object_id)


def _kept(knows: Knows, texts: Mapping[str, str]) -> Iterable[tuple[str, str]]:
    for column, text in _by_column(knows.columns, texts).items():
        if clean := clean_text(text):
            yield column.name, clean


def _does_not_wait(read: DayRead, kinds: Sequence[Modality]) -> bool:
    carrier = carrier_of(kinds)
    return any(alarming(session_of_entry(one, carrier)) for one in read.entries.values())


# --- Taken, or not ----------------------------------------------------------------------------


def waiting(patient: Patient) -> list[HerDay]:
    """Return the days that she wrote and no colleague has decided on, the oldest first."""
    rows = PhoneEntry.objects.filter(code__signed__patient=patient, decision=None)
    by_day: dict[dt.date, list[PhoneEntry]] = {}
    for row in rows.select_related("code__signed__plan", "code__opening").order_by("on", "pk"):
        by_day.setdefault(row.on, []).append(row)
    return [_her_day(held) for held in by_day.values()]


def _her_day(rows: Sequence[PhoneEntry]) -> HerDay:
    *before, entry = rows
    read = read_texts(_knows_entry(entry), entry.on, entry.told)
    return HerDay(entry=entry, entries=tuple(read.entries.values()), before=tuple(before))


def _knows_entry(entry: PhoneEntry) -> Knows:
    return knows_of(entry.code.signed, entry.code.opening.week)


def take_days(
    *,
    patient: Patient,
    numbers: Sequence[int],
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> int:
    """Take days that she wrote into the log, all or none; returns how many entries were new.

    numbers   of the newest row of each day, as the page showed it
    Raises Refused where a day was written anew meanwhile, and where the log has it otherwise.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return 0
        days = _still_waiting(patient, numbers)
        added = sum(_take(patient, day, by, at) for day in days)
        told = {"days": [day.entry.on for day in days], "added": added}
        audit.record(by=by, at=at, action="take phone days", on=patient, new=told, token=token)
    return added


def leave_day(*, patient: Patient, number: int, reason: str, by: User, at: dt.datetime) -> None:
    """Do not take a day that she wrote, with a reason; it stays as hers. Raises Refused."""
    why = clean_text(reason)[:200]
    if not why:
        raise Refused("Say why this is not taken into the log.")
    with audit.writing():
        (day,) = _still_waiting(patient, [number])
        _decide(day, by, at, taken=False, reason=why)


def _still_waiting(patient: Patient, numbers: Sequence[int]) -> list[HerDay]:
    found = {day.entry.pk: day for day in waiting(patient)}
    if not numbers or any(number not in found for number in numbers):
        raise Refused(MEANWHILE)
    return [found[number] for number in dict.fromkeys(numbers)]


def _take(patient: Patient, day: HerDay, by: User, at: dt.datetime) -> int:
    entry, knows = day.entry, _knows_entry(day.entry)
    texts = _by_column(knows.columns, entry.told)
    file_day = FileDay(where=day_text(entry.on), on=entry.on, texts=texts)
    found = held_against_log(patient, [file_day], [], knows)
    if found.bad:
        raise Refused(f"{day_text(entry.on)}: {' '.join(one.text for one in found.bad)}")
    carrier = carrier_of(knows.kinds)
    sessions = [session_of_entry(one, carrier) for _, one in found.new]
    log_sessions(patient=patient, sessions=sessions, by=by, at=at)
    _decide(day, by, at, taken=True)
    return len(sessions)


def _decide(day: HerDay, by: User, at: dt.datetime, *, taken: bool, reason: str = "") -> None:
    for before in day.before:
        _write_decision(before, False, WRITTEN_ANEW, by, at)
    _write_decision(day.entry, taken, reason, by, at)


def _write_decision(entry: PhoneEntry, taken: bool, reason: str, by: User, at: dt.datetime) -> None:
    row = PhoneDecision(entry=entry, taken=taken, reason=reason, by=by, at=at)
    row.save(force_insert=True)
    action = "take phone entry" if taken else "leave phone entry"
    new = audit.state_of(row)
    audit.record(by=by, at=at, action=action, on=row, new=new, reason=reason)
