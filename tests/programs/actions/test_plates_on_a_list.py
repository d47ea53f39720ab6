"""A plate of the register on a person's own list: as it moves, and as it was measured since."""

from __future__ import annotations

from dataclasses import replace
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.actions.refusals import Refused
from patients.facts.declared_plate import Plate
from patients.models.patient import Patient
from patients.rows_to_facts import facts_of
from programs.actions import plates as actions
from programs.models.plates import ClinicPlate
from tests.programs.registered import DAY, found, registered, who
from tests.programs.rows import patient
from tests.programs.sample_plates import VERTICAL, shown


@pytest.fixture
def row(clinician: User) -> ClinicPlate:
    return registered(clinician)


def test_copying_puts_a_plate_on_her_list(row: ClinicPlate, clinician: User) -> None:
    her, token = patient(clinician), uuid4()
    copy = {"row": row, "patient": her, "as_of": DAY, **who(clinician, token=token)}
    assert actions.copy_to_patient(**copy) == VERTICAL
    assert actions.copy_to_patient(**copy) == VERTICAL
    resources = facts_of(her, DAY).resources
    assert resources is not None
    assert resources.plates == (VERTICAL,)
    with pytest.raises(Refused, match="on the list already"):
        actions.copy_to_patient(**(copy | {"token": uuid4()}))


def test_copying_keeps_the_plates_that_are_there(row: ClinicPlate, clinician: User) -> None:
    her = patient(clinician)
    other = actions.add_plates(plates=[replace(VERTICAL, name="other")], **who(clinician))[0]
    for one in (row, other):
        actions.copy_to_patient(row=one, patient=her, as_of=DAY, **who(clinician))
    resources = facts_of(her, DAY).resources
    assert resources is not None
    assert [plate.name for plate in resources.plates or ()] == ["vertical", "other"]


def test_what_nobody_could_believe_is_not_copied(row: ClinicPlate, clinician: User) -> None:
    actions.add_measurement(row=row, measured=found(mm=30.0), **who(clinician))
    with pytest.raises(Refused, match="look at the measurements"):
        actions.copy_to_patient(row=row, patient=patient(clinician), as_of=DAY, **who(clinician))


def listed(her: Patient) -> tuple[Plate, ...]:
    resources = facts_of(her, DAY).resources
    assert resources is not None
    return resources.plates or ()


def test_a_measured_plate_stands_on_her_list_as_it_moves(row: ClinicPlate, clinician: User) -> None:
    her = patient(clinician)
    actions.add_measurement(row=row, measured=found(hz=31.5, mm=1.2), **who(clinician))
    copied = actions.copy_to_patient(row=row, patient=her, as_of=DAY, **who(clinician))
    assert listed(her) == (copied,)
    assert copied.displacement_mm == shown(1.2, 2.4, 4.8)
    assert copied.panel is not None
    assert copied.panel.displacement_mm == (1.0, 2.0, 4.0)


def test_what_was_measured_anew_is_offered_and_taken_over(
    row: ClinicPlate, clinician: User
) -> None:
    her = patient(clinician)
    other = actions.add_plates(plates=[replace(VERTICAL, name="other")], **who(clinician))[0]
    for one in (row, other):
        actions.copy_to_patient(row=one, patient=her, as_of=DAY, **who(clinician))
    mine, another = listed(her)
    assert actions.renewed(mine, row, None) is None
    actions.add_measurement(row=row, measured=found(mm=1.3), **who(clinician))
    now = actions.renewed(mine, row, None)
    assert now is not None
    assert actions.renewed(another, row, None) is None
    assert actions.renewed(replace(mine, motion="side_alternating"), row, None) is None
    actions.copy_to_patient(row=row, patient=her, as_of=DAY, renew=True, **who(clinician))
    # It keeps its place on the list, by which one of equal plates is chosen.
    assert listed(her) == (now, another)
