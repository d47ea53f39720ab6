"""The register of the clinic's plates: its actions, and its pages as a clinician uses them."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.db import DatabaseError, connection, transaction
from django.test import Client
from django.urls import reverse

from patients.actions.refusals import Conflict, Refused
from patients.actions.withdrawing import withdraw
from patients.kept_rows import NeverChanged
from patients.models.patient import Audit
from programs.actions import plates as actions
from programs.models.plates import ClinicPlate, PlateMeasurement
from tests.patients.pages import filled, text_of
from tests.programs.registered import DAY, found, registered, who
from tests.programs.sample_plates import TILTING, VERTICAL, shown


@pytest.fixture
def row(clinician: User) -> ClinicPlate:
    return registered(clinician)


def audited() -> list[str]:
    return list(Audit.objects.order_by("seq").values_list("action", flat=True))


# --- Actions --------------------------------------------------------------------------------


def test_adding_keeps_the_plate_as_it_is(row: ClinicPlate) -> None:
    assert actions.plate_of(row) == VERTICAL
    assert (row.name, row.version) == ("vertical", 1)
    assert audited() == ["add clinic plate"]


def test_adding_several_adds_all_or_none(clinician: User) -> None:
    with pytest.raises(Refused, match="Another plate is called vertical"):
        actions.add_plates(plates=[VERTICAL, VERTICAL], **who(clinician))
    assert ClinicPlate.objects.count() == 0
    assert audited() == []


def test_a_form_sent_twice_adds_once(clinician: User) -> None:
    token = uuid4()
    assert len(actions.add_plates(plates=[VERTICAL], **who(clinician, token=token))) == 1
    assert actions.add_plates(plates=[VERTICAL], **who(clinician, token=token)) == []
    assert ClinicPlate.objects.count() == 1


def test_changing_raises_the_version(row: ClinicPlate, clinician: User) -> None:
    token = uuid4()
    dearer = replace(VERTICAL, price=690.0)
    changed = actions.change_plate(row=row, plate=dearer, version=1, **who(clinician, token=token))
    assert changed.version == 2
    assert actions.plate_of(ClinicPlate.objects.get()).price == 690
    again = actions.change_plate(row=row, plate=VERTICAL, version=1, **who(clinician, token=token))
    assert again.version == 2
    line = Audit.objects.get(action="change clinic plate")
    assert "690" in line.new
    assert "690" not in line.old


def test_a_change_on_an_old_version_is_a_conflict(row: ClinicPlate, clinician: User) -> None:
    actions.change_plate(row=row, plate=VERTICAL, version=1, **who(clinician))
    with pytest.raises(Conflict) as conflict:
        actions.change_plate(row=row, plate=VERTICAL, version=1, **who(clinician))
    assert conflict.value.now.version == 2


def test_a_name_in_use_is_refused_and_a_retired_one_is_free(
    row: ClinicPlate, clinician: User
) -> None:
    other = actions.add_plates(plates=[replace(VERTICAL, name="other")], **who(clinician))[0]
    with pytest.raises(Refused, match="called vertical"):
        actions.change_plate(row=other, plate=VERTICAL, version=1, **who(clinician))
    actions.retire_plate(row=row, version=1, reason="sold", **who(clinician))
    assert (
        actions.change_plate(row=other, plate=VERTICAL, version=1, **who(clinician)).name
        == "vertical"
    )


def test_retiring_asks_for_a_reason_and_the_newest_version(
    row: ClinicPlate, clinician: User
) -> None:
    with pytest.raises(Refused, match="why"):
        actions.retire_plate(row=row, version=1, reason=" ", **who(clinician))
    with pytest.raises(Conflict):
        actions.retire_plate(row=row, version=7, reason="sold", **who(clinician))
    retired = actions.retire_plate(row=row, version=1, reason=" sold ", **who(clinician))
    assert retired.retired_reason == "sold"
    again = actions.retire_plate(row=row, version=1, reason="broken", **who(clinician))
    assert again.retired_reason == "sold"
    with pytest.raises(Refused, match="retired"):
        actions.change_plate(row=row, plate=VERTICAL, version=2, **who(clinician))
    with pytest.raises(Refused, match="retired"):
        actions.add_measurement(row=row, measured=found(), **who(clinician))
    assert Audit.objects.get(action="retire clinic plate").reason == "sold"


def test_measuring(row: ClinicPlate, clinician: User) -> None:
    token = uuid4()
    added = actions.add_measurement(row=row, measured=found(), **who(clinician, token=token))
    assert added is not None
    assert actions.measurement_of(added) == found()
    assert actions.add_measurement(row=row, measured=found(), **who(clinician, token=token)) is None
    moved = actions.known(row).plate.displacement_mm
    assert moved is not None
    assert moved.settings == (1.1, 2.2, 4.4)


def test_a_measurement_of_no_setting_or_of_tomorrow_is_refused(
    row: ClinicPlate, clinician: User
) -> None:
    with pytest.raises(Refused, match="1, 2, 4"):
        actions.add_measurement(row=row, measured=found(set_mm=3.0), **who(clinician))
    tomorrow = DAY + dt.timedelta(days=1)
    with pytest.raises(Refused, match="after today"):
        actions.add_measurement(row=row, measured=found(on=tomorrow), **who(clinician))


def test_a_struck_out_measurement_no_longer_counts(row: ClinicPlate, clinician: User) -> None:
    added = actions.add_measurement(row=row, measured=found(), **who(clinician))
    assert added is not None
    with pytest.raises(Refused, match="wrong"):
        withdraw(row=added, reason="", **who(clinician))
    withdraw(row=added, reason="other plate", **who(clinician))
    withdraw(row=added, reason="x", **who(clinician))
    assert added.withdrawn_reason == "other plate"
    assert actions.known(ClinicPlate.objects.get()).plate == VERTICAL


def test_a_setting_that_was_measured_cannot_be_taken_away(
    row: ClinicPlate, clinician: User
) -> None:
    actions.add_measurement(row=row, measured=found(), **who(clinician))
    with pytest.raises(Refused, match="measured on 2026-03-02"):
        actions.change_plate(
            row=row,
            plate=replace(VERTICAL, displacement_mm=shown(2.0, 4.0)),
            version=1,
            **who(clinician),
        )
    longer = replace(VERTICAL, displacement_mm=shown(1.0, 2.0))
    assert actions.change_plate(row=row, plate=longer, version=1, **who(clinician)).version == 2


def test_neither_is_ever_deleted(row: ClinicPlate, clinician: User) -> None:
    added = actions.add_measurement(row=row, measured=found(), **who(clinician))
    assert added is not None
    for kept in (added, row):
        with pytest.raises(NeverChanged):
            kept.delete()
        table = kept._meta.db_table
        with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {table}")


# --- Pages ----------------------------------------------------------------------------------

PLATE = {
    "name": "Room 2",
    "motion": "vertical",
    "frequency_hz__from": "20",
    "frequency_hz__to": "50",
    "frequency_hz__step": "1",
    "displacement_mm__settings": "1 2 4",
    "displacement_mm__reads_as": "peak_to_peak",
    "rail": "yes",
    "load_limit_kg": "120",
    "price": "690",
}


def url(name: str, *args: object) -> str:
    return reverse(f"programs:{name}", args=args)


def test_add_and_list(signed_in: Client) -> None:
    sent = filled(signed_in, url("plate_add"), **PLATE)
    answer = signed_in.post(url("plate_add"), sent, follow=True)
    page = text_of(answer)
    for words in ("Added: Room 2.", "20 to 50 Hz by 1", "1, 2, 4 mm (peak to peak)", "690"):
        assert words in page
    assert "can be 20 % off" in page
    assert "10.2340/16501977-1868" in page
    assert "nominal only" in page


def test_an_empty_or_wrong_plate_comes_back_with_what_was_typed(signed_in: Client) -> None:
    empty = signed_in.post(url("plate_add"), {"name": ""})
    assert empty.status_code == 422
    assert "Nothing is filled in." in text_of(empty)
    wrong = signed_in.post(url("plate_add"), PLATE | {"frequency_hz__to": "10"})
    assert wrong.status_code == 422
    assert "The highest frequency is below the lowest." in text_of(wrong)
    assert "Room 2" in text_of(wrong)
    assert ClinicPlate.objects.count() == 0


def test_two_editors_notice_each_other(
    signed_in: Client, row: ClinicPlate, clinician: User
) -> None:
    sent = filled(signed_in, url("plate_change", row.pk), name="Room 3")
    actions.change_plate(row=row, plate=VERTICAL, version=1, **who(clinician))
    answer = signed_in.post(url("plate_change", row.pk), sent)
    assert answer.status_code == 409
    page = text_of(answer)
    assert "Marta Ferro changed this plate after you had opened it." in page
    assert 'name="version" value="2"' in page
    again = signed_in.post(url("plate_change", row.pk), sent | {"version": "2"})
    assert again.status_code == 302
    assert ClinicPlate.objects.get().name == "Room 3"


def test_measure_strike_out_and_retire(signed_in: Client, row: ClinicPlate) -> None:
    measured = {"on": "2026-02-10", "load_kg": "68", "set_hz": "30", "set_mm": "1", "mm": "1.3"}
    address = url("plate_measure", row.pk)
    page = text_of(signed_in.post(address, filled(signed_in, address, **measured), follow=True))
    assert "1.30 <strong>off</strong>" in page
    assert "1.30 × the panel <strong>off</strong>" in text_of(signed_in.get(url("plates")))
    only = PlateMeasurement.objects.get()
    address = url("plate_withdraw", only.pk)
    assert "1.30 times what the panel gives" in text_of(signed_in.get(address))
    assert signed_in.post(address, filled(signed_in, address, reason="")).status_code == 422
    page = text_of(
        signed_in.post(address, filled(signed_in, address, reason="wrong plate"), follow=True)
    )
    assert "<del>10 Feb 2026</del>" in page
    assert "wrong plate" in page
    address = url("plate_retire", row.pk)
    assert signed_in.post(address, filled(signed_in, address, reason="")).status_code == 422
    page = text_of(signed_in.post(address, filled(signed_in, address, reason="sold"), follow=True))
    assert "Retired: vertical." in page
    assert signed_in.get(address).status_code == 404
    retired = signed_in.get(url("plate_change", row.pk))
    assert "Retired on" in text_of(retired)
    assert signed_in.post(url("plate_change", row.pk), PLATE).status_code == 422


def test_two_places_of_a_tilting_plate_tell_how_it_tilts(
    signed_in: Client, clinician: User
) -> None:
    tilting = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)
    row = actions.add_plates(plates=[tilting], **who(clinician))[0]
    page = text_of(signed_in.get(url("plate_change", row.pk)))
    assert "Measured at two places of one setting" in page
    assert 'name="axis_mm"' in text_of(signed_in.get(url("plate_recording", row.pk)))
    for at, mm in (("70", "2.907"), ("180", "7.475")):
        typed = filled(signed_in, url("plate_measure", row.pk)) | {
            "on": "2026-03-02",
            "load_kg": "68",
            "set_hz": "12",
            "axis_mm": at,
            "mm": mm,
        }
        assert signed_in.post(url("plate_measure", row.pk), typed).status_code == 302
    page = " ".join(text_of(signed_in.get(url("plate_change", row.pk))).split())
    assert "How it tilts, from two places" in page
    assert "70 and 180 mm" in page
    assert "1.19°" in page
    assert "2.49 <" in page
    known = actions.known(row).plate
    assert known.tilt_degrees is not None
    assert known.tilt_degrees > 1.19


def test_no_other_plate_is_asked_for_a_place(signed_in: Client, row: ClinicPlate) -> None:
    for name in ("plate_measure", "plate_recording"):
        assert "axis_mm" not in text_of(signed_in.get(url(name, row.pk)))


def test_a_measurement_that_cannot_be_is_refused_beside_its_field(
    signed_in: Client, row: ClinicPlate
) -> None:
    measured = {"on": "2199-01-01", "load_kg": "68", "set_hz": "30", "set_mm": "3", "mm": "1.3"}
    answer = signed_in.post(url("plate_measure", row.pk), measured)
    assert answer.status_code == 422
    assert "This is after today." in text_of(answer)
    answer = signed_in.post(url("plate_measure", row.pk), measured | {"on": "2026-02-10"})
    assert "One of its settings is expected: 1, 2, 4." in text_of(answer)


def test_retiring_an_old_version_is_noticed(
    signed_in: Client, row: ClinicPlate, clinician: User
) -> None:
    sent = filled(signed_in, url("plate_retire", row.pk), reason="sold")
    actions.change_plate(row=row, plate=VERTICAL, version=1, **who(clinician))
    answer = signed_in.post(url("plate_retire", row.pk), sent)
    assert answer.status_code == 409
    assert ClinicPlate.objects.get().retired_at is None


LINES = """Room 2;vertical;20;50;1;1 2 4;peak to peak;yes;120;690
Gentle;low-magnitude;30;37;1;0.3;peak;no;110;"""


def test_typed_lines_are_previewed_and_then_added_together(signed_in: Client) -> None:
    preview = signed_in.post(url("plates_import"), {"lines": LINES})
    page = text_of(preview)
    assert "2 plates as read" in page
    assert ClinicPlate.objects.count() == 0
    token = str(uuid4())
    confirmed = {"lines": LINES, "confirm": "yes", "token": token}
    page = text_of(signed_in.post(url("plates_import"), confirmed, follow=True))
    assert "Added: 2 plates." in page
    assert signed_in.post(url("plates_import"), confirmed).status_code == 302
    assert ClinicPlate.objects.count() == 2


def test_a_bad_line_stops_them_all(signed_in: Client) -> None:
    sent = {"lines": LINES + "\nThird;shaking;1;2;1;1;;yes;120;", "confirm": "yes"}
    answer = signed_in.post(url("plates_import"), sent)
    assert answer.status_code == 422
    page = text_of(answer)
    assert "1 line to put right. Nothing is added until then." in page
    assert "motion: one of these is expected" in page
    assert 'name="confirm"' not in page
    assert ClinicPlate.objects.count() == 0


def test_names_in_use_and_empty_or_endless_lists_are_refused(
    signed_in: Client, row: ClinicPlate
) -> None:
    same = LINES.replace("Room 2", "vertical")
    assert "Another plate is called vertical." in text_of(
        signed_in.post(url("plates_import"), {"lines": same})
    )
    assert "There is no plate in these lines." in text_of(
        signed_in.post(url("plates_import"), {"lines": "  "})
    )
    assert "At most 200 lines" in text_of(
        signed_in.post(url("plates_import"), {"lines": "x\n" * 201})
    )
    assert text_of(signed_in.get(url("plates_import"))).count("<table") == 0


def test_the_register_asks_little_of_the_database(
    signed_in: Client, row: ClinicPlate, clinician: User, django_assert_max_num_queries: Any
) -> None:
    actions.add_measurement(row=row, measured=found(), **who(clinician))
    for n in range(4):
        actions.add_plates(plates=[replace(VERTICAL, name=f"plate {n}")], **who(clinician))
    with django_assert_max_num_queries(12):
        signed_in.get(url("plates"))
