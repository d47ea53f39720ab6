"""A list of people is shown, taken row by row, taken again, and undone."""

from __future__ import annotations

from io import StringIO
from pathlib import Path
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command
from django.utils import timezone

from patients.actions.importing import look_at, take, undo
from patients.actions.patient_record import change_patient, identity_of
from patients.models.patient import Audit, Patient
from patients.models.standing import Closing, TwoPeople
from patients.staff.rights import Role
from tests.factories import PatientFactory
from tests.staff import person_of

LIST = """Given name,Surname,Date of birth,Sex,Record number
Ines,O'Larkmere,14.03.1951,F,L-1
Inés,O'Larkmere,1951-03-14,female,
Bo,Tarnwick,29 Feb 1948,male,L-2
Cy,Weirstone,03/04/1950,m,
,Nobodale,1950,x,
Dee,Upferry,about 70,female
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    made = tmp_path / "people.csv"
    made.write_text(LIST)
    return made


def told(file: Path, *options: str, **more: Any) -> list[str]:
    said = StringIO()
    call_command("import_people", file, *options, stdout=said, **more)
    return said.getvalue().splitlines()


def test_it_is_shown_before_it_is_taken(clinician: User, file: Path) -> None:
    lines = told(file)
    assert lines[0] == "line 2: to be added"
    assert lines[1] == "line 3: may be the person of line 2; asked, not added"
    assert lines[2] == "line 4: to be added"
    assert lines[3].startswith("line 5: refused. Date of birth: “03/04/1950” can be two days.")
    assert "Given name: This is needed." in lines[4]
    assert "Sex: Select a valid choice." in lines[4]
    assert lines[5] == "line 7: refused. It has 4 cells, and the heads are 5."
    assert lines[6] == "6 rows: 2 done, 1 left, 3 refused."
    assert not Patient.objects.exists()
    assert not Audit.objects.filter(action="add patient").exists()


def test_taken_and_again_is_nothing_new(clinician: User, file: Path) -> None:
    first = told(file, "--take", by=clinician.username)
    ines, bo = Patient.objects.order_by("pk")
    assert first[0] == f"line 2: added, id {ines.pk}"
    assert first[1] == f"line 3: may be on record as id {ines.pk}; asked, not added"
    assert (ines.name, ines.sex, ines.record_number) == ("Ines O'Larkmere", "female", "L-1")
    assert bo.born_words == "29 Feb 1948"
    assert Audit.objects.filter(action="add patient", actor=clinician).count() == 2
    again = told(file, "--take", by=clinician.username)
    assert again[0] == f"line 2: added before, id {ines.pk}"
    assert again[-1] == "6 rows: 0 done, 3 left, 3 refused."
    assert Patient.objects.count() == 2
    assert told(file)[2] == f"line 4: added before, id {bo.pk}"


def test_a_double_is_added_only_with_a_reason(clinician: User, file: Path) -> None:
    there = PatientFactory(given_name="Bo", family_name="Elsewhere", record_number="L-2")
    assert told(file)[2] == f"line 4: may be on record as id {there.pk}; asked, not added"
    taken = told(file, "--take", by=clinician.username)
    assert taken[2] == f"line 4: may be on record as id {there.pk}; asked, not added"
    with pytest.raises(CommandError, match="Say with --reason"):
        told(file, "--take", by=clinician.username, other=[4])
    more = {"by": clinician.username, "other": [4], "reason": "The number was used twice."}
    assert told(file, "--take", **more)[2].startswith("line 4: added, id ")
    assert TwoPeople.objects.get().reason == "The number was used twice."


def test_all_of_it_is_undone_but_what_was_worked_on(clinician: User, file: Path) -> None:
    told(file, "--take", by=clinician.username)
    ines, bo = Patient.objects.order_by("pk")
    change_patient(
        patient=bo, who=identity_of(bo), version=bo.version, by=clinician, at=timezone.now()
    )
    undone = told(file, by=clinician.username, undo="The wrong list.")
    assert undone[0] == f"line 2: id {ines.pk} closed"
    assert undone[1] == "line 3: nobody was added by this row"
    assert undone[2] == f"line 4: id {bo.pk} stays: something was entered since it was added"
    assert undone[-1] == "6 rows: 1 done, 2 left, 3 refused."
    closing = Closing.objects.get()
    assert (closing.patient_id, closing.what, closing.note) == (
        ines.pk,
        "mistake",
        "The wrong list.",
    )
    assert (
        told(file, by=clinician.username, undo="Again.")[0] == f"line 2: id {ines.pk} is not open"
    )
    before = f"line 2: added before, id {ines.pk}, whose record is not open"
    assert told(file, "--take", by=clinician.username)[0] == before


def test_one_number_or_one_name_and_birth_are_asked_within_a_list(
    clinician: User, tmp_path: Path
) -> None:
    file = tmp_path / "people.csv"
    file.write_text(
        "Given name;Family name;Born;Sex;Number\n"
        "Ada;Onewick;1950;female;N 7\n"
        "Bea;Twomoor;1951;female;n 7\n"
        "Eve;Threeham;1950;female;\n"
        "Ada;Fourstead;1950;female;\n"
    )
    assert [line.partition(": ")[2] for line in told(file)[:4]] == [
        "to be added",
        "may be the person of line 2; asked, not added",
        "to be added",
        "may be the person of line 2; asked, not added",
    ]


def test_a_list_of_nobody_does_nothing(clinician: User) -> None:
    who: dict[str, Any] = {"by": clinician, "at": timezone.now()}
    assert [*look_at([]), *take([], **who), *undo([], note="-", **who)] == []


def test_whoever_may_not_adds_and_closes_nobody(clinician: User, file: Path) -> None:
    keeper = person_of(Role.KEEPER, username="k.eeper")
    with pytest.raises(CommandError, match="Say with --by"):
        told(file, "--take")
    for options in ({"take": True}, {"undo": "The wrong list."}):
        with pytest.raises(CommandError):
            told(file, by=keeper.username, **options)
    assert not Patient.objects.exists()


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("Given name,Shoe size\nA,41\n", "Unknown columns: “Shoe size”"),
        ("Given name,First name\nA,B\n", "More than one column says the given name"),
        ("Given name,Sex\nA,female\n", "No column says the family name or the date of birth"),
        ("Given name,Surname,Born,Sex\n", "no rows under its heads"),
    ],
)
def test_a_file_that_is_none_of_people(db: None, tmp_path: Path, text: str, why: str) -> None:
    file = tmp_path / "people.csv"
    file.write_text(text)
    with pytest.raises(CommandError, match=why):
        told(file)


def test_a_file_in_another_encoding_or_none(db: None, tmp_path: Path) -> None:
    file = tmp_path / "people.csv"
    with pytest.raises(CommandError, match="cannot be read: No such file"):
        told(file)
    file.write_bytes("Given name,Surname,Born,Sex\nZoë,Dalmoor,1950,female\n".encode("cp1252"))
    with pytest.raises(CommandError, match="not UTF-8"):
        told(file)
    assert told(file, encoding="cp1252")[0] == "line 2: to be added"
