"""Forms: what is typed is read one way or refused in plain words, and nothing typed is lost."""

import datetime as dt

import pytest

from patients.facts import declared
from patients.facts.codes import CONDITIONS
from patients.facts.declared import Falls, Fracture, Person, Resources
from patients.facts.declared_plate import Plate
from patients.facts.question import Kind, asks
from patients.forms.from_questions import declared_form
from patients.forms.person import IdentityForm
from patients.forms.tables import ConditionsForm, MarkerForm, MedicinesForm, ScanForm, SymptomsForm
from tests.factories import DAY

BORN = dt.date(1959, 8, 14)


def form_of(of, data, **more):
    form = of(data, born=BORN, as_of=DAY, **more)
    form.is_valid()
    return form


def person(**data):
    of = declared_form(Person, only=tuple(data))
    given = {"born": BORN.isoformat(), "sex": "female"}
    return form_of(of, data, given=given)


@pytest.mark.parametrize(
    ("typed", "kg"),
    [("68,5", 68.5), ("68.5", 68.5), (" 68.5 ", 68.5), ("68.5 kg", 68.5), ("６８.５", 68.5)],
)
def test_b01_a_decimal_comma_is_never_lost(typed, kg):
    assert person(weight_kg=typed).part() == {"weight_kg": kg}


@pytest.mark.parametrize("typed", ["685", "6850 g", "1e2", "68.5.1", "68,500", "sixty", "6 8"])
def test_b03_a_weight_that_cannot_be_hers_is_refused(typed):
    form = person(weight_kg=typed)
    assert form.errors["weight_kg"]
    assert f'value="{typed}"' in str(form["weight_kg"])


def test_b05_pounds_and_feet_become_kilograms_and_centimetres():
    form = person(weight_kg="150 lb", height_cm="5 ft 3 in")
    assert form.part() == {"weight_kg": 68.0, "height_cm": 160.0}


@pytest.mark.parametrize("sign", ["-", "\u2212", "\u2013", "\u2011"])
def test_b10_every_kind_of_minus_is_a_minus(sign):
    form = form_of(ScanForm, {"date": "2026-01-20", "total_hip__t": f"{sign}2.5"})
    assert [row.t for row in form.filled] == [-2.5]


def test_b09_a_blank_is_not_recorded_and_a_nought_is():
    assert form_of(declared_form(Falls), {"last_12_months": ""}).part() == {}
    assert form_of(declared_form(Falls), {"last_12_months": "0"}).part() == {"last_12_months": 0}
    blank = dict.fromkeys(asks(declared.Tests), "")
    assert form_of(declared_form(declared.Tests), blank).part() == {}


def _numbers():
    """Yield dataclass, field and question of every number with a believable range."""
    for of in (Person, Falls, declared.Tests, Resources, Plate):
        for name, ask in asks(of).items():
            if ask.kind in (Kind.NUMBER, Kind.INTEGER) and ask.low is not None:
                yield pytest.param(of, name, ask, id=f"{of.__name__}.{name}")


@pytest.mark.parametrize(("of", "name", "ask"), list(_numbers()))
def test_both_sides_of_every_believable_range(of, name, ask):
    step = 10**-ask.decimals
    texts = {
        f"{ask.low:.{ask.decimals}f}": True,
        f"{ask.high:.{ask.decimals}f}": True,
        f"{ask.low - step:.{ask.decimals}f}": False,
        f"{ask.high + step:.{ask.decimals}f}": False,
    }
    given = {a.key: v for a in asks(of).values() if a.required and (v := _some(a))}
    for text, fits in texts.items():
        form = form_of(declared_form(of, only=(ask.key,)), {name: text}, given=given)
        assert (name not in form.errors) is fits, text


def _some(ask):
    """Return something that answers a required question."""
    match ask.kind:
        case Kind.DATE:
            return BORN.isoformat()
        case Kind.CHOICE:
            return next(iter(ask.choices))
        case _:
            return "some text"


@pytest.mark.parametrize(("typed", "fits"), [("2.55", False), ("2.5", True), ("3", True)])
def test_no_more_decimals_than_are_kept(typed, fits):
    form = form_of(ScanForm, {"date": "2026-01-20", "total_hip__t": typed})
    assert form.is_valid() is fits
    if not fits:
        assert form.errors["total_hip__t"] == ["Write at most 1 decimal."]


@pytest.mark.parametrize(
    ("typed", "pressure"), [("132/78", [132, 78]), ("132 / 78", [132, 78]), ("132", None),
    ("78/132", None), ("100/100", None), ("101/100", [101, 100]), ("13/8", None)],
)  # fmt: skip
def test_a_blood_pressure_is_two_numbers_the_higher_first(typed, pressure):
    form = form_of(declared_form(declared.Tests), {"date": "2026-03-02", "resting_bp": typed})
    assert form.part().get("resting_bp") == pressure
    assert ("resting_bp" in form.errors) is (pressure is None)


@pytest.mark.parametrize(
    ("typed", "fits"),
    [
        ("1959-08-14", True),  # the day of birth
        ("1959-08-13", False),
        ("2026-03-02", True),  # the day of the assessment
        ("2026-03-03", False),
        ("03/04/2020", False),
        ("2020-02-30", False),
    ],
)
def test_a_date_lies_between_birth_and_the_day(typed, fits):
    form = form_of(declared_form(Fracture), {"site": "wrist", "date": typed})
    assert ("date" not in form.errors) is fits


@pytest.mark.parametrize(("t", "fits"), [("1959-08-14", True), ("1959-08-13", False)])
def test_a_scan_does_not_lie_before_birth(t, fits):
    form = form_of(ScanForm, {"date": t, "total_hip__t": "-2.5"})
    assert ("date" not in form.errors) is fits


def test_several_sites_of_one_scan_in_one_form():
    data = {
        "date": "2026-01-20",
        "scanner": "A",
        "lumbar_spine__t": "−1.7",
        "lumbar_spine__vertebrae": "L1-L4",
        "total_hip__bmd_g_cm2": "0,681",
        "total_hip__side": "left",
    }
    rows = form_of(ScanForm, data).filled
    assert [(row.site, row.side, row.vertebrae) for row in rows] == [
        ("lumbar_spine", "", "L1-L4"),
        ("total_hip", "left", ""),
    ]
    assert float(rows[1].bmd_g_cm2) == 0.681


def test_a_site_needs_the_day():
    form = form_of(ScanForm, {"total_hip__t": "-2.5"})
    assert form.errors["date"] == ["This is needed."]


def test_all_that_is_wrong_is_said_at_once():
    form = form_of(ScanForm, {"date": "2031-01-01", "total_hip__t": "abc", "total_hip__z": "9"})
    assert set(form.errors) == {"date", "total_hip__t", "total_hip__z"}


def test_a_marker_needs_value_and_unit():
    assert "ctx__unit" in form_of(MarkerForm, {"date": "2026-01-20", "ctx__value": "520"}).errors
    assert "ctx__value" in form_of(MarkerForm, {"date": "2026-01-20", "ctx__unit": "ng/L"}).errors
    data = {"date": "2026-01-20", "ctx__value": "520", "ctx__unit": "ng/L"}
    assert len(form_of(MarkerForm, data).filled) == 1


def test_all_not_answered_are_no_only_where_ticked():
    answered = {"epilepsy__answer": "yes"}
    assert form_of(ConditionsForm, answered).part() == {"epilepsy": "yes"}
    part = form_of(ConditionsForm, answered | {"rest_is_no": "on"}).part()
    assert part["epilepsy"] == "yes"
    assert set(part) == set(CONDITIONS)
    assert set(part.values()) == {"yes", "no"}
    assert set(form_of(SymptomsForm, {"rest_is_no": "on"}).part().values()) == {"no"}


def test_details_go_with_yes_only():
    on = {"recent_surgery__on": "2026-01-01"}
    for answer in ("no", ""):
        form = form_of(ConditionsForm, on | {"recent_surgery__answer": answer})
        assert "recent_surgery__answer" in form.errors
    part = form_of(ConditionsForm, on | {"recent_surgery__answer": "yes"}).part()
    assert part == {"recent_surgery": {"answer": "yes", "on": "2026-01-01"}}


def test_details_on_record_are_kept_where_they_are_not_usually_asked():
    held = {"epilepsy": {"answer": "yes", "on": "1999-01-01"}}
    form = form_of(ConditionsForm, {"epilepsy__answer": "yes", "epilepsy__on": "1999-01-01"},
                   part=held)  # fmt: skip
    assert form.part() == held


def test_a_dose_is_read_and_checked():
    data = {"glucocorticoid__answer": "yes", "glucocorticoid__mg_per_day": "7,5"}
    assert form_of(MedicinesForm, data).part()["glucocorticoid"]["mg_per_day"] == 7.5
    data["glucocorticoid__mg_per_day"] = "2000.1"
    assert "glucocorticoid__mg_per_day" in form_of(MedicinesForm, data).errors


def test_every_detail_of_a_condition_is_asked_somewhere():
    questions = {name for code in ConditionsForm.labels for name in
                 ConditionsForm(born=BORN, as_of=DAY).questions(code)}  # fmt: skip
    assert questions == {"answer", "on", "degree"}


IDENTITY = {"given_name": "Simon", "family_name": "O'Grady", "born": "1950-01-01", "sex": "male"}


def identity(**data):
    form = IdentityForm(IDENTITY | data, today=DAY)
    form.is_valid()
    return form


def test_c01_an_apostrophe_stays_as_typed():
    assert identity().identity().family_name == "O'Grady"
    assert identity(family_name="Zero\u200bwidth").identity().family_name == "Zerowidth"


@pytest.mark.parametrize("name", ["given_name", "family_name", "born", "sex"])
def test_every_patient_has_name_birthday_and_sex(name):
    assert identity(**{name: ""}).errors[name] == ["This is needed."]


@pytest.mark.parametrize(
    ("born", "fits"),
    [("2026-03-02", True), ("2026-03-03", False), ("1910-03-03", True), ("1910-03-02", False),
     ("4/3/50", False), ("1950-02-29", False), ("1948-02-29", True)],
)  # fmt: skip
def test_a_date_of_birth_is_one_that_a_person_can_have(born, fits):
    assert ("born" not in identity(born=born).errors) is fits
