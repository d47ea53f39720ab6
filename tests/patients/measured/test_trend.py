"""Her own trend: the closed form against outside arithmetic, what is said, and what is too little.

Where a true slope is known, its interval is held to hold it about as often as it says.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from xml.etree import ElementTree

import numpy as np
import pytest
from scipy import stats

from patients.facts.declared import Fracture, Medicine, Scan, Turnover
from patients.facts.declared import Tests as Taken
from patients.measured.chart import Mark
from patients.measured.page.trend import Known, trend_block
from patients.measured.page.whole import Beside, measures_page
from patients.measured.series import density_series
from patients.measured.trend import Event, Kind, Measured, events_of, half_of, told
from patients.measured.trend_chart import trend_chart
from patients.measured.trend_fit import Site, Slope, bend, slope
from patients.scanners.precision import TIMES_ERROR, Lsc
from tests.people import steady

SPINE = (1.000, 0.990, 0.980, 0.985, 0.990)
DAYS = ("2020-01-10", "2021-01-10", "2022-01-10", "2023-01-10", "2024-01-10")
LSC = Lsc("a study", g_cm2=0.02)
PROGRAM = Event(on=dt.date(2022, 2, 1), kind=Kind.PROGRAM, words="program 1 signed")


def scans(values=SPINE, days=DAYS, site="lumbar_spine", scanner="Room 2"):
    return tuple(
        Scan(date=dt.date.fromisoformat(day), site=site, bmd_g_cm2=value, scanner=scanner)
        for day, value in zip(days, values, strict=False)
    )


def measured(*of, site="lumbar_spine", least=LSC):
    series = density_series(of or scans(site=site), site, least, ["L1-L4"] * len(of or DAYS))
    return Measured(series=series, half=half_of(least.at(series.baseline.value)))


# --- The closed form ----------------------------------------------------------------------------


def test_one_site_is_least_squares_with_the_error_known():
    """Slope and its error against SciPy's line: the error is sd / root of the sum of squares."""
    years, values = (0.0, 1.0, 2.1, 4.0), (100.0, 99.0, 99.5, 97.0)
    found = slope([Site(site="x", years=years, percent=values, error_percent=1.5)])
    assert found.value == pytest.approx(stats.linregress(years, values).slope)
    assert found.error == pytest.approx(1.5 / np.sqrt(4 * np.var(years)))
    assert found.spread == 0


def test_sites_that_agree_are_weighted_by_their_errors():
    years = (0.0, 1.0, 2.0)
    sure = Site(site="a", years=years, percent=(100, 99, 98), error_percent=1)
    unsure = Site(site="b", years=years, percent=(100, 99.5, 99), error_percent=3)
    found = slope([sure, unsure])
    assert found.value == pytest.approx((9 * -1 + 1 * -0.5) / 10)
    assert found.error == pytest.approx(np.sqrt(1 / (2 / 1 + 2 / 9)))


def test_sites_that_differ_beyond_their_errors_widen_the_interval():
    """DerSimonian and Laird by hand: equal errors v, so tau2 = (b1 - b2)2 / 2 - v."""
    years = (0.0, 1.0, 2.0)
    up = Site(site="a", years=years, percent=(100, 104, 108), error_percent=1)
    down = Site(site="b", years=years, percent=(100, 96, 92), error_percent=1)
    found = slope([up, down])
    own = 1 / 2
    tau2 = (4 - -4) ** 2 / 2 - own
    assert found.value == pytest.approx(0)
    assert found.spread == pytest.approx(np.sqrt(tau2))
    assert found.error == pytest.approx(np.sqrt((own + tau2) / 2))


def test_a_bend_is_found_where_it_is_and_without_noise_exactly():
    years = (0.0, 1.0, 2.0, 3.0, 4.0)
    bent = tuple(100 - 2 * t + 3 * max(t - 2, 0) for t in years)
    before, change = bend([Site(site="x", years=years, percent=bent, error_percent=1)], [2.0])
    assert (before.value, change.value) == pytest.approx((-2, 3))


def test_the_interval_holds_the_true_slope_as_often_as_it_says():
    """1,000 people of two sites: 95 % within three standard errors of a share (0.93 to 0.97)."""
    random = np.random.default_rng(20260301)
    years, errors = np.array([0.0, 1.1, 2.0, 3.2]), (1.4, 1.0)
    held = 0
    for _ in range(1000):
        sites = [
            Site(
                site=str(error),
                years=tuple(years),
                percent=tuple(100 - 0.8 * years + random.normal(0, error, 4)),
                error_percent=error,
            )
            for error in errors
        ]
        found = slope(sites)
        held += found.low <= -0.8 <= found.high
    # Between-site spread is estimated as well, which can only widen.
    assert 930 <= held <= 990


# --- What is said -------------------------------------------------------------------------------


def test_a_loss_and_what_changed_with_the_program():
    found = told([measured()], [PROGRAM])
    whole, before, since = found.sentences
    assert whole.startswith("Density changed by −0.3 % (95 % interval")
    assert whole.endswith("lumbar spine: no change beyond the errors.")
    assert before.startswith("Before program 1 signed: density changed by −1.0 %")
    assert "Since then the slope differs by +1.5 % (95 % interval" in since
    assert since.endswith("which is no difference beyond the errors.")
    assert found.lacks == ()


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ((1.0, 0.9, 0.8, 0.9, 1.0), "less loss or more gain since"),
        ((1.0, 1.1, 1.2, 1.1, 1.0), "more loss or less gain since"),
        ((1.0, 0.95, 0.9, 0.85, 0.8), "no difference beyond the errors"),
    ],
)
def test_the_difference_is_named_by_its_sign(values, words):
    assert words in told([measured(*scans(values))], [PROGRAM]).sentences[2]


def test_a_gain_and_a_loss_beyond_the_errors():
    assert "a gain beyond" in told([measured(*scans((1.0, 1.05, 1.1, 1.15, 1.2)))], []).sentences[0]
    assert "a loss beyond" in told([measured(*scans((1.0, 0.95, 0.9, 0.85, 0.8)))], []).sentences[0]


def test_too_little_is_said_to_be_too_little():
    assert told([], []).lacks == ("No density is on record whose scanner’s error is known.",)
    (line,) = told([measured(*scans()[:1])], []).lacks
    assert line == "Lumbar spine: one scan. A trend is told from 3 over 24 months."
    (line,) = told([measured(*scans()[:2])], [PROGRAM]).lacks
    assert line.startswith("Lumbar spine: 2 scans that can be compared over 12 months.")
    close = scans(days=("2020-01-10", "2020-05-10", "2021-01-10"))
    assert told([measured(*close)], []).sentences == ()


def test_a_program_without_scans_on_both_sides_is_too_little():
    late = replace(PROGRAM, on=dt.date(2023, 12, 1))
    found = told([measured()], [late])
    assert len(found.sentences) == 1
    assert "12 months or more apart on either side" in found.lacks[0]
    early = replace(PROGRAM, on=dt.date(2019, 1, 1))
    assert "on either side" in told([measured()], [early]).lacks[0]


def test_a_scanner_that_cannot_be_compared_does_not_count():
    mixed = (*scans()[:3], *scans(days=DAYS[3:], scanner="Room 9"))
    assert "2 scans that can be compared" in told([measured(*mixed)], []).lacks[0]


def test_of_a_hip_one_site_counts_and_sites_are_named_together():
    hip = measured(*scans(site="total_hip"), site="total_hip")
    neck = measured(*scans(site="femoral_neck")[:4], site="femoral_neck")
    (whole,) = told([measured(), hip, neck], []).sentences
    assert "lumbar spine and total hip together" in whole
    found = told([measured(*scans()[:1]), hip], [])
    assert "total hip: " in found.sentences[0]
    assert found.lacks[0].startswith("Lumbar spine: one scan")


def test_what_else_happened_is_not_told_apart():
    begun = Event(on=dt.date(2022, 6, 1), kind=Kind.MEDICINE, words="denosumab begun")
    broke = Event(on=dt.date(2022, 7, 1), kind=Kind.FRACTURE, words="fracture, vertebra")
    *_, also, denser = told([measured()], [PROGRAM, begun, broke]).sentences
    assert "denosumab begun (1 Jun 2022); fracture, vertebra (1 Jul 2022)" in also
    assert "cannot be told apart" in also
    assert denser == "A vertebra that broke is denser on a scan without being stronger."


# --- What happened ------------------------------------------------------------------------------


def test_programs_medicines_and_fractures_stand_in_their_order():
    facts = replace(
        steady(),
        medicines={
            "bone_medicine": Medicine(
                answer=True,
                kind="denosumab",
                since=dt.date(2022, 1, 1),
                stopped=True,
                last_dose_on=dt.date(2023, 1, 1),
            ),
            "glucocorticoid": Medicine(answer=True, months=6),
        },
        fractures=(Fracture(site="wrist", date=dt.date(2021, 5, 1)), Fracture(site="rib")),
    )
    marks = [Mark(dt.date(2022, 2, 1), "program 1 signed")]
    found = events_of(facts, marks, dt.date(2024, 7, 1))
    assert [one.words for one in found] == [
        "fracture, wrist",
        "denosumab begun",
        "program 1 signed",
        "denosumab, last dose",
        "glucocorticoid begun, about",
    ]
    assert found[-1].on == dt.date(2024, 1, 1)
    old = replace(
        facts, medicines={"bone_medicine": Medicine(answer=True, months=12)}, fractures=()
    )
    (began,) = events_of(old, [], dt.date(2024, 7, 1))
    assert (began.on, began.words) == (dt.date(2023, 7, 1), "bone medicine begun")
    assert events_of(old, [], None) == ()


# --- The picture and its table ------------------------------------------------------------------


def block(facts, *, events=(), tests=()):
    parts = ["L1-L4"] * len(facts.scans or ())
    known = Known(facts=facts, parts=parts, tests=tests, errors={}, lscs={})
    return trend_block(known, events)


def test_every_value_and_event_stands_in_the_picture_and_in_the_table():
    facts = replace(steady(), scans=scans())
    near = [PROGRAM, replace(PROGRAM, words="program 2 signed"), replace(PROGRAM, words="third")]
    long_ago = Event(on=dt.date(1990, 1, 1), kind=Kind.FRACTURE, words="fracture, hip")
    made = block(facts, events=[long_ago, *near])
    values = [line for line in made.lines if not line.is_event and line.what not in made.once]
    newest = next(line for line in values if line.what == "lumbar spine")
    assert newest.on == dt.date(2024, 1, 10)
    assert len([line for line in made.lines if line.is_event]) == 3
    root = ElementTree.fromstring(made.picture)
    assert sum(one.tag.endswith("circle") for one in root.iter()) == len(values)
    assert "program 2 signed" in made.picture
    assert "fracture, hip" not in made.picture
    assert values[0].error.startswith("± ")


def test_markers_have_the_error_of_their_laboratory_or_the_default():
    """CTX: a change counts from 56 %, PMC5302161, so half an interval of one is 56 / root of 2."""
    samples = [
        Turnover(date=dt.date(2024, m, 1), marker="ctx", value=100.0, unit="ng/L") for m in (1, 6)
    ]
    facts = replace(steady(), scans=None, turnover=tuple(samples))
    (one, _) = block(facts).lines
    assert (one.what, one.value, one.error) == ("CTX", "100 ng/L", "± 39.6 ng/L")


def test_one_day_alone_is_no_trend():
    bare = replace(steady(), scans=scans()[:1], turnover=None)
    assert block(bare) is None
    samples = (Turnover(date=dt.date(2024, 1, 1), marker="ctx", value=100.0, unit="ng/L"),)
    made = block(replace(steady(), scans=scans(), turnover=samples))
    assert made.once == ("CTX",)
    assert "CTX" not in made.picture


def test_tests_without_an_error_say_from_what_a_change_counts():
    days = [Taken(date=dt.date(2024, m, 1), up_and_go_s=9.0, one_leg_s=12.0) for m in (1, 6)]
    made = block(replace(steady(), scans=None, turnover=None), tests=days)
    errors = {line.what: line.error for line in made.lines}
    assert errors["Timed Up and Go"] == "not known; a change counts from 2 s"
    assert errors["single-leg stance"] == "not known"
    assert made.told.lacks == ("No density is on record whose scanner’s error is known.",)


def test_an_uncompared_scan_is_hollow_and_said():
    mixed = (*scans()[:4], *scans(days=DAYS[4:], scanner="Room 9"))
    made = block(replace(steady(), scans=mixed))
    assert any("cannot be compared" in line.error for line in made.lines)
    assert 'fill="#ffffff"' in made.picture


def test_the_page_holds_it_without_a_program():
    made = measures_page(replace(steady(), scans=scans()), Beside(parts=["L1-L4"] * 5))
    assert made.trend is not None
    assert trend_chart([measured()], []).startswith("<svg")


def test_a_half_interval_is_that_of_one_measurement():
    """GUM: 1.96 of the error of one; a change of two counts from 2.77 of it (ISCD)."""
    assert half_of(TIMES_ERROR[95] * 0.01) == pytest.approx(1.96 * 0.01, rel=2e-3)
    assert Slope(value=1.0, error=0.4).holds_none is False
