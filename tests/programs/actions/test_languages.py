"""In which languages papers are made, and who has read them."""

from __future__ import annotations

import datetime as dt
import json
from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from programs import languages as declared
from programs.actions import languages
from programs.actions.emergency_numbers import (
    Emergency,
    emergencies_in_force,
    missing_numbers,
    set_emergencies,
)
from programs.actions.languages import (
    CHANGED,
    DAY_LACKS,
    DAY_TO_COME,
    NAME_LACKS,
    InUse,
    languages_in_force,
    languages_on,
    languages_unread,
    newest_row,
    set_languages,
)
from programs.actions.record_check import check_record
from programs.actions.refusals import NotDone
from programs.languages import Language
from programs.models.clinic import EmergencyNumber, PaperLanguage
from tests.programs.rows import AT

pytestmark = pytest.mark.django_db
DAY = dt.date(2026, 1, 5)
SPANISH = InUse(language="es", on=True, read_by="Ana Prado", read_on=DAY)
#: A language of which nobody has a catalogue: on nowhere until it is turned on.
OTHER = Language(code="xx", name="Examplish", own_name="examplish")
ON = InUse(language="xx", on=True)


@pytest.fixture(autouse=True)
def another(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(declared.DECLARED, OTHER.code, OTHER)


def lines() -> list[Audit]:
    return list(Audit.objects.filter(action="set language of papers").order_by("seq"))


def test_english_and_spanish_are_on_and_another_waits() -> None:
    assert languages_on() == [("en", "English"), ("es", "Spanish")]
    assert languages_in_force()["xx"] == InUse(language="xx", on=False)
    assert "en" not in languages_in_force()
    assert languages_unread() == ("Spanish",)


def test_one_that_is_not_ready_is_offered_to_nobody(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    half = Language(code="yy", name="Halfish", own_name="halfish", ready=False)
    monkeypatch.setitem(declared.DECLARED, "yy", half)
    assert "yy" not in languages_in_force()


def test_it_is_turned_on_and_off_again(clinician: User) -> None:
    set_languages(given=[ON], by=clinician, at=AT)
    assert languages_on()[-1] == ("xx", "Examplish")
    assert languages_unread() == ("Spanish", "Examplish")
    set_languages(given=[InUse(language="xx", on=False)], by=clinician, at=AT)
    assert languages_on()[-1] == ("es", "Spanish")
    assert [row.on for row in PaperLanguage.objects.all()] == [True, False]


def test_a_number_is_asked_for_a_language_that_is_on(clinician: User) -> None:
    lacks = "the emergency number for papers in Examplish"
    assert lacks not in missing_numbers()
    set_languages(given=[ON], by=clinician, at=AT)
    assert lacks in missing_numbers()
    set_emergencies(given=[Emergency(language="xx", number="15")], by=clinician, at=AT)
    assert lacks not in missing_numbers()
    assert emergencies_in_force()["xx"].number == "15"
    set_languages(given=[InUse(language="xx", on=False)], by=clinician, at=AT)
    assert "xx" not in emergencies_in_force()


def test_spanish_that_is_off_asks_for_no_number(clinician: User) -> None:
    assert "the emergency number for papers in Spanish" in missing_numbers()
    set_languages(given=[InUse(language="es", on=False)], by=clinician, at=AT)
    assert "the emergency number for papers in Spanish" not in missing_numbers()


def test_who_read_it_is_on_the_record(clinician: User) -> None:
    set_languages(given=[SPANISH], by=clinician, at=AT)
    assert languages_unread() == ()
    (line,) = lines()
    assert json.loads(line.old) == {"language": "es", "on": True, "read_by": "", "read_on": None}
    assert json.loads(line.new) == {
        "language": "es",
        "on": True,
        "read_by": "Ana Prado",
        "read_on": "2026-01-05",
    }
    assert not check_record(by=clinician, at=AT).broken


def test_a_row_that_was_changed_beside_the_record_is_found(clinician: User) -> None:
    set_languages(given=[ON], by=clinician, at=AT)
    line = lines()[0]
    assert line.object_type == "programs.paperlanguage"
    PaperLanguage.objects.create(language="es", on=False, by=clinician, at=AT)
    assert check_record(by=clinician, at=AT).broken


def test_what_is_so_already_leaves_no_line(clinician: User) -> None:
    set_languages(given=[SPANISH, InUse(language="xx", on=False)], by=clinician, at=AT)
    set_languages(given=[SPANISH], by=clinician, at=AT)
    assert len(lines()) == 1


def test_the_same_click_twice_sets_it_once(clinician: User) -> None:
    token = uuid4()
    for _ in range(2):
        set_languages(given=[SPANISH, ON], by=clinician, at=AT, token=token)
    assert len(lines()) == 2


@pytest.mark.parametrize(
    ("name", "day", "why"),
    [
        ("Ana Prado", None, DAY_LACKS),
        ("", DAY, NAME_LACKS),
        ("Ana Prado", AT.date() + dt.timedelta(days=1), DAY_TO_COME),
    ],
)
def test_a_reading_needs_a_name_and_a_day(
    clinician: User, name: str, day: dt.date | None, why: str
) -> None:
    given = InUse(language="es", on=True, read_by=name, read_on=day)
    with pytest.raises(NotDone, match=why):
        set_languages(given=[given], by=clinician, at=AT)
    assert newest_row() == 0


def test_a_reading_of_today_holds() -> None:
    assert languages.why_not_read("Ana Prado", DAY, DAY) == ("", "")


def test_two_who_change_languages_do_not_undo_each_other(clinician: User) -> None:
    seen = newest_row()
    set_languages(given=[SPANISH], by=clinician, at=AT, seen=seen)
    with pytest.raises(NotDone, match="Somebody else"):
        set_languages(given=[ON], by=clinician, at=AT, seen=seen)
    assert CHANGED.startswith("Somebody else")
    assert not languages_in_force()["xx"].on


def test_a_language_that_is_no_longer_declared_is_left_out(clinician: User) -> None:
    """As after a release without it: what was set of it stays on record and is not read."""
    PaperLanguage.objects.create(language="eo", on=True, by=clinician, at=AT)
    EmergencyNumber.objects.create(language="eo", number="112", by=clinician, at=AT)
    assert "eo" not in languages_in_force()
    assert "eo" not in emergencies_in_force()
