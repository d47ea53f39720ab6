"""The table of what bars what, typed here a second time (rulebook rows 7 to 10).

Plate, resistance, impact, balance, posture: X contraindicated, C needs clearance,
P precaution, - nothing. Sources of the lines: as in the rules; what a line holds beyond its
source is a project choice, for the clinic to confirm.
"""

from __future__ import annotations

from typing import Any

import pytest

from patients.facts.codes import CONDITIONS
from safety.findings import Level, Limits, Modality
from safety.screen import Status
from tests.each import each
from tests.people import clearance, scan
from tests.safety.looking import IMPACT, days_ago, found, level, screened

LEVELS = {
    "X": Level.CONTRAINDICATED,
    "C": Level.NEEDS_CLEARANCE,
    "P": Level.PRECAUTION,
    "-": None,
}
RECENT, OLD = days_ago(10), "2020-01-01"
TABLE = """
acute_thrombosis                 X X X P -
unstable_heart_disease           X X X C C
heart_failure                    C C C P -
arrhythmia                       C C C P -
implanted_stimulator             C C P - -
aneurysm                         X X X P P
stroke                           C C C P -
arterial_disease                 C P P - -
recent_surgery.recent            X C X C C
recent_surgery.older             - - - - -
joint_replacement.recent         X C X P -
joint_replacement.older          C - P - -
spinal_implant.recent            X C X C C
spinal_implant.older             C P C - P
other_metalwork                  C - - - -
epilepsy                         C P P P -
retinal_disease                  X X X P -
recent_eye_surgery.recent        X X X P P
recent_eye_surgery.older         - - - - -
stones.recent                    C - - - -
stones.older                     P - - - -
acute_disc_disease               X X X C C
hernia                           C C P - -
bone_tumour                      X X X C C
acute_infection_or_inflammation  X X X C -
severe_neuropathy                C P P P -
foot_ulcer_or_wound              C C X C -
vertigo                          C P P P -
severe_migraine                  C P - - -
spondylolisthesis                C C C - P
chronic_back_pain                P P P - P
osteoarthritis                   P P P - -
pelvic_floor_symptoms            P P P - -
cognitive_impairment             P P P P P
uncontrolled_diabetes            C C C P -
kidney_disease                   C P P - -
movement_disorder                C P P P -
amputation_or_prosthesis         C P C P -
recent_birth.recent              X C X P P
recent_birth.older               - - - - -
low_energy                       P P P - -
hormone_blocking_treatment       - - - - -
"""
CELLS = [
    (*row.split()[0].partition(".")[::2], modality, cell)
    for row in TABLE.strip().splitlines()
    for modality, cell in zip(Modality, row.split()[1:], strict=True)
]
#: What P asks of each modality's dose.
ASKS = {
    Modality.PLATE: Limits(plate_start_dose=True),
    Modality.RESISTANCE: Limits(percent_1rm=70, least_could_lift=17, no_held_breath=True),
    Modality.IMPACT: Limits(impact_bw=2.0),
    Modality.BALANCE: Limits(near_support=True),
    Modality.POSTURE: Limits(),
}
cells = each(("condition", "part", "modality", "cell"), CELLS)


def _facts(condition: str, answer: str, part: str = "") -> dict[str, Any]:
    dated = {"recent": {"on": RECENT}, "older": {"on": OLD}}.get(part, {})
    known = {"answer": answer, **dated} if dated else answer
    young = {"born": "1990-05-01", "menopause": "before"} if condition == "recent_birth" else {}
    return {
        "conditions": {condition: known},
        "resources": {"watcher": "yes"},
        "person": young,
        "scans": [scan(t=-1.8, z=-0.4)],
    }


def _asks(condition: str, modality: Modality, cell: str) -> Limits:
    """Return what a cell asks of the dose; a slipped vertebra spares the spine as well."""
    if cell != "P":
        return Limits()
    slipped = condition == "spondylolisthesis" and modality is Modality.POSTURE
    return Limits(spare_spine=True, no_arching=True) if slipped else ASKS[modality]


def test_the_table_names_every_condition() -> None:
    assert {condition for condition, *_rest in CELLS} == set(CONDITIONS)


@cells
def test_cell(condition: str, part: str, modality: Modality, cell: str) -> None:
    screen = screened(**_facts(condition, "yes", part))
    levels = {f.level for f in screen.about(modality)} - {Level.REFER}
    assert levels == {LEVELS[cell]} - {None}
    by_status = {"X": Status.EXCLUDED, "C": Status.ON_HOLD}
    assert screen.status(modality) is by_status.get(cell, Status.INCLUDED)
    assert screen.limits(modality) == _asks(condition, modality, cell)


@each(
    ("condition", "modality", "cell"),
    # The stricter line of a pair asks for both.
    [(condition, *rest) for condition, part, *rest in CELLS if part != "older"],
)
def test_cell_not_answered(condition: str, modality: Modality, cell: str) -> None:
    """On hold where yes would give X or C, the precaution's dose where it would give P."""
    screen = screened(**_facts(condition, "unknown"))
    found = screen.about(modality)
    assert {f.level for f in found} == ({Level.MISSING} if cell != "-" else set())
    assert screen.status(modality) is (Status.ON_HOLD if cell in "XC" else Status.INCLUDED)
    assert screen.limits(modality) == _asks(condition, modality, cell)


@cells
def test_only_clearance_cells_can_be_cleared(
    condition: str, part: str, modality: Modality, cell: str
) -> None:
    """No clearance lifts what is contraindicated (an eye doctor's for the retina apart)."""
    facts = _facts(condition, "yes", part)
    given = facts["conditions"][condition]
    known = given if isinstance(given, dict) else {"answer": given}
    facts["conditions"][condition] = {**known, "cleared": clearance(*(str(m) for m in Modality))}
    screen = screened(**facts)
    assert screen.status(modality) is (Status.EXCLUDED if cell == "X" else Status.INCLUDED)
    assert [f.cleared for f in screen.about(modality) if f.level is Level.NEEDS_CLEARANCE] == (
        [True] if cell == "C" else []
    )
    # Cleared, it is dosed as a precaution.
    assert screen.limits(modality) == _asks(condition, modality, "P" if cell == "C" else cell)


@pytest.mark.parametrize(
    ("modality", "cell"), list(zip(Modality, "XCXPP", strict=True)), ids=[str(m) for m in Modality]
)
def test_pregnancy(modality: Modality, cell: str) -> None:
    person = {"born": "1990-05-01", "menopause": "before", "pregnant": "yes"}
    code = f"pregnancy.{modality}"
    assert level(code, person=person, scans=[scan(z=-0.4)]) is LEVELS[cell]
    given = [{"for": "pregnancy", **clearance(*(str(m) for m in Modality))}]
    finding = found(code, person=person, scans=[scan(z=-0.4)], clearances=given)
    assert finding is not None
    assert finding.cleared == (cell == "C")


@pytest.mark.parametrize(
    ("degree", "bars"), [("mild", False), ("moderate", True), ("severe", True), (None, True)]
)
def test_osteoarthritis_by_degree(degree: str | None, bars: bool) -> None:
    answer = {"answer": "yes"} if degree is None else {"answer": "yes", "degree": degree}
    screen = screened(conditions={"osteoarthritis": answer})
    assert screen.limits(IMPACT).impact_bw == (2.0 if bars else None)


@pytest.mark.parametrize(
    ("condition", "last_inside", "first_outside"),
    [
        # 84 days; 2 March 2026 is the day of the assessment.
        ("recent_surgery", "2025-12-08", "2025-12-07"),
        ("recent_eye_surgery", "2025-12-08", "2025-12-07"),
        # six calendar months, the last day inside
        ("joint_replacement", "2025-09-02", "2025-09-01"),
        ("spinal_implant", "2025-09-02", "2025-09-01"),
        ("recent_birth", "2025-12-08", "2025-12-07"),
    ],
)
def test_how_long_recent_lasts(condition: str, last_inside: str, first_outside: str) -> None:
    code = f"{condition}.recent.impact"
    inside, outside = ({"answer": "yes", "on": day} for day in (last_inside, first_outside))
    assert level(code, conditions={condition: inside}) is Level.CONTRAINDICATED
    assert level(code, conditions={condition: outside}) is None


@pytest.mark.parametrize(
    "condition",
    ["recent_surgery", "joint_replacement", "spinal_implant", "recent_eye_surgery", "recent_birth"],
)
def test_an_undated_condition_is_read_as_recent_and_asked_for(condition: str) -> None:
    finding = found(f"{condition}.recent.plate", conditions={condition: "yes"})
    assert finding is not None
    assert finding.level is Level.CONTRAINDICATED
    assert finding.missing == (f"date of: {CONDITIONS[condition].lower()}",)
    asked = found(f"{condition}.date", conditions={condition: "yes"})
    assert asked is not None
    assert asked.level is Level.MISSING
    assert not asked.holds


@pytest.mark.parametrize(
    ("resources", "expected"),
    [
        ({"supervised": "no", "watcher": "no"}, [Status.EXCLUDED, *[Status.ON_HOLD] * 3]),
        ({"supervised": "no", "watcher": None}, [Status.ON_HOLD] * 4),
        ({"supervised": None, "watcher": None}, [Status.ON_HOLD] * 4),
        ({"supervised": "yes", "watcher": "no"}, [Status.INCLUDED] * 4),
        ({"supervised": "no", "watcher": "yes"}, [Status.INCLUDED] * 4),
    ],
)
def test_memory_impaired_needs_somebody_beside(
    resources: dict[str, str | None], expected: list[Status]
) -> None:
    screen = screened(conditions={"cognitive_impairment": "yes"}, resources=resources)
    assert [screen.status(m) for m in list(Modality)[:4]] == expected
    assert screen.status(Modality.POSTURE) is Status.INCLUDED


@pytest.mark.parametrize("condition", ["epilepsy", "movement_disorder"])
@pytest.mark.parametrize(
    ("resources", "expected"),
    [
        ({"supervised": "no", "watcher": "no"}, Status.EXCLUDED),
        ({"supervised": "no", "watcher": None}, Status.ON_HOLD),
        ({"supervised": "no", "watcher": "yes"}, Status.INCLUDED),
        ({"supervised": "yes", "watcher": None}, Status.INCLUDED),
    ],
)
def test_each_plate_session_is_watched(
    condition: str, resources: dict[str, str | None], expected: Status
) -> None:
    answer = {"answer": "yes", "cleared": clearance("plate")}
    screen = screened(conditions={condition: answer}, resources=resources)
    assert screen.status(Modality.PLATE) is expected
    assert [screen.status(m) for m in list(Modality)[1:]] == [Status.INCLUDED] * 4
    assert screen.situation.watched_each_session


@pytest.mark.parametrize(
    ("on", "asked"), [("2024-03-02", Level.NEEDS_CLEARANCE), ("2024-03-01", Level.PRECAUTION)]
)
def test_a_stone_of_more_than_two_years_ago_asks_for_care_only(on: str, asked: Level) -> None:
    part = "recent" if asked is Level.NEEDS_CLEARANCE else "older"
    answer = {"stones": {"answer": "yes", "on": on}}
    assert level(f"stones.{part}.plate", conditions=answer) is asked


@pytest.mark.parametrize("told", ["2024", "2024-03"])
def test_a_stone_of_a_year_is_read_on_its_last_day(told: str) -> None:
    answer = {"stones": {"answer": "yes", "on": told}}
    assert level("stones.recent.plate", conditions=answer) is Level.NEEDS_CLEARANCE


@pytest.mark.parametrize(
    ("weight", "thin"),
    [(49.1, True), (49.2, False)],  # 18.5 kg/m2 at 163 cm is 49.15 kg
)
def test_low_weight_is_referred_and_does_not_jump(weight: float, thin: bool) -> None:
    person = {"height_cm": 163, "weight_kg": weight}
    assert (level("low_bmi.refer", person=person) is Level.REFER) is thin
    assert screened(person=person).limits(IMPACT).impact_bw == (2.0 if thin else None)


@pytest.mark.parametrize("person", [{"height_cm": None}, {"weight_kg": None}])
def test_a_weight_or_height_not_known_never_lets_one_jump(person: dict[str, None]) -> None:
    held = screened(person=person).limits(IMPACT).impact_bw
    assert held is not None
    assert held <= 2.0


@pytest.mark.parametrize(
    ("person", "asked"),
    [
        ({"sex": "male", "born": "1990-05-01", "menopause": "not_applicable"}, False),
        ({"born": "1990-05-01", "menopause": "after"}, False),
        ({"born": "1970-03-02", "menopause": "before"}, False),
        ({"born": "1970-03-03", "menopause": "before"}, True),
        ({"born": "1970", "menopause": "before"}, True),  # perhaps 55 still
        ({"born": "1990-05-01", "menopause": None}, True),
    ],
)
def test_who_is_asked_about_a_birth(person: dict[str, Any], asked: bool) -> None:
    changes = {"person": person, "conditions": {"recent_birth": "unknown"}}
    expected = Level.MISSING if asked else None
    assert level("recent_birth.recent.plate", **changes) is expected


def test_memory_not_asked_and_nobody_recorded_names_both() -> None:
    finding = found(
        "cognitive_impairment.alone.plate",
        conditions={"cognitive_impairment": "unknown"},
        resources={"supervised": None, "watcher": None},
    )
    assert finding is not None
    assert finding.missing == (
        "memory or thinking impaired",
        "whether somebody is there in sessions",
    )
