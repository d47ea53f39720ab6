"""Clearances: whose, for what, from when to when."""

from __future__ import annotations

from typing import Any

import pytest

from safety.findings import LOADED, Level, Limits, Modality
from safety.rules.all_rules import RULES
from safety.screen import screen
from tests.each import each
from tests.people import clearance, fracture, scan, steady
from tests.safety.looking import HOLD, IN, OUT, found, screened, statuses


def _stones(**given: Any) -> dict[str, Any]:
    cleared = {**clearance("plate"), **given}
    return {"conditions": {"stones": {"answer": "yes", "on": "2026-01-05", "cleared": cleared}}}


@pytest.mark.parametrize(
    ("given", "lifts"),
    [
        ({"on": "2026-03-02", "until": "2026-03-02"}, True),  # first and last day, both inside
        ({"on": "2026-03-03", "until": "2026-08-01"}, False),  # begins the day after
        ({"on": "2026-01-01", "until": "2026-03-01"}, False),  # ended the day before
        ({"modalities": ["resistance", "impact"]}, False),  # names another modality
        ({"modalities": ["resistance", "plate"]}, True),
    ],
)
def test_when_a_clearance_lifts(given: dict[str, Any], lifts: bool) -> None:
    finding = found("stones.recent.plate", **_stones(**given))
    assert finding is not None
    assert finding.level is Level.NEEDS_CLEARANCE
    assert (finding.cleared, finding.holds) == (lifts, not lifts)
    assert statuses(**_stones(**given))[0] is (IN if lifts else HOLD)


def test_a_cleared_finding_says_by_whom_and_how_long() -> None:
    finding = found("stones.recent.plate", **_stones(by="urologist"))
    assert finding is not None
    assert finding.text.endswith(
        "Cleared by urologist, 10 February 2026 to 10 August 2026. Dosed as a precaution."
    )


def test_the_clearance_of_another_condition_lifts_nothing() -> None:
    answers = {**_stones()["conditions"], "epilepsy": "yes"}
    assert statuses(conditions=answers)[0] is HOLD


def test_one_of_several_clearances_is_enough() -> None:
    given = [clearance("plate", until="2026-02-20"), clearance("plate")]
    answer = {"answer": "yes", "cleared": given}
    assert statuses(conditions={"stones": answer})[0] is IN


def test_a_clearance_does_not_answer_what_was_not_asked() -> None:
    answer = {"answer": "unknown", "cleared": clearance("plate")}
    assert statuses(conditions={"stones": answer})[0] is HOLD


@pytest.mark.parametrize(
    ("given", "lifts"),
    [
        ({"by": "Dr Nunn", "eye_specialist": "yes"}, True),
        ({"by": "Dr Jane Eyers"}, False),  # the words of a name tell nothing
        ({"by": "ophthalmologist"}, False),
        ({"by": "ophthalmologist", "eye_specialist": "no"}, False),
    ],
)
def test_only_an_eye_doctor_clears_the_retina(given: dict[str, str], lifts: bool) -> None:
    cleared = clearance("plate", "resistance", "impact", **given)
    answer = {"answer": "yes", "cleared": cleared}
    expected = [IN, IN, IN] if lifts else [OUT, OUT, OUT]
    assert statuses(conditions={"retinal_disease": answer})[:3] == expected
    finding = found("retinal_disease.plate", conditions={"retinal_disease": answer})
    assert finding is not None
    assert finding.level is (Level.NEEDS_CLEARANCE if lifts else Level.CONTRAINDICATED)
    limits = screened(conditions={"retinal_disease": answer}).limits(Modality.IMPACT)
    assert limits.impact_bw == (2.0 if lifts else None)


@pytest.mark.parametrize(
    ("said", "start_dose"),
    [({}, True), ({"limits": "as_precaution"}, True), ({"limits": "none"}, False)],
)
def test_cleared_is_dosed_as_a_precaution_unless_no_limit_is_needed(
    said: dict[str, str], start_dose: bool
) -> None:
    screen = screened(**_stones(**said))
    assert screen.limits(Modality.PLATE).plate_start_dose is start_dose


def test_no_limit_lifts_the_precaution_of_that_condition_only() -> None:
    free = {"answer": "yes", "cleared": clearance("plate", limits="none")}
    usual = {"answer": "yes", "cleared": clearance("plate")}
    both = {"other_metalwork": free, "hernia": usual}
    assert screened(conditions=both).limits(Modality.PLATE).plate_start_dose


def test_a_modality_lasts_until_the_earliest_last_day_it_needs() -> None:
    long = {"answer": "yes", "cleared": clearance("plate", until="2026-12-01")}
    short = {"answer": "yes", "cleared": clearance("plate", until="2026-05-20")}
    both = {"other_metalwork": long, "hernia": short}
    assert str(screened(conditions=both).until(Modality.PLATE)) == "2026-05-20"
    given = [clearance("plate", until="2026-05-20"), clearance("plate", until="2026-12-01")]
    either = {"other_metalwork": {"answer": "yes", "cleared": given}}
    assert str(screened(conditions=either).until(Modality.PLATE)) == "2026-12-01"
    assert screened().until(Modality.PLATE) is None


def test_of_two_that_end_together_the_one_with_a_limit_holds() -> None:
    given = [clearance("plate", limits="none"), clearance("plate")]
    for order in (given, given[::-1]):
        answer = {"other_metalwork": {"answer": "yes", "cleared": order}}
        assert screened(conditions=answer).limits(Modality.PLATE).plate_start_dose


def test_several_fractures_are_cleared_as_fracture() -> None:
    broken = [fracture(site, "2019-05-01") for site in ("wrist", "rib")]
    for subject, expected in (("fracture", IN), ("vertebral_fracture", HOLD)):
        given = [{"for": subject, **clearance("plate")}]
        assert statuses(fractures=broken, clearances=given)[0] is expected


@pytest.mark.parametrize(
    ("subject", "changes", "index"),
    [
        ("vertebral_fracture", {"fractures": [fracture("vertebra", "2019-05-01")]}, 0),
        ("low_t", {"scans": [scan(t=-3.5)]}, 0),
        ("fracture", {"fractures": [fracture("rib", "2026-01-15", low_trauma="no")]}, 3),
        (
            "pregnancy",
            {"person": {"born": "1990-05-01", "menopause": "before", "pregnant": "yes"}},
            1,
        ),
    ],
)
def test_each_subject_that_is_no_condition(
    subject: str, changes: dict[str, Any], index: int
) -> None:
    others = {"vertebral_fracture", "low_t", "fracture", "pregnancy", "blackout"} - {subject}
    everything = clearance(*(str(modality) for modality in Modality))
    wrong = [{"for": other, **everything} for other in sorted(others)]
    assert statuses(**changes, clearances=wrong)[index] is HOLD
    given = [{"for": subject, **everything}]
    assert statuses(**changes, clearances=given)[index] is IN


def test_whatever_is_cleared_what_is_contraindicated_stays_so() -> None:
    everything = clearance(*(str(modality) for modality in Modality), by="eye surgeon")
    answers = {
        rule.code.partition(".")[0]: {"answer": "yes", "on": "2026-02-20", "cleared": everything}
        for rule in RULES
        if rule.reads[0].startswith("conditions.") and "retinal" not in rule.code
    }
    answers.pop("cognitive_impairment")
    seen_by = screened(conditions=answers)
    barred = [f for f in seen_by.findings if f.level is Level.CONTRAINDICATED]
    assert barred
    assert not [f for f in barred if f.cleared]
    assert [seen_by.status(modality) for modality in list(Modality)[:3]] == [OUT] * 3


# --- What a review lifts --------------------------------------------------------------------


@each("rule", [r for r in RULES if r.review_lifts], ids=lambda r: r.code)
def test_only_named_kinds_of_rule_can_be_lifted_at_a_review(rule: Any) -> None:
    """A precaution of plate, lifting or impact; not of pressure, fall risk or a fracture."""
    loaded = rule.applies_to in LOADED and rule.level is Level.PRECAUTION
    never = ("pressure", "fracture", "fragile_spine", "thigh_bone", "falls")
    assert rule.code == "falls.high.impact" or (loaded and not rule.code.startswith(never))


def test_a_review_lifts_impact_after_falls() -> None:
    facts = steady(falls={"last_12_months": 2})
    lifted = screen(facts, lifted=frozenset({"falls.high.impact", "falls.high.resistance"}))
    assert lifted.status(Modality.IMPACT) is IN
    finding = next(f for f in lifted.findings if f.rule == "falls.high.impact")
    assert finding.cleared
    assert finding.level is Level.PRECAUTION
    assert finding.limits == Limits()
    assert finding.text.endswith("Lifted at a review.")
    # group C is not lifted: its rule does not say so
    assert lifted.limits(Modality.RESISTANCE).group_c


def test_a_review_lifts_nothing_that_does_not_say_so() -> None:
    facts = steady(conditions={"aneurysm": "yes", "stones": {"answer": "yes", "on": "2026-01-05"}})
    every = frozenset(rule.code for rule in RULES)
    assert screen(facts, lifted=every).status(Modality.PLATE) is OUT
    facts = steady(conditions={"stones": {"answer": "yes", "on": "2026-01-05"}})
    assert screen(facts, lifted=every).status(Modality.PLATE) is HOLD


@pytest.mark.parametrize(
    "name", ["percent_1rm", "least_could_lift", "reps_in_reserve", "impact_bw"]
)
def test_limits_of_two_findings_take_the_tighter(name: str) -> None:
    low, high = Limits(**{name: 2}), Limits(**{name: 3})  # type: ignore[arg-type]
    tighter = high if name in ("reps_in_reserve", "least_could_lift") else low
    assert low.tightest(high) == high.tightest(low) == tighter
    assert low.tightest(Limits()) == Limits().tightest(low) == low


def test_limits_of_two_findings_take_both_words() -> None:
    both = Limits(group_c=True, near_support=True).tightest(
        Limits(plate_start_dose=True, spare_spine=True, no_held_breath=True)
    )
    assert both == Limits(
        plate_start_dose=True,
        group_c=True,
        near_support=True,
        spare_spine=True,
        no_held_breath=True,
    )
