"""Numbers as people type them into a field: signs apart, the field's unit, feet and stones."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.units import (
    SPELLED,
    NotANumber,
    parse_height_cm,
    parse_number,
    parse_pressure,
    parse_typed_number,
    parse_typed_whole,
    parse_weight_kg,
)
from patients.forms.fields import NumberField, NumbersField, WholeField
from tests.each import each

tenths = st.integers(0, 9999).map(lambda n: n / 10)


@given(tenths, st.sampled_from(["-", "- ", "\u2212 ", "minus ", "Minus", "MINUS  "]))
def test_every_way_to_write_a_minus_is_one(value, sign):
    assert parse_typed_number(f"{sign}{value}") == -value + 0.0
    assert parse_typed_number(f"{sign}{value}".replace(".", ",")) == -value + 0.0


@given(tenths, st.sampled_from([(u, w) for u, ws in SPELLED.items() for w in ws]), st.booleans())
def test_a_fields_own_unit_may_stand_behind(value, unit, apart):
    field, written = unit
    assert parse_typed_number(f"{value}{' ' if apart else ''}{written}", field) == value


@given(st.text(), st.sampled_from(["", *SPELLED]))
def test_what_the_strict_reader_takes_is_read_alike(text, unit):
    try:
        strict = parse_number(text)
    except NotANumber:
        return
    assert parse_typed_number(text, unit) == strict


@each(
    "text, unit, said",
    [
        ("12 min", "s", "is not in s. Write the number in s."),
        ("120 mmHg", "%", "is not in %"),
        ("minus", "", "is not a number"),
        ("--2.7", "", "is not a number"),
        ("minus -2.7", "", "is not a number"),
        ("s", "s", "is not a number"),
        ("1,234", "s", "two ways"),
        ("1 234", "s", "too many separators"),
    ],
)
def test_what_is_no_number_of_the_field_is_refused(text, unit, said):
    with pytest.raises(NotANumber) as refused:
        parse_typed_number(text, unit)
    assert said in str(refused.value), text


def test_whole_numbers_take_their_unit():
    assert parse_typed_whole("40 min", "min") == 40
    assert parse_typed_whole("+ 3") == 3
    with pytest.raises(NotANumber, match="not a whole number"):
        parse_typed_whole("4.5 min", "min")


@given(st.integers(4, 6), st.integers(0, 11))
def test_feet_and_inches_however_written(feet, inches):
    cm = feet * 30.48 + inches * 2.54
    for text in (f"{feet} ft {inches}", f"{feet}'{inches}", f"{feet} feet {inches} inches"):
        assert parse_height_cm(text) == pytest.approx(cm)
    assert parse_height_cm(f"{feet}\u2032 {inches}\u2033") == pytest.approx(cm)


@given(st.integers(5, 25), st.integers(0, 13))
def test_stones_and_pounds(stones, pounds):
    kg = (stones * 14 + pounds) * 0.45359237
    for text in (f"{stones} st {pounds}", f"{stones} stone {pounds} lbs"):
        assert parse_weight_kg(text) == pytest.approx(kg)


@each("text", ["5 ft 4 kg", "5 4", "5 ft 4 5", "ft 4", "5 km"])
def test_sizes_with_no_one_reading_are_refused(text):
    with pytest.raises(NotANumber):
        parse_height_cm(text)


@each("text", ["132/78 mmHg", "132 / 78mmhg", "132 over 78", "132/78 mm Hg"])
def test_pressures(text):
    assert parse_pressure(text) == (132, 78)


def test_a_list_is_read_with_any_sign_between():
    field = NumbersField(unit="mm")
    for text in ("2/4", "2 4", "2, 4", "2;4", "2 mm / 4 mm", "2 and 4"):
        assert field.clean(text) == [2, 4], text
    assert field.reading("2/4") == "2 settings: 2, 4"
    for text in ("2,4", "2-4", "mm", "2/x"):
        with pytest.raises(Exception, match=r"spaces between|not a number"):
            field.clean(text)


def test_a_field_says_how_it_read_another_unit():
    height = NumberField(unit="cm", decimals=1)
    assert height.clean("5 ft 4") == 162.6
    assert height.reading("5 ft 4") == "162.6 cm"
    assert height.reading("162,6") == ""
    assert WholeField(unit="min").clean("40 min") == 40
    with pytest.raises(Exception, match="1 decimal"):
        NumberField(unit="s", decimals=1).clean("12.34 s")
