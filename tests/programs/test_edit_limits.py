"""What lifting, impact, balance and posture pass: each limit at both sides, with its source."""

from __future__ import annotations

from dataclasses import replace

import pytest

from programs.dose import impact, resistance, rises
from programs.edit_check import check, choices
from safety.findings import Modality
from tests.programs.test_edit_check import STEADY, names, on, refused
from tests.programs.test_edits import WALKER, basis, edit

GUARDED = {"supervised": "yes"}


@pytest.mark.parametrize(
    ("path", "within", "reasoned", "beyond"),
    [
        ("balance.minutes", 180, 181, 301),
        ("posture.minutes", 60, 61, 121),
        ("resistance.sessions", 2, 3, 4),
        ("impact.sessions", 4, 5, None),
    ],
)
def test_a_reason_takes_a_value_to_the_judgement_and_no_further(
    path: str, within: int, reasoned: int, beyond: int | None
) -> None:
    made = basis(resources={"minutes_per_day": 200})
    at = 26  # the last week, so that no week after it falls behind
    assert on(made, edit(path, within, at, at)).breaches == ()
    passed = on(made, edit(path, reasoned, at, at))
    assert {b.path for b in passed.reasoned} >= {path}
    assert passed.refused == ()
    assert all(b.source and b.text for b in passed.breaches)
    if beyond:
        assert path in {b.path for b in on(made, edit(path, beyond, at, at)).refused}


def test_impacts_to_fifty_to_a_hundred_and_no_further() -> None:
    made = basis(resources={"minutes_per_day": 200})
    top = impact.LIMITS["impacts"]
    assert (top.value, top.judgement) == (50, 100)
    assert names(on(made, edit("impact.impacts", 50, 26, 26))) <= {"step_impacts"}
    assert "impacts" in names(on(made, edit("impact.impacts", 51, 26, 26)))
    assert "impacts" not in refused(on(made, edit("impact.impacts", 100, 26, 26)))
    assert "impacts" in refused(on(made, edit("impact.impacts", 101, 26, 26)))


def test_walking_to_twenty_minutes_to_forty_and_no_further() -> None:
    made = basis(**WALKER, resources={"minutes_per_day": 200})
    assert on(made, edit("impact.minutes", 20, 26, 26)).breaches == ()
    assert {b.judgement for b in on(made, edit("impact.minutes", 21, 26, 26)).breaches} == {True}
    assert refused(on(made, edit("impact.minutes", 41, 26, 26))) == {"minutes"}


def test_the_load_of_each_group_and_eighty_five_only_in_supervised_five_by_five() -> None:
    top = edit("resistance.percent_1rm", 85, 25, 26)
    five = (edit("resistance.sets", 5, 25, 26), edit("resistance.reps", 5, 25, 26), top)
    assert "percent_1rm.A" in refused(on(STEADY, top))
    assert {"percent_1rm.A", "sets"} <= refused(on(STEADY, *five))
    guarded = basis(resources=GUARDED | {"minutes_per_day": 90})
    judged = on(guarded, *five)
    assert {"percent_1rm.A", "sets"} <= {b.name for b in judged.reasoned}
    assert judged.refused == ()
    early = [replace(one, week_from=7, week_to=7) for one in five]
    assert "percent_1rm.A" in refused(on(guarded, *early))
    assert "percent_1rm.A" in refused(on(guarded, *five[:2], replace(top, new=86)))
    assert "sets" in refused(on(guarded, edit("resistance.sets", 6, 26, 26)))


def test_group_c_goes_to_seventy_whoever_watches() -> None:
    made = basis(**WALKER, resources=GUARDED)
    assert made.made.group == "C"
    over = edit("resistance.percent_1rm", 71, 26, 26)
    assert "percent_1rm.C" in refused(on(made, over))
    assert "percent_1rm.C" not in names(on(made, replace(over, new=70)))


def test_her_own_findings_hold_the_load_and_the_reserve() -> None:
    """Resting pressure above 160 asks for 60 % (rulebook row 6)."""
    made = basis(tests={"resting_bp": [165, 90]})
    found = on(made, edit("resistance.percent_1rm", 61, 26, 26)).refused
    assert [b.name for b in found] == ["own.percent_1rm"]
    assert found[0].source
    assert "60" in found[0].text
    pained = basis(conditions={"chronic_back_pain": "yes"})
    fewer = on(pained, edit("resistance.reps_in_reserve", 2, 1, 26)).refused
    assert {b.name for b in fewer} == {"own.reps_in_reserve"}


def test_two_repetitions_stay_in_reserve() -> None:
    assert resistance.LIMITS["reps_in_reserve"].value == 2
    low = edit("resistance.reps_in_reserve", 1, 26, 26)
    assert refused(on(STEADY, low)) == {"reps_in_reserve"}
    assert on(STEADY, replace(low, new=2)).refused == ()


def test_repetitions_that_the_load_does_not_allow_need_a_reason() -> None:
    many = edit("resistance.reps", 15, 26, 26)  # at 80 %
    assert {b.name for b in on(STEADY, many).reasoned} == {"repetitions_possible"}
    outside = on(STEADY, edit("resistance.reps", 25, 1, 1))
    assert "outside the equation" in outside.reasoned[0].text


def test_a_rise_in_a_deload_week_and_a_steep_one_need_a_reason() -> None:
    assert {b.name for b in on(STEADY, edit("resistance.percent_1rm", 55, 4, 4)).reasoned} == {
        "deload"
    }
    steep = on(STEADY, edit("resistance.percent_1rm", 61, 2, 2))
    assert {b.name for b in steep.reasoned} == {"step_percent"}
    assert on(STEADY, edit("resistance.percent_1rm", 60, 2, 2)).breaches == ()
    assert rises.LIMITS["step_percent"].judgement == 20
    assert "step_percent" in refused(on(STEADY, edit("resistance.percent_1rm", 71, 2, 2)))


def test_the_first_week_rises_from_where_the_draft_starts() -> None:
    assert "step_percent" in names(on(STEADY, edit("resistance.percent_1rm", 61, 1, 26)))
    assert "step_impacts" in names(on(STEADY, edit("impact.impacts", 21, 1, 1)))
    assert on(STEADY, edit("impact.impacts", 20, 1, 1)).breaches == ()


def test_a_stronger_impact_starts_low_and_stays_within_the_group() -> None:
    was = STEADY.made.weeks[9].impact
    assert was is not None
    able = [
        e for e in choices(Modality.IMPACT, STEADY) if e.counted and (e.peak_bw or 0) > was.peak_bw
    ]
    stronger = able[0].code
    swap = edit("impact.exercises", stronger, 10, 10, old=was.exercises[0])
    assert (was.impacts or 0) > rises.NEW_RUNG.value
    assert "new_rung_impacts" in {b.name for b in on(STEADY, swap).reasoned}
    assert all((e.peak_bw or 0) <= 4 for e in choices(Modality.IMPACT, STEADY))


def test_force_beyond_the_group_or_her_own_cap_is_found_in_the_weeks() -> None:
    """Weeks cannot come to hold it by a change; a check of weeks finds it all the same."""
    heel = STEADY.made.weeks[0].impact
    assert heel is not None
    strong = replace(STEADY.made.weeks[0], impact=replace(heel, peak_bw=4.1))
    found = {b.name for b in check((strong, *STEADY.made.weeks[1:]), STEADY)}
    assert "peak_bw.A" in found
    held = basis(conditions={"osteoarthritis": {"answer": "yes", "degree": "severe"}})
    jump = held.made.weeks[0].impact
    assert jump is not None
    over = replace(held.made.weeks[0], impact=replace(jump, peak_bw=2.1))
    assert "own.impact_bw" in {b.name for b in check((over, *held.made.weeks[1:]), held)}


def test_a_rung_above_the_drafted_one_needs_a_reason_and_near_support_none_will_do() -> None:
    assert {b.name for b in on(STEADY, edit("balance.rung", 2, 1, 1)).reasoned} == {"rung"}
    assert on(STEADY, edit("balance.rung", 1, 9, 9)).breaches == ()
    held = basis(
        conditions={
            "vertigo": {
                "answer": "yes",
                "cleared": {
                    "modalities": ["plate"],
                    "by": "clinic",
                    "on": "2026-02-01",
                    "until": "2026-08-01",
                },
            }
        }
    )
    assert held.made.screen.limits(Modality.BALANCE).near_support
    assert refused(on(held, edit("balance.rung", 2, 1, 1))) == {"own.near_support"}
