import datetime as dt
import math
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from patients.facts.units import (
    NotADate,
    NotANumber,
    Unreadable,
    clean_text,
    parse_date_text,
    parse_height_cm,
    parse_number,
    parse_pressure,
    parse_weight_kg,
    parse_whole,
    pressure_slip,
    round_half_away,
    show_against,
    show_number,
)
from tests.each import each


@pytest.mark.parametrize(
    "text, value",
    [
        ("68,5", 68.5),
        ("68.5", 68.5),
        ("0,681", 0.681),
        ("1.105", 1.105),
        ("\u22122.5", -2.5),
        ("\u20132.5", -2.5),
        ("\u20122.5", -2.5),
        ("-2,5", -2.5),
        ("+0.4", 0.4),
        ("\u00a068.5\u202f", 68.5),
        ("\u200968.5\u2007", 68.5),
        ("\u202a68.5\u202c", 68.5),
        ("\uff11\uff12", 12),
        ("\uff16\uff18\uff0e\uff15", 68.5),
        ("1234,56", 1234.56),
        ("1234.5678", 1234.5678),
        ("007", 7),
    ],
)
def test_number_is_read_as_typed(text, value):
    assert parse_number(text) == value


@pytest.mark.parametrize("text", ["-0", "\u22120,0"])
def test_nought_has_no_minus(text):
    assert math.copysign(1, parse_number(text)) == 1


@each(
    "text",
    [
        "1e3",
        "1.234,5",
        "1,234.5",
        "1.234.567",
        "1 234",
        "1\u00a0234",
        "1'234",
        "1..5",
        "1,5,",
        "abc",
        "68.5 kg",
        "NaN",
        "nan",
        "inf",
        "-inf",
        "Infinity",
        "",
        " ",
        ".5",
        "5.",
        "- 2.5",
        "--2.5",
        "\u20142.5",
        "2\u00b2",
        "\u0663",
        "0x10",
        "1_000",
        "1234567890123456",
        "9" * 400,
    ],
)
def test_what_is_not_surely_a_number_is_refused(text):
    with pytest.raises(NotANumber):
        parse_number(text)


def test_comma_and_three_figures_could_be_thousands():
    with pytest.raises(NotANumber, match=r"two ways\. Write 1\.234 or 1234\."):
        parse_number("1,234")
    assert parse_number("1,23") == 1.23
    assert parse_number("1,2345") == 1.2345
    assert parse_number("1234,567") == 1234.567


@pytest.mark.parametrize(
    "text, sentence",
    [
        ("", "Write a number, like 68.5."),
        ("abc", "\u201cabc\u201d is not a number. Write figures only, like 68.5."),
        ("1.234,5", "\u201c1.234,5\u201d has too many separators."),
        ("1 234", "\u201c1 234\u201d has too many separators."),
        ("1234567890123456", "has too many figures."),
        ("x" * 30, "\u201c" + "x" * 20 + "…\u201d is not a number."),
    ],
)
def test_refusal_says_how_to_write_it(text, sentence):
    with pytest.raises(NotANumber) as refused:
        parse_number(text)
    assert sentence in str(refused.value)


@given(st.decimals(-9999, 9999, places=3, allow_nan=False))
def test_every_plain_decimal_is_read_back(value):
    assert parse_number(f"{value:.4f}".replace("-", "\u2212")) == float(value)


@given(st.text())
def test_any_text_gives_a_finite_number_or_a_sentence(text):
    assert read_or_sentence(text) != ""


def read_or_sentence(text):
    try:
        value = parse_number(text)
    except Unreadable as refused:
        return str(refused) if str(refused).endswith(".") else ""
    return str(value) if math.isfinite(value) else ""


def test_whole_numbers():
    assert parse_whole("12") == 12
    assert parse_whole("\uff11\uff12") == 12
    assert parse_whole("\u22121") == -1
    for text in ("12.0", "1e3", "1,000", "", "twelve"):
        with pytest.raises(NotANumber, match="not a whole number"):
            parse_whole(text)


@pytest.mark.parametrize("text", ["132/78", " 132 / 78 ", "\uff11\uff13\uff12\uff0f78"])
def test_pressure(text):
    assert parse_pressure(text) == (132, 78)


@pytest.mark.parametrize("text", ["132", "132-78", "132/78/60", "132.5/78", "", "a/b", "-132/78"])
def test_what_is_no_pressure_is_refused(text):
    with pytest.raises(NotANumber, match="like 132/78"):
        parse_pressure(text)


@pytest.mark.parametrize("text", ["78/132", "80/80"])
def test_pressure_the_wrong_way_round_is_refused(text):
    with pytest.raises(NotANumber, match="higher than the second"):
        parse_pressure(text)


@pytest.mark.parametrize(
    "systolic, diastolic, fine",
    [
        (50, 20, True),
        (49, 20, False),
        (50, 19, False),
        (300, 200, True),
        (301, 200, False),
        (300, 201, False),
        (13, 8, False),
    ],
)
def test_pressure_range_is_believable(systolic, diastolic, fine):
    assert (pressure_slip(systolic, diastolic) is None) is fine


def test_unbelievable_pressure_is_refused_with_its_range():
    with pytest.raises(NotANumber, match="13 mmHg; 50 to 300"):
        parse_pressure("13/8")


@pytest.mark.parametrize("text", ["1950-04-03", " 1950\u201304\u201303 ", "\uff11950-04-03"])
def test_date(text):
    assert parse_date_text(text) == dt.date(1950, 4, 3)


@pytest.mark.parametrize(
    "text",
    [
        "03/04/1950",
        "15/04/1991",
        "3.4.1950",
        "50-04-03",
        "1950-4-3",
        "19500403",
        "",
        "1950-04-03 9",
    ],
)
def test_date_in_any_other_order_is_refused(text):
    with pytest.raises(NotADate, match="year-month-day, like 1950-04-03"):
        parse_date_text(text)


def test_day_that_does_not_exist_is_refused():
    assert parse_date_text("2024-02-29") == dt.date(2024, 2, 29)
    with pytest.raises(NotADate, match="no day 2025-02-29"):
        parse_date_text("2025-02-29")


@pytest.mark.parametrize("text, fine", [("1899-12-31", False), ("1900-01-01", True)])
def test_year_slips_are_refused_early(text, fine):
    if fine:
        assert parse_date_text(text).isoformat() == text
    else:
        with pytest.raises(NotADate, match="Check the year"):
            parse_date_text(text)


@pytest.mark.parametrize("text, fine", [("2199-12-31", True), ("2200-01-01", False)])
def test_year_slips_are_refused_late(text, fine):
    if fine:
        assert parse_date_text(text).isoformat() == text
    else:
        with pytest.raises(NotADate, match="Check the year"):
            parse_date_text(text)


@pytest.mark.parametrize(
    "text, kg",
    [
        ("68.5", 68.5),
        ("68,5 kg", 68.5),
        ("6850 g", 6.85),
        ("68500 g", 68.5),
        ("150 lb", 68.0388555),  # exact pound, international agreement of 1959
        ("150LB", 68.0388555),
    ],
)
def test_weight_is_stored_in_kilograms(text, kg):
    assert parse_weight_kg(text) == pytest.approx(kg, abs=1e-9)


@pytest.mark.parametrize(
    "text, cm",
    [
        ("161", 161),
        ("161 cm", 161),
        ("1.61 m", 161),
        ("1610 mm", 161),
        ("63 in", 160.02),  # exact inch, international agreement of 1959
        ("5 ft", 152.4),
        ("5 ft 3 in", 160.02),
        ("5ft3in", 160.02),
    ],
)
def test_height_is_stored_in_centimetres(text, cm):
    assert parse_height_cm(text) == pytest.approx(cm, abs=1e-9)


@pytest.mark.parametrize("text", ["68.5 pints", "5 ft", "68 kg 5", "1e3", "1.234,5 kg", "68 kg!"])
def test_weight_in_no_known_unit_is_refused(text):
    with pytest.raises(NotANumber, match="number of kg"):
        parse_weight_kg(text)


@pytest.mark.parametrize("text", ["tall", "", "5'3\"x"])
def test_height_without_a_number_or_unit_is_refused(text):
    with pytest.raises(NotANumber):
        parse_height_cm(text)


@pytest.mark.parametrize(
    "value, decimals, shown",
    [
        (-2.45, 1, "\u22122.5"),
        (2.45, 1, "2.5"),
        (-2.4499, 1, "\u22122.4"),
        (-0.04, 1, "0.0"),
        (0.05, 1, "0.1"),
        (68, 1, "68.0"),
        (120.5, 0, "121"),
        (1e-7, 3, "0.000"),
    ],
)
def test_shown_numbers_round_half_away_from_nought(value, decimals, shown):
    assert show_number(value, decimals) == shown


@given(st.floats(-5000, 5000), st.integers(0, 4))
def test_rounding_is_never_further_than_half_a_step_and_symmetric(value, decimals):
    rounded = round_half_away(value, decimals)
    assert abs(rounded - value) <= 0.5 * 10**-decimals + 1e-9
    assert round_half_away(-value, decimals) == -rounded


@pytest.mark.parametrize(
    "value, limit, decimals, shown",
    [
        (4 / 4.99, 0.8, 2, "0.802"),
        (4 / 5, 0.8, 2, "0.80"),
        (0.75, 0.8, 2, "0.75"),
        (-2.46, -2.5, 1, "\u22122.46"),
        (-2.5, -2.5, 1, "\u22122.5"),
        (0.1 + 0.2, 0.3, 1, "0.3000000"),
    ],
)
def test_shown_number_stands_on_its_side_of_the_limit(value, limit, decimals, shown):
    assert show_against(value, limit, decimals) == shown


@pytest.mark.parametrize(
    "text, clean",
    [
        ("  Ann\u00a0Lee\u202f ", "Ann Lee"),
        ("Mu\u200bn\u0303oz", "Mu\u00f1oz"),
        ("\u202eAnn\u202c", "Ann"),
        ("\u2066Ann\u2069\ufeff", "Ann"),
        ("An\u00adn", "Ann"),
        ("Ann\x00\x07", "Ann"),
        ("Ann\ud800", "Ann"),
        ("one\r\ntwo\tthree", "one\ntwo\tthree"),
        ("O'Grady", "O'Grady"),
        ("", ""),
        ("\u200b", ""),
    ],
)
def test_text_loses_what_cannot_be_seen(text, clean):
    assert clean_text(text) == clean


def test_composed_and_decomposed_names_become_one():
    name = "Muñoz Åberg"
    assert clean_text(unicodedata.normalize("NFD", name)) == clean_text(name) == name


@given(st.text())
def test_cleaning_twice_changes_nothing_more(text):
    assert clean_text(clean_text(text)) == clean_text(text)
