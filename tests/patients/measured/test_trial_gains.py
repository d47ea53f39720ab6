import pytest

from patients.measured.trial_gains import TRIAL_GAINS


def test_the_plate_trial_is_not_stretched_to_a_year():
    # Verschueren 2004: hip +0.93 % in 6 months, the plate group's own, control -0.62 %; memory.
    (trial,) = TRIAL_GAINS["total_hip"]
    assert (trial.percent(0.7), trial.span_months, trial.control) == (0.93, 6, -0.62)
    assert not trial.has_interval
    assert trial.words == "0.93 %, in 6 months; own change, −0.62 % in those who did not train"
    assert "from memory" in trial.source


def test_a_gain_in_grams_depends_on_the_baseline():
    # Kistler-Fischbacher 2021, abstract: 0.031 (0.012 to 0.049) g/cm2 at the spine, any
    # exercise of high intensity, 4 of 63 groups.
    (heavy,) = (t for t in TRIAL_GAINS["lumbar_spine"] if t.label == "High intensity")
    assert heavy.percent(1.0) == pytest.approx(3.1)
    assert heavy.percent(0.8) == pytest.approx(3.875)
    assert heavy.span_months == 12
    assert heavy.words == (
        "0.031 g/cm² (0.012 to 0.049), span not read, taken as 12 months; "
        "more than without training"
    )
    assert "4 high" in heavy.source


@pytest.mark.parametrize("trial", [t for trials in TRIAL_GAINS.values() for t in trials])
def test_every_gain_lies_in_its_interval_and_names_its_source(trial):
    assert trial.low <= trial.amount <= trial.high
    assert trial.source


@pytest.mark.parametrize(
    "site, label, percent, control",
    [
        # Watson 2018 (PMID 28975661), abstract, 8 months, the 49 women who lifted and the 52 who
        # trained lightly at home.
        ("lumbar_spine", "Heavy lifting, impact", 2.9, -1.2),
        ("femoral_neck", "Heavy lifting, impact", 0.3, -1.9),
        # MEDEX-OP, conference abstract of 2022, 8 months, on and off medicine together.
        ("lumbar_spine", "The same, medicine", 1.9, None),
    ],
)
def test_what_the_trained_gained_themselves(site, label, percent, control):
    (trial,) = (t for t in TRIAL_GAINS[site] if t.label == label)
    assert (trial.amount, trial.months, trial.is_own_change) == (percent, 8, True)
    assert trial.control == control
    assert trial.words.startswith(f"{percent} %, in 8 months; own change")
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
