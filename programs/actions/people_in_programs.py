"""Everybody who ever began a program, read for counting: the time in it and what happened."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import Any

from django.utils import timezone

from patients.facts.partial_dates import DAY
from patients.models.patient import FractureRow, FunctionTestDay, ScanRow
from patients.standing import joins_in_force
from programs.actions.as_signed import NotAsSigned, look_at, program_of
from programs.actions.people_counted import counted_people
from programs.actions.sessions import log_as_read
from programs.models.program import SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.outcomes.counted import InProgram, Person, in_program
from programs.review.adherence import Planned

_AT_ONCE = 200


def people_in_programs(day: dt.date) -> list[Person]:
    """Return everybody whose first program began before a day, each once.

    A program that does not verify or cannot be read is left out. So many people are read at
    once that each takes few queries.
    """
    whose = {join.double_id: join.into_id for join in joins_in_force()}
    begun = SignedPlan.objects.filter(plan__starts_on__lt=day).values_list("patient", flat=True)
    mine = {whose.get(pk, pk) for pk in begun.distinct()}
    ids = [pk for pk in counted_people().values_list("pk", flat=True) if pk in mine]
    parts = (ids[first : first + _AT_ONCE] for first in range(0, len(ids), _AT_ONCE))
    return [person for part in parts for person in _read(part, whose, day)]


def _read(ids: Collection[int], whose: Mapping[int, int], day: dt.date) -> Iterator[Person]:
    """Yield these people, each with the programs and the log of her other records.

    What was measured was taken over where it was of her, so it is read of her own record alone.

    whose   of a record that stands under another one, the id of that one
    """
    own = {pk: pk for pk in ids}
    records = own | {pk: of for pk, of in whose.items() if of in own}
    programs, stops = _signed(records), _stops(records)
    log = _of_each(SessionLog, records, "on", "id")
    tests = _of_each(FunctionTestDay, own, "date", "id")
    scans, broken = _of_each(ScanRow, own, "id"), _of_each(FractureRow, own, "id")
    for of in ids:
        held = [one for one in programs.get(of, ()) if one[1].starts_on < day]
        if not held:
            continue
        yield Person(
            day=day,
            programs=tuple(_in_programs(held, stops, day)),
            stopped=held[-1][0] in stops,
            log=tuple(log_as_read(log.get(of, ()))),
            tests=tuple(row.fact() for row in tests.get(of, ())),
            scans=tuple(row.fact() for row in scans.get(of, ())),
            parts=tuple(_part(row) for row in scans.get(of, ())),
            fractures=tuple(
                row.date for row in broken.get(of, ()) if row.date and row.date_is == DAY
            ),
        )


def _in_programs(
    held: Sequence[tuple[int, Planned]], stops: Mapping[int, dt.date], day: dt.date
) -> Iterator[InProgram]:
    """Yield each program with the day from which she was in it no more."""
    followed = [*(planned.starts_on for _, planned in held[1:]), None]
    for (pk, planned), following in zip(held, followed, strict=True):
        yield in_program(planned, day, following, stops.get(pk))


def _signed(records: Mapping[int, int]) -> dict[int, list[tuple[int, Planned]]]:
    """Return of each patient her programs in the order in which they began, with their ids."""
    found: dict[int, list[tuple[int, Planned]]] = {}
    rows = SignedPlan.objects.filter(patient__in=records).select_related("plan", "seal")
    held = list(rows.order_by("plan__starts_on", "version"))
    look_at(held)
    for row in held:
        try:
            planned = Planned.of(program_of(row))
        except NotAsSigned:
            continue
        found.setdefault(records[row.patient_id], []).append((row.pk, planned))
    return found


def _stops(ids: Collection[int]) -> dict[int, dt.date]:
    """Return of each program that was stopped whole the day of the stop."""
    rows = ProgramState.objects.filter(
        signed__patient__in=ids, state=ProgramState.STOPPED, modality=""
    )
    told = rows.values_list("signed", "review__held_on", "at")
    return {pk: held_on or timezone.localdate(at) for pk, held_on, at in told}


def _of_each(kind: Any, records: Mapping[int, int], *order: str) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    rows = kind.objects.filter(patient__in=records, withdrawn_at=None)
    for row in rows.order_by(*order):
        found.setdefault(records[row.patient_id], []).append(row)
    return found


def _part(scan: ScanRow) -> str | None:
    """Return the vertebrae of a scan, or its side."""
    return scan.vertebrae if scan.site == "lumbar_spine" else scan.side
