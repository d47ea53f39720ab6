import pytest

from patients.measured.trial_gains import TRIAL_GAINS, TrialGain, looks
from patients.scanners.precision import Lsc


def test_the_plate_trial_s_half_year_is_doubled():
    # Verschueren 2004: hip +0.93 % in 6 months, the plate group's own, from memory.
    (trial,) = TRIAL_GAINS["total_hip"]
    gain = trial.gain(0.7)
    assert gain.percent_per_year == pytest.approx(1.86)
    assert not trial.has_interval
    assert trial.words == "0.93 %, in 6 months; own change"
    assert "from memory" in trial.source


def test_its_gain_shows_on_a_default_scanner_in_month_33():
    # 2.77 x 1.8 % / 1.86 % a year = 2.68 years (LSC: ISCD, from memory).
    (look,) = looks("total_hip", Lsc("default", percent=2.77 * 1.8), 0.7)
    assert (look.at.early_months, look.at.months, look.at.late_months) == (33, 33, 33)


def test_a_gain_in_grams_depends_on_the_baseline():
    # Kistler-Fischbacher 2021, abstract: 0.031 (0.012 to 0.049) g/cm2 at the spine, any
    # exercise of high intensity, 4 of 63 groups.
    (heavy,) = (t for t in TRIAL_GAINS["lumbar_spine"] if t.label == "High intensity")
    assert heavy.gain(1.0).percent_per_year == pytest.approx(3.1)
    assert heavy.gain(0.8).high_percent_per_year == pytest.approx(6.125)
    assert heavy.words == (
        "0.031 g/cm² (0.012 to 0.049), span not read, taken as 12 months; "
        "more than without training"
    )
    assert "4 high" in heavy.source


def test_never_before_month_twelve():
    fast = TrialGain("made up", 9.0, 8.0, 10.0, True, "made up")
    (look,) = looks("total_hip", Lsc("clinic", g_cm2=0.02), 0.7, [fast])
    assert look.at.months == look.at.early_months == 12


def test_a_gain_that_may_be_none_may_never_show():
    unsure = TrialGain("made up", 1.0, -0.1, 2.0, True, "made up")
    (look,) = looks("total_hip", Lsc("clinic", g_cm2=0.02), 0.7, [unsure])
    assert look.at.late_months is None


def test_no_trial_at_the_forearm():
    assert looks("distal_third_radius", Lsc("clinic", g_cm2=0.02), 0.7) == ()


@pytest.mark.parametrize("trial", [t for trials in TRIAL_GAINS.values() for t in trials])
def test_every_gain_lies_in_its_interval_and_names_its_source(trial):
    assert trial.low <= trial.amount <= trial.high
    assert trial.source


@pytest.mark.parametrize(
    "site, label, percent",
    [
        # Watson 2018 (PMID 28975661), abstract, 8 months, the 49 women who lifted.
        ("lumbar_spine", "Heavy lifting, impact", 2.9),
        ("femoral_neck", "Heavy lifting, impact", 0.3),
        # MEDEX-OP, conference abstract of 2022, 8 months, on and off medicine together.
        ("lumbar_spine", "The same, medicine", 1.9),
    ],
)
def test_what_the_trained_gained_themselves(site, label, percent):
    (trial,) = (t for t in TRIAL_GAINS[site] if t.label == label)
    assert (trial.amount, trial.months, trial.is_own_change) == (percent, 8, True)
    assert trial.words == f"{percent} %, in 8 months; own change"
    assert "abstract only read" in trial.source


def test_no_row_of_mixed_exercise_is_called_lifting():
    # Kistler-Fischbacher 2021 pools lifting, impact and both by the intensity of the whole.
    rows = [t for trials in TRIAL_GAINS.values() for t in trials if "Kistler" in t.source]
    assert {t.label for t in rows} == {"High intensity", "Moderate intensity", "Low intensity"}
    assert not any(t.is_own_change for t in rows)


def test_high_intensity_has_no_row_at_the_neck_and_the_others_say_why():
    rows = [t for t in TRIAL_GAINS["femoral_neck"] if "Kistler" in t.source]
    assert len(rows) == 2
    assert all("high had no effect here" in t.source for t in rows)
