"""The equations of the one-repetition maximum against figures that others printed."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from programs.dose import one_rm
from programs.dose.could_lift import one_rm_kg
from programs.dose.one_rm import EQUATIONS, estimates, percent_for


@pytest.mark.parametrize(
    ("source", "factor", "load", "reps", "expected"),
    [
        ("kenany/epley, read-me", one_rm.epley, 100, 6, 120.00),
        ("tiaanduplessis/one-rep-max, read-me", one_rm.epley, 100, 10, 133.33),
        ("tiaanduplessis/one-rep-max, read-me", one_rm.brzycki, 100, 10, 133.33),
        ("kenany/brzycki, read-me: 116", one_rm.brzycki, 100, 6, 116.13),
        ("a coaching page: 232 lb", one_rm.brzycki_linear, 200, 6, 232.29),
        ("a coaching page: 240 lb", one_rm.brzycki_linear, 220, 4, 240.02),
        ("tiaanduplessis/one-rep-max, read-me", one_rm.lander, 100, 10, 134.07),
        ("kenany/lander, read-me: 117", one_rm.lander, 100, 6, 117.27),
        ("tiaanduplessis/one-rep-max, read-me", one_rm.lombardi, 100, 10, 125.89),
        ("tiaanduplessis/one-rep-max, read-me", one_rm.o_conner, 100, 10, 125.00),
        ("kenany/mayhew, read-me: 130, floored", one_rm.mayhew, 100, 10, 130.93),
        ("worked from the printed formula", one_rm.wathan, 100, 10, 134.75),
        ("worked from the printed coefficients", one_rm.cubic("leg_extension"), 1, 10, 1.2800),
    ],
)
def test_equations_give_the_printed_figures(
    source: str, factor: object, load: float, reps: int, expected: float
) -> None:
    assert load * factor(reps) == pytest.approx(expected, abs=0.01), source  # type: ignore[operator]


@pytest.mark.parametrize(("kg", "reps", "expected"), [(50, 10, 61.18), (40, 8, 46.52)])
def test_the_deciding_equation(kg: float, reps: int, expected: float) -> None:
    """Worked from the formula of Kemmler 2006, J Strength Cond Res 20:838."""
    assert one_rm_kg(kg, reps) == pytest.approx(expected, abs=0.01)


def test_the_deciding_formula_is_about_the_load_itself_at_one_repetition() -> None:
    """100.02 worked from the formula; one repetition itself lies outside its range."""
    factor = 0.988 + 0.0104 + 0.00190 - 0.0000584
    assert 100 * factor == pytest.approx(100.02, abs=0.01)
    assert one_rm_kg(100, 1) is None
    three = one_rm_kg(100, 3)
    assert three is not None
    assert three == pytest.approx(100 * (0.988 + 0.0312 + 0.0171 - 0.0015768))


def test_two_equations_meet_at_ten_repetitions() -> None:
    """An identity of the printed formulas."""
    assert one_rm.epley(10) == pytest.approx(one_rm.brzycki(10))


@pytest.mark.parametrize(("reps", "percent"), [(8, 80), (6, 85), (10, 75)])
def test_chart(reps: int, percent: int) -> None:
    """A public coaching page's chart."""
    assert percent_for(reps) == percent


@pytest.mark.parametrize("reps", [0, 13, 16])
def test_chart_has_no_such_row(reps: int) -> None:
    with pytest.raises(ValueError, match="chart"):
        percent_for(reps)


def test_the_chart_falls_and_says_what_is_from_memory() -> None:
    percents = [row.percent for row in one_rm.CHART]
    assert percents == sorted(percents, reverse=True)
    assert [row.reps for row in one_rm.CHART if row.from_memory] == [15]
    assert [(row.reps, row.also) for row in one_rm.CHART if row.also] == [(11, 70), (12, 67)]


def test_the_one_that_decides_comes_first_and_is_the_drafted_one() -> None:
    first, *others = estimates(60, 8, "leg_press")
    assert first.decides
    assert first.kg == one_rm_kg(60, 8)
    assert not any(one.decides for one in others)
    assert all(one.kg and one.error and one.source for one in others)


def test_lifts_with_an_equation_of_their_own_get_it() -> None:
    assert "Older adults 2024, lat pull" in {one.name for one in estimates(30, 8, "lat_pull")}
    assert not any("2024" in one.name for one in estimates(30, 8, "leg_press"))


@pytest.mark.parametrize(("reps", "refused"), [(2, True), (3, False), (20, False), (21, True)])
def test_outside_its_range_the_deciding_one_refuses_and_says_why(reps: int, refused: bool) -> None:
    first = estimates(60, reps, "leg_press")[0]
    assert (first.kg is None) == refused
    assert ("3 to 20" in first.why_not) == refused


@pytest.mark.parametrize(("reps", "refused"), [(1, False), (10, False), (11, True)])
def test_classic_equations_stop_at_ten(reps: int, refused: bool) -> None:
    for one in estimates(60, reps, "leg_press")[1:]:
        assert (one.kg is None) == refused
        assert bool(one.why_not) == refused


@given(kg=st.floats(1, 300), reps=st.integers(1, 20))
def test_every_estimate_grows_with_load_and_repetitions(kg: float, reps: int) -> None:
    for equation in EQUATIONS:
        if equation.least_reps <= reps < equation.most_reps:
            assert equation.factor(reps + 1) > equation.factor(reps) > 0.98
