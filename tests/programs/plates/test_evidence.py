"""The evidence as data: whole, sourced, and never resting on what was retracted."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace

import pytest

from patients.facts import codes
from programs.dose.vibration import (
    ZERO_TO_PEAK,
    displacement_for_g,
    peak_from_g,
    peak_g,
    peak_to_peak_mm,
)
from programs.plates.evidence import (
    ALTERNATIVES,
    POOLED,
    TRIALS,
    Agreement,
    Checked,
    Direction,
    Measure,
    Printed,
    Trial,
    alternatives,
    balance,
    direction,
    for_plate,
    usable,
)
from programs.plates.evidence.trial import COUNTED, found

BY_KEY = {trial.key: trial for trial in TRIALS}


# --- Printed motions against physics ------------------------------------------------------

FOLLOWS_PEAK_TO_PEAK = [
    ("Gisbert-Orozco 2024, Appl Sci 14:9516", Printed(hz=20, mm=1, g=1, g_spread=0.2)),
    ("the same, marginal", Printed(hz=25, mm=1, g=1, g_spread=0.2)),
    ("the same", Printed(hz=30, mm=0.6, g=1, g_spread=0.2)),
    ("Torvinen 2003, mm from memory, 2 g rounded", Printed(hz=25, mm=2, g=2, g_spread=0.5)),
    ("Torvinen 2003, mm from memory", Printed(hz=45, mm=2, g=8)),
    ("Sa-Caputo 2019, g from memory", Printed(hz=5, mm=2.5, g=0.12)),
    ("Sa-Caputo 2019, g from memory", Printed(hz=14, mm=7.5, g=2.95)),
    ("Abercromby 2007, g by the formula", Printed(hz=30, mm=4, g=7.246)),
]
FOLLOWS_ZERO_TO_PEAK = [
    ("PaVOS protocol, Trials 2018 19:186", Printed(hz=30, mm=1, g=3.6)),
    ("Fernandez 2022, Front Physiol", Printed(hz=50, mm=0.7, g=7.04)),
    ("Fernandez 2022, Front Physiol", Printed(hz=30, mm=0.2, g=0.75)),
    ("von Stengel 2011, g from memory", Printed(hz=12.5, mm=12, g=8)),
    ("von Stengel 2011, g from memory", Printed(hz=35, mm=1.7, g=8)),
]
FOLLOWS_NEITHER = [
    ("Humphries 2004, JSSM 3:16, a local vibrator", Printed(hz=50.42, mm=5, g=1.35)),
    ("Verschueren 2004, from memory", Printed(hz=35, mm=1.7, g=2.28)),
    ("Verschueren 2004, from memory", Printed(hz=40, mm=2.5, g=5.09)),
    ("Delecluse 2003, from memory", Printed(hz=35, mm=2.5, g=2.28)),
    ("Delecluse 2003, from memory", Printed(hz=40, mm=5, g=5.09)),
    ("Bosco 1999, from memory", Printed(hz=26, mm=10, g=5.51)),
    ("Bosco 2000, from memory", Printed(hz=26, mm=4, g=17)),
]


@pytest.mark.parametrize("source, printed", FOLLOWS_PEAK_TO_PEAK)
def test_sets_that_follow_peak_to_peak(source: str, printed: Printed) -> None:
    assert printed.agreement is Agreement.PEAK_TO_PEAK, source


@pytest.mark.parametrize("source, printed", FOLLOWS_ZERO_TO_PEAK)
def test_sets_that_follow_only_zero_to_peak(source: str, printed: Printed) -> None:
    assert printed.agreement is Agreement.ZERO_TO_PEAK, source


@pytest.mark.parametrize("source, printed", FOLLOWS_NEITHER)
def test_sets_that_follow_from_neither(source: str, printed: Printed) -> None:
    assert printed.agreement is Agreement.NEITHER, source


def test_a_printed_g_a_tenth_off_is_rounding_and_more_is_not() -> None:
    exact = peak_g(30, 2)
    assert Printed(hz=30, mm=2, g=exact / 1.099).agreement is Agreement.PEAK_TO_PEAK
    assert Printed(hz=30, mm=2, g=exact / 1.11).agreement is Agreement.NEITHER


def test_a_set_that_is_not_whole_cannot_be_tested() -> None:
    for printed in (Printed(hz=30), Printed(hz=30, mm=2), Printed(hz=30, g=2)):
        assert printed.agreement is Agreement.NOT_TESTABLE
        assert printed.comparison == ""


def needs_mm(printed: Printed) -> float:
    """Return the peak-to-peak displacement that the printed g would need, in mm."""
    assert printed.g is not None
    return displacement_for_g(printed.hz, peak_from_g(printed.g, printed.g_reads_as))


def test_the_hip_trial_of_2004_is_flagged_with_its_numbers() -> None:
    trial = BY_KEY["verschueren_2004"]
    assert len(trial.disagreements) == 2
    assert trial.disagreements[0].comparison == (
        "35 Hz and 1.7 mm give 4.19 g read peak to peak and 8.38 g read zero to peak; "
        "printed: 2.28 g."
    )
    assert needs_mm(trial.disagreements[0]) == pytest.approx(0.925, abs=5e-4)
    assert needs_mm(trial.disagreements[1]) == pytest.approx(1.58, abs=5e-3)
    assert [t.key for t in TRIALS if t.disagreements] == ["verschueren_2004"]


@pytest.mark.parametrize(
    "key, mm",
    [
        ("lai_2013", 1.77),
        ("bemben_2010", 1.10),
        ("leung_2014", 0.122),
        ("kiel_2015", 0.109),
        ("rubin_2004", 0.055),  # its 0.2 g is peak to peak
    ],
)
def test_displacement_that_a_printed_g_needs(key: str, mm: float) -> None:
    assert needs_mm(BY_KEY[key].printed[0]) == pytest.approx(mm, rel=0.006)


def test_three_centimetres_would_be_more_than_nine_g() -> None:
    """Gusi 2006 prints 3 cm: a slip of the unit."""
    (printed,) = BY_KEY["gusi_2006"].printed
    assert printed.mm is not None
    assert peak_g(printed.hz, printed.mm) == pytest.approx(9.59, abs=0.01)
    assert peak_g(12.6, 3) == pytest.approx(0.96, abs=0.005)
    assert peak_g(12.6, peak_to_peak_mm(3, ZERO_TO_PEAK)) == pytest.approx(1.92, abs=0.005)


# --- Trials and pooled analyses -----------------------------------------------------------


def test_every_trial_is_whole() -> None:
    assert len(BY_KEY) == len(TRIALS) > 0
    for trial in TRIALS:
        assert trial.who, trial.key
        assert trial.dose, trial.key
        assert trial.people > 0
        assert 0 < trial.months <= 24
        assert set(trial.motions) <= set(codes.MOTIONS)
        assert trial.motions or not trial.motion_sure
        for outcome in trial.outcomes:
            assert set(outcome.aims) <= set(codes.AIMS)
            assert outcome.effect or outcome.direction is Direction.NOT_READ


def test_a_trial_from_memory_has_no_outcome_that_says_it_was_read() -> None:
    for trial in TRIALS:
        if trial.checked is Checked.MEMORY:
            assert {o.checked for o in trial.outcomes} == {Checked.MEMORY}, trial.key


def test_the_retracted_trial_is_listed_with_its_date_and_never_used() -> None:
    """Retraction note of 22 October 2019, doi 10.1007/BF03324589."""
    retracted = [trial for trial in TRIALS if trial.retracted_on]
    assert [(t.key, t.retracted_on) for t in retracted] == [("iwamoto_2005", dt.date(2019, 10, 22))]
    assert retracted[0] not in usable()
    assert len(usable()) == len(TRIALS) - 1
    assert all(retracted[0] not in for_plate(motion) for motion in codes.MOTIONS)
    for aim in codes.AIMS:
        said = balance(aim)
        assert retracted[0] not in (*said.better, *said.no_difference, *said.mixed)
        assert "Iwamoto" not in " ".join((said.sentence, *said.both_sides))


def test_a_retracted_trial_would_not_be_counted_even_with_results() -> None:
    assert direction(BY_KEY["iwamoto_2005"], "hip") is None


def test_trials_by_kind_of_plate() -> None:
    assert "leung_2014" in {t.key for t in for_plate("low_magnitude")}
    assert {t.key for t in for_plate("side_alternating")} >= {"gusi_2006", "cheung_2007"}
    assert "von_stengel_2011_plates" in {t.key for t in for_plate("vertical")}
    assert "beaudart_2013" not in {t.key for m in codes.MOTIONS for t in for_plate(m)}


def test_scheduled_minutes_do_not_part_gain_from_none() -> None:
    """The thousand minutes of Fratini 2016 as a dividing line."""
    timed = {t.key: t.minutes for t in TRIALS if t.minutes}
    assert timed["lai_2013"] < 1000 < timed["kiel_2015"]
    assert direction(BY_KEY["lai_2013"], "spine") is Direction.BETTER
    assert direction(BY_KEY["kiel_2015"], "spine") is Direction.NO_DIFFERENCE


def test_every_pooled_analysis_is_whole() -> None:
    assert len({p.key for p in POOLED}) == len(POOLED) > 0
    for pooled in POOLED:
        assert pooled.outcomes
        for outcome in pooled.outcomes:
            assert outcome.certainty
            assert set(outcome.aims) <= set(codes.AIMS)


def test_a_number_below_nought_has_a_real_minus() -> None:
    texts = [o.effect for trial in TRIALS for o in trial.outcomes]
    texts += [text for one in POOLED for o in one.outcomes for text in (o.effect, o.interval)]
    texts += [one.effect for one in ALTERNATIVES]
    assert [text for text in texts if re.search(r"(^|[ (])-\d", text)] == []


def test_pooled_falls_as_printed() -> None:
    """Jepsen 2017, BMJ Open 7:e018342."""
    (jepsen,) = (p for p in POOLED if p.key == "jepsen_2017")
    rate = jepsen.outcomes[0]
    assert "0.67" in rate.effect
    assert (rate.interval, rate.certainty) == ("0.50 to 0.89", "moderate")


# --- The balance --------------------------------------------------------------------------


def test_there_is_a_balance_for_each_aim_and_for_nothing_else() -> None:
    for aim in codes.AIMS:
        said = balance(aim)
        assert said.sentence.endswith(".")
        assert alternatives(aim)
    with pytest.raises(KeyError):
        balance("height")


def test_density_sentences_agree_with_the_trials_they_sum_up() -> None:
    hip, spine = balance("hip"), balance("spine")
    assert len(hip.better) < len(hip.no_difference)
    assert "most did not" in hip.sentence
    measured = len(spine.better) + len(spine.no_difference) + len(spine.mixed)
    assert len(spine.better) / measured == pytest.approx(1 / 4, abs=0.05)
    assert "one trial in four" in spine.sentence
    assert spine.counts == (
        "Of 15 trials listed here that measured it: 4 found a gain, 10 no difference, 1 mixed."
    )


def test_falls_and_strength_sentences_agree_with_the_trials_they_sum_up() -> None:
    for aim in ("falls", "strength"):
        said = balance(aim)
        assert len(said.better) > len(said.no_difference) + len(said.mixed)
    assert balance("falls").pooled


def test_both_sides_stand_where_the_sources_disagree() -> None:
    for aim in ("hip", "spine", "falls", "strength"):
        starts = [line.split(":")[0].split(" ")[0] for line in balance(aim).both_sides]
        assert starts.count("For") == starts.count("Against") >= 1
    low = " ".join(balance("spine").both_sides)
    for name in ("de Oliveira", "Leung 2014", "Kiel 2015", "Fratini 2016", "Ma 2016"):
        assert name in low


def test_the_wrist_was_measured_and_nothing_gained() -> None:
    """Bemben 2010 (PMID 20601282), abstract: group by time p < 0.05 at the 33 % radius, control

    slightly up, plate with lifting slightly down. Torvinen 2003 measured the distal radius.
    """
    said = balance("wrist")
    assert said.counts == (
        "Of 2 trials listed here that measured it: 0 found a gain, 1 no difference, 0 mixed, "
        "1 a loss."
    )
    assert [t.key for t in said.worse] == ["bemben_2010"]
    assert [t.key for t in said.no_difference] == ["torvinen_2003"]
    assert "Bemben 2010" in said.sentence
    assert "No trial" not in said.sentence
    assert [p.key for p in said.pooled] == ["de_oliveira_2023"]


def test_an_aim_that_no_trial_measured_says_so() -> None:
    none = replace(balance("wrist"), no_difference=(), worse=())
    assert none.counts == "No trial listed here measured it."


def trial(*outcomes: object) -> Trial:
    base = BY_KEY["lai_2013"]
    return Trial(**{**base.__dict__, "outcomes": outcomes})


def test_direction_of_a_trial() -> None:
    said = Checked.CHECKED
    gain = found("falls", Measure.FALLS, Direction.BETTER, "fewer", said)
    none = found("falls", Measure.BALANCE, Direction.NO_DIFFERENCE, "same", said)
    unread = found("falls", Measure.BALANCE, Direction.NOT_READ, "", said)
    marker = found("hip", Measure.TURNOVER, Direction.BETTER, "lower", said)
    assert direction(trial(gain), "falls") is Direction.BETTER
    assert direction(trial(gain, none), "falls") is Direction.MIXED
    assert direction(trial(gain, unread), "falls") is Direction.BETTER
    assert direction(trial(unread), "falls") is None
    assert direction(trial(marker), "hip") is None, "a marker is not density"
    assert direction(trial(gain), "hip") is None


def test_what_counts_for_an_aim_is_shown_first() -> None:
    outcomes = BY_KEY["leung_2014"].outcome("hip")
    assert [o.measure for o in outcomes] == [Measure.DENSITY, Measure.FRACTURES]
    assert set(COUNTED) == set(codes.AIMS)


def test_every_alternative_names_its_source() -> None:
    for other in ALTERNATIVES:
        assert other.source
        assert other.effect
        assert other.certainty
    (high, *_) = (a for a in alternatives("falls") if a.certainty == "high")
    assert "0.77 (0.71 to 0.83)" in high.effect  # Cochrane review 2019, CD012424
