"""Published programs by load times count, beside what each found, with hers among them."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from programs.plates.evidence import TRIALS, Checked, Direction
from programs.trial_map.hers import amount
from programs.trial_map.of_impact_and_lifting import IMPACTS, LIFTING
from programs.trial_map.on_plates import on_plates
from programs.trial_map.picture import picture
from programs.trial_map.published import SITES, Found, Published, Span, rounded
from programs.trial_map.the_map import TrialMap, trial_map
from programs.week.week import ImpactWeek, PlateWeek, ResistanceWeek, Week
from safety.findings import Modality

ON_PLATES = {one.key: one for one in on_plates()}
PLATE = PlateWeek(
    plate="Example plate",
    sessions=3,
    frequency_hz=30,
    displacement_mm=1,
    setting=1,
    peak_g=2,
    bouts=5,
    bout_s=60,
    rest_s=60,
    vibration_min=5,
    posture=(),
    supervised=False,
    rail=True,
    a8_m_s2=0,
    vdv_m_s175=0,
)
LIFTS = ResistanceWeek(
    sessions=2,
    group="C",
    sets=3,
    reps=8,
    could_lift=10,
    percent_1rm=80,
    reps_in_reserve=2,
    exercises=(),
)
#: One leg takes half of ten stamps: contacts_of_10 is 5.
STAMPS = ImpactWeek(
    sessions=4,
    impacts=50,
    minutes=None,
    peak_bw=4.58,
    leg_bw=4.58,
    exercises=("firm_stamp",),
    osteogenic_index=None,
)
WEEK = Week(
    week=1, minutes=0, plate=PLATE, resistance=LIFTS, impact=STAMPS, balance=None, posture=None
)
NONE = replace(WEEK, plate=None, resistance=None, impact=None)


@pytest.mark.parametrize(
    ("key", "low", "high"),
    [
        # Kiel 2015, doi 10.1002/jbmr.2448: 0.3 g, 10 min a day, 24 months of 52 weeks a year.
        ("kiel_2015", 0.3 * 10 * 7 * 104, 0.3 * 10 * 7 * 104),
        # Leung 2014, PMID 24676848: 0.3 g, 20 min, 5 a week, 18 months.
        ("leung_2014", 0.3 * 20 * 5 * 78, 0.3 * 20 * 5 * 78),
        # Rubin 2004, second hand: 0.2 g peak to peak is 0.1 g peak, 2 x 10 min a day.
        ("rubin_2004", 0.1 * 20 * 364, 0.1 * 20 * 364),
        # Gusi 2006, doi 10.1186/1471-2474-7-92: 3 mm is 0.96 or 1.92 g; 626 min.
        ("gusi_2006", 0.96 * 626, 1.92 * 626),
        # Beck 2010: 30 min a week at 0.3 g, or 12 min at 1 g, 35 weeks.
        ("beck_2010", 315, 420),
        # von Stengel 2011: 8 g follows from 12 and 1.7 mm zero to peak; 15 min, 3 a week, a year.
        ("von_stengel_2011_plates", 8 * 2340, 8 * 2340),
        # Ruan 2008, second hand: 30 Hz and 5 mm are 9.06 g, or twice that; 1,300 min.
        ("ruan_2008", 9.058 * 1300, 18.115 * 1300),
    ],
)
def test_what_a_plate_gave_in_a_trial(key: str, low: float, high: float) -> None:
    span = ON_PLATES[key].amount
    assert span is not None
    assert (span.low, span.high) == pytest.approx((low, high), rel=1e-3)


def test_a_motion_whose_printed_g_follows_from_neither_reading_spans_all() -> None:
    """Verschueren 2004 prints 40 Hz, 2.5 mm and 5.09 g; its minutes were not read."""
    one = ON_PLATES["verschueren_2004"]
    assert (one.amount, one.lacks) == (None, "its minutes")
    assert ON_PLATES["marin_cascales_2019"].lacks == "its g and its minutes"


def test_all_trials_of_density_are_there_but_those_retracted() -> None:
    keys = {trial.key for trial in TRIALS}
    assert "iwamoto_2005" in keys
    assert "iwamoto_2005" not in ON_PLATES
    # Strength and falls alone are no density.
    assert "bogaerts_2007_strength" not in ON_PLATES
    assert ON_PLATES["pavos_2019"].found("hip") is None
    assert ON_PLATES["kiel_2015"].sham


def test_nulls_and_gains_lie_where_the_sources_have_them() -> None:
    shown = trial_map(Modality.PLATE, [])
    assert shown is not None
    spine = {one.key for one in shown.lane("spine", Direction.BETTER)}
    assert spine == {"ruan_2008", "von_stengel_2011_plates", "pavos_2019", "lai_2013"}
    nulls = {one.key for one in shown.lane("hip", Direction.NO_DIFFERENCE)}
    assert {"leung_2014", "kiel_2015", "slatkovska_2011", "torvinen_2003"} <= nulls
    assert shown.says[1].startswith("Lumbar spine: 4 found a gain, at 1,200 to 24,000;")


def test_impacts_and_lifts_are_counted_by_leg_and_by_lift() -> None:
    """Bassey 1998, PMID 9844097: 50 jumps, 6 a week, 3.0 and 4.0 body weights on two feet.

    Watson 2018, J Bone Miner Res 33:211: 5 sets of 5, twice a week, 8 months, over 85 %.
    """
    by_key = {one.key: one for one in (*IMPACTS, *LIFTING)}
    assert by_key["bassey_1998_before"].amount == Span(low=1.5 * 6600, high=1.5 * 6600)
    assert by_key["bassey_1998_after"].amount == Span(low=2 * 15600, high=2 * 23400)
    assert by_key["watson_2018"].amount == Span(low=0.85 * 1750, high=1750)
    for one in by_key.values():
        assert bool(one.amount) != bool(one.lacks)


def test_hers_is_the_sum_of_her_weeks() -> None:
    weeks = [WEEK, WEEK, NONE]
    assert amount(Modality.PLATE, weeks) == 2 * (2 * 5 * 3)
    assert amount(Modality.RESISTANCE, weeks) == pytest.approx(2 * (0.8 * 24 * 2))
    assert amount(Modality.IMPACT, weeks) == pytest.approx(2 * (4.58 * 50 * 0.5 * 4))
    assert amount(Modality.PLATE, [NONE]) is None
    walking = replace(STAMPS, impacts=None, minutes=20, exercises=("brisk_walk",))
    assert amount(Modality.IMPACT, [replace(WEEK, impact=walking)]) is None
    no_load = replace(LIFTS, percent_1rm=None)
    assert amount(Modality.RESISTANCE, [replace(WEEK, resistance=no_load)]) is None


@pytest.mark.parametrize("modality", [Modality.PLATE, Modality.IMPACT, Modality.RESISTANCE])
@pytest.mark.parametrize("weeks", [[], [WEEK] * 26])
def test_the_picture_holds_each_of_the_table(modality: Modality, weeks: list[Week]) -> None:
    shown = trial_map(modality, weeks)
    assert shown is not None
    for site in SITES:
        drawn = picture(shown, site)
        if not drawn:
            assert not any(one.found(site) for one in shown.placed)
            continue
        root = ElementTree.fromstring(drawn)
        with_result = [one for one in shown.placed if one.found(site)]
        marks = sum(one.tag.endswith(("circle", "rect")) for one in root.iter())
        assert marks == len(with_result)
        assert ("This program" in drawn) is bool(weeks)
        for one in with_result:
            assert one.citation.partition(",")[0] in drawn


def test_kinds_without_a_count_of_load_have_no_map() -> None:
    assert trial_map(Modality.BALANCE, []) is None
    assert trial_map(Modality.POSTURE, []) is None


def test_hers_far_out_stays_on_the_picture_and_a_lone_amount_has_an_axis() -> None:
    one = Published(
        key="x",
        citation="Example 2020",
        source="Example 2020",
        known=Checked.MEMORY,
        who="people",
        people=None,
        did="something",
        months=None,
        by_site={"hip": Found(direction=Direction.WORSE, effect="lost")},
        amount=Span(low=10, high=10),
    )
    lone = TrialMap(modality=Modality.PLATE, axis="x", note="", programs=(one,), hers=None)
    assert lone.says == ("Hip: 1 found a loss, at 10.",)
    assert lone.hers_words == ""
    ElementTree.fromstring(picture(lone, "hip"))
    assert replace(lone, hers=1234.5).hers_words == "1,200"
    far = picture(replace(lone, hers=1e6), "hip")
    assert 'text-anchor="end" font-weight="bold">This program' in far
    assert picture(lone, "spine") == ""


def test_amounts_stand_to_two_figures() -> None:
    assert [rounded(v) for v in (0.55, 1, 12.4, 735, 1248, 18720)] == [
        *("0.55", "1", "12", "740", "1,200", "19,000")
    ]
    assert Span(low=5, high=5).words == "5"
    assert Span(low=5, high=50).words == "5 to 50"
