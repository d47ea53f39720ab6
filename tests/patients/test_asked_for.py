"""What a search asks for: words, and dates of birth in any clear form. Pure."""

import datetime as dt

import pytest

from patients.asked_for import MOST_WORDS, Reading, asked_for
from patients.facts.partial_dates import first_span

DAY = dt.date(1959, 3, 14)


def first(typed: str) -> Reading:
    return asked_for(typed).readings[0]


def born(typed: str) -> list[tuple[dt.date, str]]:
    return [(span.first, span.known) for span in first(typed).spans]


@pytest.mark.parametrize(
    "typed",
    [
        *("14 Mar 1959", "14 March 1959", "14. mar. 1959", "14th of March 1959", "14-Mar-1959"),
        *("March 14, 1959", "Mar 14th 1959", "14mar1959", "14.03.1959", "14. 3. 1959"),
        *("14/3/1959", "3/14/1959", "14-03-1959", "1959-03-14", "1959/3/14", "1959.03.14"),
        *("19590314", "14031959", "14\u202f03\u202f1959"),
    ],
)
def test_i04_a_day_in_any_clear_form(typed: str) -> None:
    assert first(typed).words == ()
    assert born(typed) == [(DAY, "day")]


@pytest.mark.parametrize("typed", ["03/1959", "3.1959", "1959-03", "1959/3", "Mar 1959"])
def test_a_month(typed: str) -> None:
    assert born(typed) == [(dt.date(1959, 3, 1), "month")]


def test_a_year_may_also_be_a_number() -> None:
    asked = asked_for("1959")
    assert born("1959") == [(dt.date(1959, 1, 1), "year")]
    assert asked.readings[1] == Reading(words=("1959",))
    assert asked.number == 1959


def test_an_ambiguous_order_is_searched_both_ways() -> None:
    assert born("03/04/1950") == [(dt.date(1950, 4, 3), "day"), (dt.date(1950, 3, 4), "day")]
    assert born("4.4.1950") == [(dt.date(1950, 4, 4), "day")]


def test_two_figures_of_a_year_may_be_of_either_century() -> None:
    assert [day.year for day, _ in born("14.3.59")] == [1959, 2059]
    assert [day.year for day, _ in born("14 mar 16")] == [1916, 2016]


def test_a_date_stands_beside_names_in_any_order() -> None:
    for typed in ("Smith 14.3.1959", "14.3.1959, smith", "smith, born 1959-03-14"):
        assert first(typed).spans == (first_span(DAY, "day"),)
        assert "smith" in first(typed).words


def test_a_month_may_be_a_name() -> None:
    """Somebody called April, born in 1959."""
    spans = [[span.known for span in reading.spans] for reading in asked_for("April 1959").readings]
    assert spans == [["month"], ["year"], []]
    assert asked_for("April 1959").readings[1].words == ("april",)
    assert asked_for("Mayer 1959").readings[0].words == ("mayer",)


@pytest.mark.parametrize("typed", ["31.02.1959", "1959-13-14", "13/13/1959", "0000-01-01", "9999"])
def test_a_day_that_there_is_not_is_plain_text(typed: str) -> None:
    assert [reading.spans for reading in asked_for(typed).readings] == [()]


def test_the_last_year_there_is() -> None:
    assert [reading.spans for reading in asked_for("12/9999").readings] == [()]


def test_words_in_any_order_each_once() -> None:
    assert first("Smith, Mary-Jane  SMITH").words == ("smith", "mary", "jane")


@pytest.mark.parametrize(("typed", "number"), [("0012", 12), ("X-77", None), ("9" * 12, None)])
def test_an_id(typed: str, number: int | None) -> None:
    assert asked_for(typed).number == number


@pytest.mark.parametrize("typed", ["", "  ", "'", "%", "\u200b", '"'])
def test_nothing_is_asked_for(typed: str) -> None:
    assert asked_for(typed).readings == ()


def test_of_a_long_text_only_the_beginning_is_read() -> None:
    assert len(first("ab cd ef gh ij kl mn op qr st").words) == MOST_WORDS
    assert first("a" * 5000).words == ("a" * 200,)
