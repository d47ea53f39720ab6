"""The register of the clinic's plates, what was measured on them, and copying one to a list."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from typing import Any
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.actions.patient_record import save_section
from patients.actions.refusals import Conflict, Refused
from patients.facts.declared_plate import Plate
from patients.facts.document import read_part, write_part
from patients.facts.sections import SECTIONS, value_at
from patients.models.patient import Patient
from patients.rows_to_facts import newest_assessment
from programs.actions.read_plan import facts_for
from programs.models.plates import ClinicPlate, PlateMeasurement
from programs.plates.measured_motion import (
    KnownPlate,
    Measurement,
    counts,
    for_a_list,
    known_plate,
    problem,
    under_load,
)
from programs.plates.tilting_places import at_foot

# A plate and a measurement hold no date of a patient: any day is within these.
_ANY_DAY = (dt.date.max, dt.date.min)
UNTRUSTED = "No plate moves as far or as fast as was measured on it: look at the measurements."


def plate_of(row: ClinicPlate) -> Plate:
    """Return the plate that a row holds, as its panel says."""
    plate = read_part(Plate, row.plate, "", *_ANY_DAY)
    assert isinstance(plate, Plate)
    return plate


def measurement_of(row: PlateMeasurement) -> Measurement:
    """Return the measurement that a row holds."""
    measured = read_part(Measurement, row.found, "", *_ANY_DAY)
    assert isinstance(measured, Measurement)
    return measured


def known(row: ClinicPlate, weight_kg: float | None = None) -> KnownPlate:
    """Return the plate as it moves under a weight, by the measurements that count."""
    plate = plate_of(row)
    measured = tuple(measurement_of(m) for m in row.measurements.all() if standing(row, m))
    return known_plate(plate, at_foot(plate, under_load(measured, weight_kg)))


def standing(row: ClinicPlate, measured: PlateMeasurement) -> bool:
    """Tell whether a measurement counts: not struck out, and of the time since any repair."""
    return measured.withdrawn_at is None and counts(measurement_of(measured), row.repaired_on)


def add_plates(
    *, plates: Sequence[Plate], by: User, at: dt.datetime, token: UUID | None = None
) -> list[ClinicPlate]:
    """Add plates, all of them or none; nothing where the token was used before.

    Raises Refused for a name that is in use.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return []
        rows = []
        for index, plate in enumerate(plates):
            _refuse_name(plate.name)
            who = {"made_by": by, "made_at": at, "changed_by": by, "changed_at": at}
            row = ClinicPlate.objects.create(name=plate.name, plate=write_part(plate), **who)
            _record(row, "add clinic plate", by, at, token=token if index == 0 else None)
            rows.append(row)
    return rows


def change_plate(
    *,
    row: ClinicPlate,
    plate: Plate,
    version: int,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> ClinicPlate:
    """Change what is known of a plate.

    Raises Conflict where the version is not the newest; Refused for a plate that is retired,
    a name in use, and a setting taken away on which something was measured.
    """
    with audit.writing():
        current = _held(row)
        if audit.done_before(token) is not None:
            return current
        mine = write_part(plate)
        _in_use(current)
        if current.version != version:
            raise Conflict(mine=mine, theirs=current.plate, now=current)
        _refuse_name(plate.name, but=current)
        _refuse_orphans(current, plate)
        old = audit.state_of(current)
        current.name, current.plate = plate.name, mine
        _save(current, by, at)
        _record(current, "change clinic plate", by, at, old=old, token=token)
    return current


def retire_plate(
    *, row: ClinicPlate, version: int, reason: str, by: User, at: dt.datetime
) -> ClinicPlate:
    """Take a plate out of use; it stays readable. Raises Refused without a reason, Conflict."""
    if not reason.strip():
        raise Refused("Say why it is no longer used.")
    with audit.writing():
        current = _held(row)
        if current.retired_at is not None:
            return current
        if current.version != version:
            raise Conflict(mine={}, theirs=current.plate, now=current)
        old = audit.state_of(current)
        current.retired_by, current.retired_at, current.retired_reason = by, at, reason.strip()
        _save(current, by, at)
        _record(current, "retire clinic plate", by, at, old=old, reason=reason.strip())
    return current


def repair_plate(
    *, row: ClinicPlate, on: dt.date | None, version: int, reason: str, by: User, at: dt.datetime
) -> ClinicPlate:
    """Say when a plate was repaired: it has to be measured again, what was before counts no more.

    on  None takes a repair back that was entered in error
    Raises Refused without a reason, for a day to come and for a plate that is retired; Conflict.
    """
    if not reason.strip():
        raise Refused("Say what was repaired.")
    if on is not None and on > timezone.localdate(at):
        raise Refused("A repair cannot lie after today.")
    with audit.writing():
        current = _held(row)
        _in_use(current)
        if current.repaired_on == on:
            return current
        if current.version != version:
            raise Conflict(mine={}, theirs=current.plate, now=current)
        old = audit.state_of(current)
        current.repaired_on = on
        _save(current, by, at)
        _record(current, "repair clinic plate", by, at, old=old, reason=reason.strip())
    return current


def add_measurement(
    *,
    row: ClinicPlate,
    measured: Measurement,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> PlateMeasurement | None:
    """Add a measurement; None where the token was used before.

    Raises Refused where it does not belong to a setting of the plate, or lies after today.
    """
    with audit.writing():
        current = _held(row)
        if audit.done_before(token) is not None:
            return None
        _in_use(current)
        if (wrong := problem(plate_of(current), measured)) is not None:
            raise Refused(wrong[1])
        if measured.on > timezone.localdate(at):
            raise Refused("A measurement cannot lie after today.")
        added = PlateMeasurement.objects.create(
            plate=current, found=write_part(measured), entered_by=by, entered_at=at
        )
        new = audit.state_of(added)
        audit.record(by=by, at=at, action="measure clinic plate", on=added, new=new, token=token)
    return added


def copy_to_patient(
    *,
    row: ClinicPlate,
    patient: Patient,
    as_of: dt.date,
    by: User,
    at: dt.datetime,
    renew: bool = False,
    token: UUID | None = None,
) -> Plate:
    """Put a plate of the clinic on the list of those that a patient can use; return it.

    It stands there as it moves under her weight, where that was measured.
    renew   it takes the place of the one of this name, as the register tells it now
    Raises Refused where she has one of this name otherwise, or what was measured cannot be
    believed, and what patients.actions.patient_record.save_section raises.
    """
    plate = _for_her(row, facts_for(patient, as_of).person.weight_kg)
    if plate is None:
        raise Refused(UNTRUSTED)
    newest = newest_assessment(patient, as_of)
    held = list(value_at(newest.answers, "resources.plates") or ()) if newest else []
    if audit.done_before(token) is not None:
        return plate
    listed = any(one["name"] == plate.name for one in held)
    if listed and not renew:
        raise Refused(f"A plate of this name is on the list already: {plate.name}.")
    mine = write_part(plate)
    after = [mine if one["name"] == plate.name else one for one in held]
    save_section(
        patient=patient,
        section=SECTIONS["plates"],
        answers={"resources": {"plates": after if listed else [*held, mine]}},
        as_of=as_of,
        based_on=newest.pk if newest else None,
        by=by,
        at=at,
        token=token,
    )
    return plate


def renewed(listed: Plate, row: ClinicPlate, weight_kg: float | None) -> Plate | None:
    """Return a plate of a person's list as the register tells it now; None where nothing differs.

    None too for a plate of another name or kind, which is none of the register's.
    """
    if (listed.name, listed.motion) != (row.name, row.plate["motion"]):
        return None
    now = _for_her(row, weight_kg)
    return None if now == listed else now


def _for_her(row: ClinicPlate, weight_kg: float | None) -> Plate | None:
    return for_a_list(known(row, weight_kg))


def _held(row: ClinicPlate) -> ClinicPlate:
    return ClinicPlate.objects.select_for_update().get(pk=row.pk)


def _in_use(row: ClinicPlate) -> None:
    if row.retired_at is not None:
        raise Refused("This plate is retired and is not changed any more.")


def _refuse_name(name: str, but: ClinicPlate | None = None) -> None:
    others = ClinicPlate.objects.filter(name=name, retired_at=None)
    if others.exclude(pk=but.pk if but else 0).exists():
        raise Refused(f"Another plate is called {name}.")


def _refuse_orphans(row: ClinicPlate, plate: Plate) -> None:
    for measured in row.measurements.filter(withdrawn_at=None):
        if (wrong := problem(plate, measurement_of(measured))) is not None:
            on = measurement_of(measured).on.isoformat()
            raise Refused(f"It was measured on {on} at a setting that is not there now. {wrong[1]}")


def _save(row: ClinicPlate, by: User, at: dt.datetime) -> None:
    row.version += 1
    row.changed_by, row.changed_at = by, at
    row.save()


def _record(
    row: ClinicPlate,
    action: str,
    by: User,
    at: dt.datetime,
    *,
    old: Mapping[str, Any] | None = None,
    reason: str = "",
    token: UUID | None = None,
) -> None:
    new = audit.state_of(row)
    audit.record(by=by, at=at, action=action, on=row, old=old, new=new, reason=reason, token=token)
