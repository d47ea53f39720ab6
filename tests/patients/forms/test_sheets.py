"""Sheets: what a section's page gives, asks again and keeps, without a database."""

import datetime as dt

import pytest
from django import forms

from patients.facts.declared import Facts
from patients.facts.question import Kind, asks
from patients.forms.sheet_of_section import SHEETS
from patients.measured.worry import ITEMS
from patients.models.patient import (
    KINDS,
    Assessment,
    FractureRow,
    FunctionTestDay,
    Patient,
    ScanRow,
)
from patients.rows_to_facts import Entered
from tests.factories import DAY

BORN = dt.date(1959, 8, 14)


def sheet_of(code, data=None, answers=None, sex="female", rows=None, corrects=None):
    """Return the sheet of a patient who needs no database."""
    known = Entered(
        patient=Patient(pk=1, born=BORN, sex=sex),
        as_of=DAY,
        rows=dict.fromkeys(KINDS, ()) | (rows or {}),
        assessment=Assessment(answers=answers or {}),
    )
    return SHEETS[code](known, data, corrects)


@pytest.mark.parametrize("code", SHEETS)
def test_b13_no_number_inputs_and_no_autofill(code):
    html = "".join(str(form) for form in sheet_of(code).forms.values())
    assert 'type="number"' not in html
    for tag in html.split("<input ")[1:]:
        if 'type="text"' in tag.partition(">")[0]:
            assert 'autocomplete="off"' in tag.partition(">")[0]


def about(sex="female", answers=None, **data):
    fields = {f"about-{name}": value for name, value in data.items()}
    return sheet_of("about", fields, answers, sex)


@pytest.mark.parametrize(("menopause", "fits"), [("after", False), ("before", True), ("", True)])
def test_pregnant_after_menopause_is_asked_again(menopause, fits):
    assert about(pregnant="yes", menopause=menopause).is_valid() is fits


def test_a_man_is_not_asked_about_pregnancy():
    assert not {"pregnant", "menopause"} & set(about(sex="male").forms["about"].fields)


def test_a_man_sent_as_pregnant_is_not_recorded_so():
    sheet = about(sex="male", pregnant="yes")
    assert sheet.is_valid()
    assert sheet.part() == {"person": {}}


@pytest.mark.parametrize(("tallest", "fits"), [("164", True), ("163.9", False)])
def test_tallest_is_not_clearly_under_todays(tallest, fits):
    sheet = about(measured_on="2026-03-02", height_cm="166", tallest_height_cm=tallest)
    assert sheet.is_valid() is fits


@pytest.mark.parametrize(
    ("day", "fits"),
    [("2026-03-02", True), ("2026-03-03", False), ("1959-08-13", False), ("", False)],
)
def test_a_size_has_a_day(day, fits):
    sheet = about(measured_on=day, weight_kg="58")
    assert sheet.is_valid() is fits
    if fits:
        assert [row.date for row in sheet.rows()] == [dt.date(2026, 3, 2)]


def test_no_size_is_no_row():
    sheet = about(measured_on="2026-03-02", menopause="after")
    assert sheet.is_valid()
    assert (sheet.rows(), sheet.part()) == ([], {"person": {"menopause": "after"}})


def test_none_and_something_do_not_go_together():
    data = {"none-none": "on", "fracture-site": "hip"}
    assert not sheet_of("fractures", data).is_valid()
    none = sheet_of("fractures", {"none-none": "on"})
    assert none.is_valid()
    assert none.part() == {"fractures": []}
    fracture = sheet_of("fractures", {"fracture-site": "hip"})
    assert fracture.is_valid()
    assert (fracture.part(), len(fracture.rows())) == ({}, 1)


def test_nothing_filled_in_says_nothing():
    for code in SHEETS:
        sheet = sheet_of(code, {"about-measured_on": "2026-03-02", "lift-on": "2026-03-02"})
        if code == "tests":
            assert not sheet.is_valid()
        else:
            assert sheet.is_valid(), code
            assert sheet.rows() == []
            assert not any(sheet.part().values()), code


def test_a_scan_on_record_is_not_added_again():
    row = ScanRow(pk=5, date=dt.date(2026, 1, 20), site="total_hip", side="left")
    data = {"scan-date": "2026-01-20", "scan-total_hip__t": "-2.1"}
    data["scan-total_hip__side"] = "left"
    assert not sheet_of("scans", data, rows={"scan": (row,)}).is_valid()
    assert sheet_of("scans", data, rows={"scan": (row,)}, corrects=row).is_valid()
    right = data | {"scan-total_hip__side": "right"}
    assert sheet_of("scans", right, rows={"scan": (row,)}).is_valid()


def test_aims_keep_their_order_and_close_gaps():
    sheet = sheet_of("aims", {"aims-aim0": "spine", "aims-aim2": "hip"})
    assert sheet.is_valid()
    assert sheet.part() == {"aims": ["spine", "hip"]}
    assert not sheet_of("aims", {"aims-aim0": "spine", "aims-aim1": "spine"}).is_valid()


def test_her_own_goal_is_kept_as_typed_and_not_too_long():
    words = "Walk to O'Dell's, <2 km> & back: \u201cby myself\u201d"
    sheet = sheet_of("aims", {"goal-own_goal": words})
    assert sheet.is_valid()
    assert sheet.part() == {"own_goal": words}
    assert sheet_of("aims", {"goal-own_goal": "x" * 200}).is_valid()
    long = sheet_of("aims", {"goal-own_goal": "x" * 201})
    assert not long.is_valid()
    assert long.forms["goal"].errors == {"own_goal": ["Shorten this to 200 characters."]}
    assert "x" * 201 in str(long.forms["goal"]["own_goal"])
    blank = sheet_of("aims", {"goal-own_goal": " "})
    assert blank.is_valid()
    assert blank.part() == {}


def test_no_equipment_is_an_answer():
    sheet = sheet_of("aims", {"resources-equipment": ["none"]})
    assert sheet.is_valid()
    assert sheet.part() == {"resources": {"equipment": []}}
    assert not sheet_of("aims", {"resources-equipment": ["none", "chair"]}).is_valid()


def plate(index, **data):
    base = {"name": "at home", "motion": "vertical", "displacement_mm__settings": "1 2 4"}
    ranges = {"from_hz": "20", "to_hz": "50", "step_hz": "1"}
    base |= {f"frequency_hz__{name.partition('_')[0]}": v for name, v in ranges.items()}
    return {f"plate{index}-{name}": value for name, value in (base | data).items()}


def test_plates_are_added_changed_and_taken_off():
    first = sheet_of("plates", plate(0))
    assert first.is_valid(), first.errors
    held = first.part()
    assert held["resources"]["plates"][0]["frequency_hz"] == {"from": 20, "to": 50, "step": 1}
    assert held["resources"]["plates"][0]["displacement_mm"] == {"settings": [1, 2, 4]}
    both = sheet_of("plates", plate(0) | plate(1, name="at the gym"), held)
    assert both.is_valid()
    assert [p["name"] for p in both.part()["resources"]["plates"]] == ["at home", "at the gym"]
    gone = sheet_of("plates", plate(0, remove="on"), held)
    assert gone.is_valid()
    assert gone.part() == {"resources": {}}


MEASURED = {
    "name": "at home",
    "motion": "vertical",
    "frequency_hz": {"from": 20.626, "to": 51.556, "step": 1.031},
    "displacement_mm": {"settings": [1.137, 2.31], "reads_as": "peak_to_peak"},
    "rail": "yes",
    "panel": {
        "measured_on": "2026-02-20",
        "frequency_hz": {"from": 20, "to": 50, "step": 1},
        "displacement_mm": [1, 2],
    },
}


def test_how_a_measured_plate_moves_is_neither_asked_nor_lost():
    held = {"resources": {"plates": [MEASURED]}}
    typed = {"plate0-name": "in the hall", "plate0-rail": "no", "plate0-price": "900"}
    sheet = sheet_of("plates", typed, held)
    assert sheet.is_valid(), sheet.errors
    assert "frequency_hz__from" not in sheet.forms["plate0"].fields
    named = MEASURED | {"name": "in the hall", "rail": "no", "price": 900}
    assert sheet.part() == {"resources": {"plates": [named]}}
    titles = [title for _, title, _ in sheet.blocks]
    assert titles[0] == "at home, as measured on 20 Feb 2026"
    gone = sheet_of("plates", {"plate0-name": "at home", "plate0-remove": "on"}, held)
    assert gone.is_valid()
    assert gone.part() == {"resources": {}}


def test_two_plates_have_two_names():
    assert not sheet_of("plates", plate(0) | plate(1)).is_valid()


@pytest.mark.parametrize(("high", "fits"), [("20", True), ("19", False)])
def test_the_highest_frequency_is_not_under_the_lowest(high, fits):
    sheet = sheet_of("plates", plate(0, frequency_hz__to=high))
    assert sheet.is_valid() is fits


@pytest.mark.parametrize(
    ("typed", "settings"),
    [("1 2 4", [1, 2, 4]), ("1; 1.5; 2", [1, 1.5, 2]), ("1, 2", [1, 2]), ("1,2", None)],
)
def test_settings_of_a_plate_are_never_guessed(typed, settings):
    sheet = sheet_of("plates", plate(0, displacement_mm__settings=typed))
    assert sheet.is_valid() is (settings is not None)
    if settings:
        assert sheet.part()["resources"]["plates"][0]["displacement_mm"]["settings"] == settings


def test_b07_what_a_form_gives_fills_it_again():
    data = plate(0, rail="yes", load_limit_kg="120", displacement_mm__reads_as="peak_to_peak")
    sheet = sheet_of("plates", data)
    assert sheet.is_valid()
    again = sheet_of("plates", answers=sheet.part()).forms["plate0"]
    for name, value in data.items():
        bound = again[name.removeprefix("plate0-")]
        assert str(bound.field.prepare_value(bound.value())) == value


def test_every_question_of_the_facts_is_on_some_sheet():
    asked = set()
    for sheet in map(sheet_of, SHEETS):
        for name, form in sheet.forms.items():
            asked |= {(name.rstrip("0123456789"), path) for path in getattr(form, "paths", {})}
            asked |= {(name, "") for _ in [0] if not hasattr(form, "paths")}
    for name, ask in asks(Facts).items():
        if ask.kind is Kind.GROUP and name not in ("person", "resources"):
            for inner in asks(ask.of).values():
                assert (name, inner.key) in asked
    # Clearances are given on the screen, not recorded here.
    tables = {"scan", "marker", "conditions", "symptoms", "medicines", "lift", "aims", "goal"}
    assert {(table, "") for table in tables} <= asked


def test_fields_are_plain_text_boxes_or_choices():
    allowed = (forms.TextInput, forms.Select, forms.RadioSelect, forms.CheckboxInput,
               forms.CheckboxSelectMultiple)  # fmt: skip
    for code in SHEETS:
        for form in sheet_of(code).forms.values():
            assert all(type(field.widget) in allowed for field in form.fields.values())


@pytest.mark.parametrize(
    ("typed", "day", "known"),
    [
        ("2011", dt.date(2011, 12, 31), "year"),
        ("2011-05", dt.date(2011, 5, 31), "month"),
        ("2011-05-03", dt.date(2011, 5, 3), "day"),
        ("2026", DAY, "year"),
        ("1959-08", dt.date(1959, 8, 31), "month"),  # born on the 14th
        ("", None, "day"),
    ],
)
def test_a_fracture_of_a_year_is_kept_on_the_latest_day(typed, day, known):
    sheet = sheet_of("fractures", {"fracture-site": "wrist", "fracture-date": typed})
    assert sheet.is_valid(), sheet.errors
    (row,) = sheet.rows()
    assert (row.date, row.date_is) == (day, known)


@pytest.mark.parametrize("typed", ["2027", "2026-04", "2026-03-03", "1958", "1959-07", "in May"])
def test_a_fracture_after_today_or_before_birth_is_refused(typed):
    sheet = sheet_of("fractures", {"fracture-site": "wrist", "fracture-date": typed})
    assert not sheet.is_valid()
    assert "date" in sheet.forms["fracture"].errors


def corrected(typed, **held):
    row = FractureRow(pk=3, site="wrist", **held)
    data = {"fracture-site": "hip", "fracture-date": typed}
    sheet = sheet_of("fractures", data, rows={"fracture": (row,)}, corrects=row)
    assert sheet.is_valid(), sheet.errors
    return sheet.forms["fracture"].initial["date"], sheet.rows()[0]


def test_a_correction_keeps_the_day_where_the_date_is_as_it_was():
    """A fracture entered in January as of this year broke before that January day."""
    entered = dt.date(2026, 1, 10)
    shown, row = corrected("2026", date=entered, date_is="year")
    assert (shown, row.site, row.date, row.date_is) == ("2026", "hip", entered, "year")
    _, moved = corrected("2025", date=entered, date_is="year")
    assert (moved.date, moved.date_is) == (dt.date(2025, 12, 31), "year")


def test_a_correction_of_a_full_date_to_a_year():
    shown, row = corrected("2019", date=dt.date(2019, 5, 1))
    assert (shown, row.date, row.date_is) == ("2019-05-01", dt.date(2019, 12, 31), "year")


@pytest.mark.parametrize(("typed", "fits"), [("2019-05-01", False), ("2019", True), ("", True)])
def test_the_same_bone_twice_on_one_day_is_one_entry_but_not_in_one_year(typed, fits):
    held = FractureRow(pk=3, site="wrist", date=dt.date(2019, 5, 1))
    data = {"fracture-site": "wrist", "fracture-date": typed}
    assert sheet_of("fractures", data, rows={"fracture": (held,)}).is_valid() is fits


def worry(*answers, **more):
    typed = zip(ITEMS, answers, strict=False)
    return {"tests-date": "2026-03-02"} | {f"worry-{code}": text for code, text in typed} | more


def test_the_worry_scale_alone_is_an_entry():
    sheet = sheet_of("tests", worry("1", "2", "", "4", "1", "1", "1"))
    assert sheet.is_valid(), sheet.errors
    (row,) = sheet.rows()
    assert row.worry == [1, 2, None, 4, 1, 1, 1]
    assert not row.has_tests


def test_tests_without_the_scale_and_neither():
    sheet = sheet_of("tests", worry(**{"tests-grip_kg": "21"}))
    assert sheet.is_valid()
    assert (sheet.rows()[0].worry, sheet.rows()[0].has_tests) == (None, True)
    assert not sheet_of("tests", worry()).is_valid()


@pytest.mark.parametrize("answer", ["0", "5", "x"])
def test_other_answers_of_the_scale_are_refused(answer):
    assert not sheet_of("tests", worry(answer)).is_valid()


def test_a_correction_shows_the_answers_again():
    row = FunctionTestDay(pk=4, date=DAY, worry=[1, 2, None, 4, 1, 1, 1])
    form = sheet_of("tests", corrects=row).forms["worry"]
    assert [form.initial[code] for code in ITEMS] == ["1", "2", "", "4", "1", "1", "1"]


def test_only_a_thigh_bone_is_asked_whether_it_broke_atypically():
    wrist = {"fracture-site": "wrist", "fracture-date": "2019"}
    assert "atypical" not in sheet_of("fractures", wrist).forms["fracture"].fields
    thigh = {"fracture-site": "femur_shaft", "fracture-date": "2019-05"}
    unasked = sheet_of("fractures", thigh)
    assert not unasked.is_valid()
    assert "atypical" in unasked.forms["fracture"].errors
    for answer, kept in (("", None), ("yes", True), ("no", False)):
        asked = sheet_of("fractures", {**thigh, "fracture-atypical": answer})
        assert asked.is_valid()
        (row,) = asked.rows()
        assert (row.atypical, row.date_is) == (kept, "month")


@pytest.mark.parametrize(
    ("sex", "menopause", "asked"),
    [("male", None, False), ("female", "before", True), ("female", "after", False)],
)
def test_who_is_asked_about_a_birth(sex, menopause, asked):
    known = Entered(
        patient=Patient(pk=1, born=dt.date(DAY.year - 30, 1, 1), sex=sex),
        as_of=DAY,
        rows=dict.fromkeys(KINDS, ()),
        assessment=Assessment(answers={"person": {"menopause": menopause}}),
    )
    form = SHEETS["conditions"](known, None, None).forms["conditions"]
    assert ("recent_birth__answer" in form.fields) is asked
    assert "movement_disorder__answer" in form.fields


def test_bone_medicine_is_asked_in_full_and_a_year_is_enough():
    data = {
        "medicines-bone_medicine__answer": "yes",
        "medicines-bone_medicine__kind": "denosumab",
        "medicines-bone_medicine__last_dose_on": "2025-06",
    }
    sheet = sheet_of("medicines", data)
    assert sheet.is_valid()
    expected = {"answer": "yes", "kind": "denosumab", "last_dose_on": "2025-06"}
    assert sheet.part()["medicines"]["bone_medicine"] == expected
