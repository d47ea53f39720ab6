import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pint import UnitRegistry

from patients.facts.codes import MARKER_UNITS, MARKERS
from patients.facts.declared import Condition, Facts, Fracture, Person, Turnover
from patients.measured.turnover import (
    DEFAULT_LSC,
    SAME_LABORATORY,
    USUAL,
    MarkerLsc,
    compare,
    converted,
    is_plausible,
    laboratory_lsc,
    lsc_percent,
    place,
    sampling_cautions,
    unit_slip,
    verdict,
)

REGISTRY = UnitRegistry()
MASS = ("ng/L", "pg/mL", "ng/mL", "ug/L")


def sample(value, marker="ctx", unit="ng/mL", on="2025-01-20", fasting=True):
    return Turnover(
        date=dt.date.fromisoformat(on),
        marker=marker,
        value=value,
        unit=unit,
        fasting_morning=fasting,
    )


HEALTHY_KIDNEYS = {"kidney_disease": Condition(answer=False)}


def facts(fractures=(), conditions=HEALTHY_KIDNEYS):
    return Facts(
        as_of=dt.date(2026, 3, 2),
        person=Person(born=dt.date(1959, 8, 14), sex="female"),
        fractures=fractures,
        conditions=conditions,
    )


@pytest.mark.parametrize(
    "within, analytical, least",
    [
        (12.4, 5.87, 38),  # P1NP, 2001, printed; the analytical CV worked back
        (7.1, 4.97, 24),  # bone ALP, same
        (10.6, 6.19, 34),  # NTx, same
    ],
)
def test_lsc_from_two_cvs(within, analytical, least):
    assert lsc_percent(analytical, within) == pytest.approx(least, abs=0.05)


@pytest.mark.parametrize(
    "last, word",
    [
        (38, "within_error"),
        (37.2, "within_error"),
        (37, "fall"),
        (82.8, "within_error"),
        (83, "rise"),
    ],
)
def test_p1np_against_38_percent(last, word):
    # IOF and ECTS: more than 38 %
    first = sample(60, "p1np", "ug/L")
    assert compare(first, sample(last, "p1np", "ug/L", "2025-07-20")).verdict == word


@pytest.mark.parametrize("last, word", [(0.22, "within_error"), (0.21, "fall")])
def test_ctx_against_56_percent(last, word):
    # IOF and ECTS: more than 56 %; 0.50 to 0.22 is 56.0 % and does not count
    found = compare(sample(0.50), sample(last, on="2025-07-20"))
    assert found.verdict == word
    assert found.lsc == DEFAULT_LSC["ctx"]


@pytest.mark.parametrize("first", [x / 100 for x in range(10, 120, 7)])
def test_change_equal_to_the_lsc_never_counts(first):
    last = round(first * 0.44, 6)
    assert compare(sample(first), sample(last, on="2025-07-20")).verdict == "within_error"


def test_ctx_at_the_premenopausal_limit():
    # J Bone Metab 2020;27(1): 0.101 to 0.632 ng/mL
    assert converted(0.632, "ng/mL", "ng/L") == 632
    usual = USUAL["before", "ctx"]
    assert place(sample(0.632), usual) == "within"
    assert place(sample(0.633), usual) == "above"
    assert place(sample(101, unit="ng/L"), usual) == "within"
    assert place(sample(100, unit="pg/mL"), usual) == "below"


def test_usual_range_of_osteocalcin():
    # J Bone Metab 2020;27(1)
    assert place(sample(24.27, "osteocalcin"), USUAL["before", "osteocalcin"]) == "within"
    assert place(sample(24.28, "osteocalcin"), USUAL["before", "osteocalcin"]) == "above"
    assert place(sample(24.28, "osteocalcin"), USUAL["after", "osteocalcin"]) == "within"
    assert place(sample(5.41, "osteocalcin"), USUAL["after", "osteocalcin"]) == "below"


def test_activity_has_no_place_in_a_range_of_mass():
    assert place(sample(20, unit="U/L"), USUAL["after", "ctx"]) is None


@pytest.mark.parametrize("unit", MASS)
@pytest.mark.parametrize("wanted", MASS)
def test_conversions_agree_with_an_outside_registry(unit, wanted):
    # pint
    outside = REGISTRY.Quantity(1.7, unit).to(wanted).magnitude
    assert converted(1.7, unit, wanted) == pytest.approx(outside)


@pytest.mark.parametrize("unit", MASS)
def test_activity_is_never_converted(unit):
    assert converted(20, "U/L", unit) is None
    assert converted(20, unit, "U/L") is None
    assert converted(20, "U/L", "U/L") == 20


def test_every_unit_and_marker_of_the_facts_is_known():
    assert set(MASS) | {"U/L"} == set(MARKER_UNITS)
    assert set(DEFAULT_LSC) == set(MARKERS)


@pytest.mark.parametrize("marker, percent", [("osteocalcin", 29), ("bone_alp", 24)])
def test_other_defaults(marker, percent):
    # PMID 8633185; 27 women, 2001
    assert DEFAULT_LSC[marker].percent == percent


def test_laboratory_s_own_lsc_goes_before_the_default():
    own = MarkerLsc(25, "laboratory")
    found = compare(sample(0.50), sample(0.35, on="2025-07-20"), own)
    assert (found.verdict, found.lsc) == ("fall", own)
    assert found.percent == pytest.approx(-30)


def test_a_laboratory_s_lsc_says_whose_it_is():
    """P1NP: CVs of 12.4 % within a person and 5.8 % give 37.9 % (27 women, 2001: 38 %)."""
    told = dt.date(2026, 1, 5)
    worked_out = laboratory_lsc("North", told, (5.8, 12.4))
    assert worked_out.percent == pytest.approx(lsc_percent(5.8, 12.4))
    assert worked_out.source == (
        "laboratory North, told 5 Jan 2026, worked out from its CV of 5.8 % and 12.4 % "
        "within a person"
    )
    given = laboratory_lsc("North", told, 25.0)
    assert (given.percent, given.own) == (25.0, True)
    assert given.words == (
        "A change counts where it is more than 25 % (laboratory North, told 5 Jan 2026)."
    )


def test_a_default_says_that_the_laboratory_s_own_would_go_before():
    assert not DEFAULT_LSC["ctx"].own
    assert DEFAULT_LSC["ctx"].words == (
        "A change counts where it is more than 56 % (IOF and ECTS, PMC5302161); "
        "the laboratory\u2019s own figure would go before."
    )


def test_two_units_are_converted_and_said():
    found = compare(sample(0.50), sample(200, unit="ng/L", on="2025-07-20"))
    assert found.percent == pytest.approx(-60)
    assert found.verdict == "fall"
    assert "Reported in ng/mL and in ng/L." in found.cautions[0]
    assert found.cautions[1] == SAME_LABORATORY


def test_same_laboratory_is_always_to_be_checked():
    assert compare(sample(0.5), sample(0.5, on="2025-07-20")).cautions == (SAME_LABORATORY,)


@pytest.mark.parametrize(
    "one, other, reason",
    [
        (sample(0.5), sample(50, "p1np", on="2025-07-20"), "two different markers"),
        (
            sample(20, "bone_alp", "U/L"),
            sample(12, "bone_alp", "ug/L", "2025-07-20"),
            "U/L and µg/L measure different things",
        ),
    ],
)
def test_samples_that_cannot_be_compared_get_no_verdict(one, other, reason):
    found = compare(one, other)
    assert (found.verdict, found.percent) == ("not_comparable", None)
    assert reason in found.reasons[0]


def test_activity_is_compared_with_activity():
    one, other = sample(20, "bone_alp", "U/L"), sample(26, "bone_alp", "U/L", "2025-07-20")
    assert compare(one, other).verdict == "rise"


def test_earlier_sample_is_the_baseline_whatever_the_order():
    earlier, later = sample(0.50), sample(0.20, on="2025-07-20")
    assert compare(later, earlier) == compare(earlier, later)


@given(st.floats(-500, 500), st.floats(1, 100))
def test_verdict_mirrors(percent, lsc):
    mirror = {"rise": "fall", "fall": "rise", "within_error": "within_error"}
    assert verdict(-percent, lsc) == mirror[verdict(percent, lsc)]


@pytest.mark.parametrize(
    "marker, fasting, words",
    [
        ("ctx", True, None),
        ("ctx", False, "not taken fasting"),
        ("ctx", None, "Not recorded whether"),
        ("p1np", False, None),
        ("p1np", None, None),
    ],
)
def test_ctx_is_taken_fasting_in_the_morning(marker, fasting, words):
    # laboratory consensus, from memory; P1NP at any time
    found = sampling_cautions(sample(0.5, marker, fasting=fasting), facts())
    assert len(found) == (words is not None)
    assert (words or "") in " ".join(found)


@pytest.mark.parametrize(
    "fractures, words",
    [
        ((), None),
        (None, "Fractures are not recorded"),
        ((Fracture(site="wrist", date=dt.date(2024, 1, 20)),), "A fracture in the last 12"),
        ((Fracture(site="wrist", date=dt.date(2024, 1, 19)),), None),
        ((Fracture(site="wrist", date=dt.date(2025, 1, 21)),), None),
        ((Fracture(site="wrist"),), "A fracture has no date"),
        (
            (Fracture(site="wrist"), Fracture(site="hip", date=dt.date(2024, 6, 1))),
            "A fracture in the last 12",
        ),
    ],
)
def test_recent_fracture_raises_markers(fractures, words):
    # laboratory consensus, from memory
    found = sampling_cautions(sample(0.5), facts(fractures))
    assert len(found) == (words is not None)
    assert (words or "") in " ".join(found)


@pytest.mark.parametrize(
    "marker, answer, words",
    [
        ("ctx", True, ("Kidney disease raises CTX.",)),
        ("ctx", False, ()),
        ("ctx", None, ("Kidney disease is not recorded; it raises CTX.",)),
        ("p1np", True, ()),
        ("p1np", None, ()),
    ],
)
def test_kidney_disease_raises_ctx(marker, answer, words):
    # laboratory consensus, from memory
    known = facts(conditions={"kidney_disease": Condition(answer=answer)})
    assert sampling_cautions(sample(0.5, marker), known) == words


@pytest.mark.parametrize(
    ("marker", "value", "unit", "asked"),
    [
        (
            "ctx",
            0.52,
            "ng/L",
            "from 15 to 5000 ng/L is expected. Did you mean ng/mL?",
        ),
        ("ctx", 520, "ng/mL", "Did you mean ng/L?"),
        ("ctx", 0.52, "ng/mL", None),
        ("ctx", 520, "ng/L", None),
        ("ctx", 15, "ng/L", None),
        ("ctx", 14.9, "ng/L", "Check value and unit."),
        ("ctx", 5000, "pg/mL", None),
        ("ctx", 5001, "pg/mL", "is expected"),
        ("p1np", 45, "ug/L", None),
        ("p1np", 45, "ng/L", "Did you mean ng/mL?"),
        ("p1np", 45, "U/L", "it is not measured in U/L. Did you mean ng/mL?"),
        ("osteocalcin", 20, "ng/mL", None),
        ("bone_alp", 12, "ug/L", None),
        ("bone_alp", 25, "U/L", None),
        ("bone_alp", 4000, "U/L", "Check value and unit."),
    ],
)
def test_p02_a_value_off_through_its_unit_is_asked_about(marker, value, unit, asked):
    """P02: CTX 0.52 ng/L, a thousandth of what it was, was drawn as a fall of all of it."""
    told = Turnover(date=dt.date(2026, 1, 20), marker=marker, value=value, unit=unit)
    found = unit_slip(told)
    assert (found is None) if asked is None else (found is not None and asked in found)


def test_whatever_is_usual_is_plausible():
    for (_, marker), usual in USUAL.items():
        assert is_plausible(marker, usual.low, usual.unit)
        assert is_plausible(marker, usual.high, usual.unit)
