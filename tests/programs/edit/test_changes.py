"""A clinician's changes: what is derived follows, and nothing else moves."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from programs.draft.document import write
from programs.draft.resume import Resume
from programs.edit.base_draft import Basis
from programs.edit.changes import (
    FIELDS,
    Edit,
    Weeks,
    apply,
    fields_in,
    left_out,
    plate_travels,
    replay,
    value_in,
)
from programs.edit.place_on_days import days_of, minutes_on, timetable
from programs.forms.edit import EditForm
from programs.week.document import read_weeks, write_weeks
from programs.week.minutes import minutes_of, session_min, week_min
from programs.week.week import part_of
from safety.findings import Modality
from tests.documents import documents
from tests.people import facts, steady

STEADY = Basis.of(steady(), Resume())
GENTLE_PLATE = {
    "name": "gentle",
    "motion": "low_magnitude",
    "frequency_hz": {"from": 30, "to": 37, "step": 1},
    "displacement_mm": None,
    "fixed_g": 0.3,
    "rail": "yes",
    "load_limit_kg": 120,
}
WALKER = {
    "fractures": [{"site": "vertebra", "date": "2019-05-01", "low_trauma": "yes", "healed": "yes"}]
}


def basis(**changes: Any) -> Basis:
    """Return the draft of the steady person with changes."""
    return Basis.of(steady(**changes), Resume())


def gentle(**resources: Any) -> Basis:
    """Return a draft with a low-magnitude plate."""
    plate = {key: value for key, value in GENTLE_PLATE.items() if value is not None}
    return basis(resources={"plates": [plate], **resources})


def edit(path: str, new: Any, week_from: int = 1, week_to: int = 26, old: Any = None) -> Edit:
    """Return a change, over all weeks unless told otherwise."""
    return Edit(path=path, new=new, week_from=week_from, week_to=week_to, old=old)


def changed_weeks(before: Weeks, after: Weeks) -> list[int]:
    """Return the numbers of the weeks that differ."""
    return [a.week for a, b in zip(before, after, strict=True) if a != b]


@pytest.mark.slow
@settings(max_examples=40)
@given(documents)
def test_no_edits_change_nothing(document: dict[str, Any]) -> None:
    made = Basis.of(facts(document), Resume())
    weeks = made.made.weeks
    assert replay(weeks, (), made) == weeks
    drafted = write(made.made)["timetable"]
    assert timetable(weeks, made, drafted) == drafted
    assert read_weeks(write_weeks(weeks)) == weeks
    for week in weeks:
        assert math.isclose(week_min(week), week.minutes, abs_tol=0.051)


@pytest.mark.slow
@settings(max_examples=40)
@given(documents, st.data())
def test_a_value_that_is_there_already_changes_nothing(
    document: dict[str, Any], data: st.DataObject
) -> None:
    made = Basis.of(facts(document), Resume())
    weeks = made.made.weeks
    held = [m for m in Modality if any(part_of(week, m) for week in weeks)]
    if not held:
        return
    modality = data.draw(st.sampled_from(held))
    week = next(week for week in weeks if part_of(week, modality))
    for field in fields_in([week], modality):
        same = edit(f"{modality}.{field.name}", None, week.week, week.week)
        same = replace(same, new=value_in(week, same))
        assert apply(weeks, same, made) == weeks, field.name


@pytest.mark.slow
@settings(max_examples=100)
@given(st.data())
def test_only_the_weeks_and_the_modality_named_change(data: st.DataObject) -> None:
    modality = data.draw(st.sampled_from(list(Modality)))
    field = data.draw(st.sampled_from(fields_in(STEADY.made.weeks, modality)))
    low = data.draw(st.integers(1, 26))
    high = data.draw(st.integers(low, 26))
    new = data.draw(st.integers(math.ceil(field.low), math.floor(field.high)))
    before = STEADY.made.weeks
    after = apply(before, edit(f"{modality}.{field.name}", new, low, high), STEADY)
    assert set(changed_weeks(before, after)) <= set(range(low, high + 1))
    for was, now in zip(before, after, strict=True):
        assert all(part_of(was, m) == part_of(now, m) for m in Modality if m != modality)
        assert now.minutes == pytest.approx(week_min(now))


def test_the_plates_derived_numbers_follow() -> None:
    after = apply(STEADY.made.weeks, edit("plate.frequency_hz", 30, 5, 6), STEADY)
    before, part = STEADY.made.weeks[4].plate, after[4].plate
    assert before is not None
    assert part is not None
    # 2 pi² f² D / g at 30 Hz and 1 mm peak to peak.
    assert part.peak_g == pytest.approx(2 * (math.pi * 30) ** 2 * 0.001 / 9.80665, abs=0.005)
    assert part.a8_m_s2 > before.a8_m_s2
    assert part.vdv_m_s175 > before.vdv_m_s175
    assert changed_weeks(STEADY.made.weeks, after) == [5, 6]


def measured_plate() -> Basis:
    """Return a draft with a plate that runs 1.1 times as fast as its panel shows."""
    plate = {
        "name": "at home",
        "motion": "vertical",
        "frequency_hz": {"from": 22, "to": 55, "step": 1.1},
        "displacement_mm": {"settings": [1, 2], "reads_as": "peak_to_peak"},
        "rail": "yes",
        "load_limit_kg": 120,
        "panel": {
            "measured_on": "2026-02-20",
            "frequency_hz": {"from": 20, "to": 50, "step": 1},
        },
    }
    return basis(resources={"plates": [plate]})


def test_the_panel_follows_the_frequency_of_a_measured_plate() -> None:
    made = measured_plate()
    part = apply(made.made.weeks, edit("plate.frequency_hz", 26.4, 5, 6), made)[4].plate
    assert part is not None
    assert (part.frequency_hz, part.panel_hz) == (26.4, 24)
    assert part.peak_g == pytest.approx(2 * (math.pi * 26.4) ** 2 * 0.001 / 9.80665, abs=0.005)
    off = apply(made.made.weeks, edit("plate.frequency_hz", 26.0, 5, 6), made)[4].plate
    assert off is not None
    assert off.panel_hz is None


def test_the_form_offers_a_measured_plate_by_what_its_panel_shows() -> None:
    made = measured_plate()
    form = EditForm(modality=Modality.PLATE, weeks=made.made.weeks, basis=made)
    offered = dict(form.fields["frequency_hz"].choices)  # type: ignore[attr-defined]
    assert offered["26.4"] == "26.4 Hz, panel 24"
    assert len(offered) == 1 + 31
    sent = {"week_from": "5", "week_to": "6", "frequency_hz": "26.4"}
    filled = EditForm(sent, modality=Modality.PLATE, weeks=made.made.weeks, basis=made)
    assert filled.is_valid(), filled.errors
    assert [one.new for one in filled.edits()] == [26.4]


def test_vibration_and_minutes_follow_the_bouts() -> None:
    after = apply(STEADY.made.weeks, edit("plate.bouts", 3, 1, 1), STEADY)
    part = after[0].plate
    assert part is not None
    assert part.vibration_min == 1.5
    assert session_min(part) == pytest.approx((3 * 30 + 2 * 60) / 60)
    lost = STEADY.made.weeks[0].minutes - after[0].minutes
    assert lost == pytest.approx(part.sessions * 1.5, abs=0.051)


def test_the_panel_follows_the_displacement() -> None:
    made = basis(
        resources={
            "plates": [
                {
                    "name": "half",
                    "motion": "vertical",
                    "frequency_hz": {"from": 20, "to": 40, "step": 1},
                    "displacement_mm": {"settings": [0.5, 1.0], "reads_as": "zero_to_peak"},
                    "rail": "yes",
                    "load_limit_kg": 120,
                }
            ]
        }
    )
    after = apply(made.made.weeks, edit("plate.displacement_mm", 2.0, 9, 26), made)
    part = after[8].plate
    assert part is not None
    assert (part.displacement_mm, part.setting) == (2.0, 1.0)
    off = apply(made.made.weeks, edit("plate.displacement_mm", 1.7), made)[0].plate
    assert off is not None
    assert off.setting is None


def test_a_low_magnitude_plate_keeps_its_peak_and_changes_its_minutes() -> None:
    made = gentle()
    after = apply(made.made.weeks, edit("plate.vibration_min", 12), made)
    part = after[0].plate
    assert part is not None
    assert (part.peak_g, part.vibration_min) == (0.3, 12)
    assert plate_travels(made) == ()
    assert session_min(part) == 12
    assert days_of(after[0], made)[Modality.PLATE] == ("mon", "tue", "wed", "thu", "fri")


def test_percent_reserve_and_loads_follow_could_lift() -> None:
    """Rulebook row 19a: N 14 is 74 %, and its reserve 14 less the repetitions."""
    after = apply(STEADY.made.weeks, edit("resistance.could_lift", 14, 1, 2), STEADY)
    part = after[0].resistance
    assert part is not None
    assert (part.reps, part.percent_1rm, part.reps_in_reserve) == (15, 74, -1)
    # 60 kg x 8 repetitions: 1RM 69.8 kg by Kemmler and others 2006; 74 % of it is 51.6 kg.
    assert {one.exercise: one.load_kg for one in part.exercises}["leg_press"] == 51
    unknown = [one for one in part.exercises if one.load_kg is None]
    assert unknown
    fewer = apply(STEADY.made.weeks, edit("resistance.reps", 12, 1, 2), STEADY)[0].resistance
    assert fewer is not None
    assert (fewer.could_lift, fewer.percent_1rm, fewer.reps_in_reserve) == (20, 67, 8)


def test_an_exercise_without_a_load_keeps_its_own_repetitions() -> None:
    """Rulebook row 19c: none has a percent; where none has a load, the week has none either."""
    bare = basis(resources={"equipment": ["chair"]}, lifts=None)
    part = bare.made.weeks[0].resistance
    assert part is not None
    assert (part.could_lift, part.percent_1rm, part.reps_in_reserve) == (None, None, None)
    assert "could_lift" not in {f.name for f in fields_in(bare.made.weeks, Modality.RESISTANCE)}
    more = apply(bare.made.weeks, edit("resistance.sets", 2, 1, 1), bare)[0].resistance
    assert more is not None
    assert [one.reps for one in more.exercises] == [one.reps for one in part.exercises]
    loaded = STEADY.made.weeks[0].resistance
    assert loaded is not None
    swap = edit("resistance.exercises", "chair_stand", 1, 1, old="leg_press")
    stood = apply(STEADY.made.weeks, swap, STEADY)[0].resistance
    assert stood is not None
    # Fifteen stands in 30 s: half of them.
    assert (stood.exercises[0].load_kg, stood.exercises[0].reps) == (None, 7)


def test_a_swapped_exercise_takes_its_place_with_its_own_load() -> None:
    swap = edit("resistance.exercises", "goblet_squat", 3, 26, old="leg_press")
    after = apply(STEADY.made.weeks, swap, STEADY)
    first, third = after[0].resistance, after[2].resistance
    assert first is not None
    assert third is not None
    assert first.exercises[0].exercise == "leg_press"
    assert (third.exercises[0].exercise, third.exercises[0].load_kg) == ("goblet_squat", None)


def test_the_indices_follow_impacts_days_and_force() -> None:
    """Rulebook row 20: the hip reads a leg's force and contacts, the spine the whole body's."""
    weeks = STEADY.made.weeks
    more = apply(weeks, edit("impact.impacts", 20, 1, 1), STEADY)[0].impact
    assert more is not None
    assert more.osteogenic_index is not None
    assert more.leg_bw is not None
    hip, spine = (force * math.log(21) * more.sessions for force in (more.leg_bw, more.peak_bw))
    assert more.osteogenic_index.hip == pytest.approx(hip, abs=0.05)
    assert more.osteogenic_index.spine == pytest.approx(spine, abs=0.05)
    was = weeks[0].impact
    assert was is not None
    swap = edit("impact.exercises", "stamp", 1, 1, old=was.exercises[0])
    stronger = apply(weeks, swap, STEADY)[0].impact
    assert stronger is not None
    assert (stronger.leg_bw, stronger.peak_bw, was.peak_bw) == (3.08, 3.08, 2.0)


def test_walking_and_counted_impacts_change_places_from_their_start() -> None:
    walked = apply(
        STEADY.made.weeks, edit("impact.exercises", "brisk_walk", 1, 1, "soft_heel_raise"), STEADY
    )[0].impact
    assert walked is not None
    assert (walked.minutes, walked.impacts, walked.osteogenic_index) == (5, None, None)
    made = basis(**WALKER)
    swap = edit("impact.exercises", "soft_heel_raise", 1, 1, old="brisk_walk")
    counted = apply(made.made.weeks, swap, made)[0].impact
    assert counted is not None
    assert (counted.impacts, counted.minutes, counted.leg_bw) == (10, None, 1.0)
    assert counted.osteogenic_index is not None


def test_walking_has_minutes_and_no_index() -> None:
    made = basis(**WALKER)
    after = apply(made.made.weeks, edit("impact.minutes", 8, 1, 1), made)[0].impact
    assert after is not None
    assert (after.minutes, after.impacts, after.osteogenic_index) == (8, None, None)
    assert session_min(after) == 8


def test_a_rung_brings_its_exercises() -> None:
    weeks = STEADY.made.weeks
    next_up = next(w.balance for w in weeks if w.balance and w.balance.rung == 5)
    after = apply(weeks, edit("balance.rung", 5, 1, 1), STEADY)[0].balance
    assert after is not None
    assert (after.rung, after.exercises) == (5, next_up.exercises)
    first = weeks[0].balance
    assert first is not None
    new = next(code for code in next_up.exercises if code not in first.exercises)
    swap = edit("balance.exercises", new, 1, 1, old=first.exercises[0])
    swapped = apply(weeks, swap, STEADY)[0].balance
    assert swapped is not None
    assert swapped.exercises[0] == new


def test_a_posture_session_less_takes_its_minutes_along() -> None:
    weeks = STEADY.made.weeks
    was = weeks[0].posture
    after = apply(weeks, edit("posture.sessions", 3, 1, 1), STEADY)[0].posture
    assert was is not None
    assert after is not None
    assert after.minutes * was.sessions == was.minutes * 3
    swap = edit("posture.exercises", "chin_tuck", 1, 1, old=was.exercises[0])
    swapped = apply(weeks, swap, STEADY)[0].posture
    assert swapped is not None
    assert swapped.exercises[0] == "chin_tuck"


def test_left_out_and_taken_back_as_it_had_been_changed() -> None:
    weeks = STEADY.made.weeks
    changed = edit("plate.bouts", 3, 1, 2)
    out, back = edit("plate", False), edit("plate", True)
    without = replay(weeks, [changed, out], STEADY)
    assert all(week.plate is None for week in without)
    assert all(week.minutes == week_min(week) for week in without)
    assert left_out([changed, out]) == (Modality.PLATE,)
    again = replay(weeks, [changed, out, back], STEADY)
    assert again == apply(weeks, changed, STEADY)
    assert left_out([changed, out, back]) == ()
    assert replay(without, [out], STEADY) == without


def test_a_week_without_the_modality_stays_as_it_is() -> None:
    without = replay(STEADY.made.weeks, [edit("plate", False)], STEADY)
    assert apply(without, edit("plate.bouts", 3), STEADY) == without
    assert value_in(without[0], edit("plate", True)) is False
    assert value_in(without[0], edit("plate.bouts", 3)) is None
    assert minutes_of(without[0].plate) == 0


def test_what_a_change_is_about_is_told() -> None:
    week = STEADY.made.weeks[0]
    assert value_in(week, edit("plate", False)) is True
    assert value_in(week, edit("plate.bouts", 3)) == 4
    swap = edit("resistance.exercises", "goblet_squat", old="leg_press")
    assert value_in(week, swap) == "leg_press"
    with pytest.raises(ValueError, match="walks"):
        assert edit("walks.minutes", 3).modality


def test_each_modality_offers_the_numbers_that_it_has() -> None:
    offered = {m: [f.name for f in fields_in(STEADY.made.weeks, m)] for m in Modality}
    assert "vibration_min" not in offered[Modality.PLATE]
    assert "minutes" not in offered[Modality.IMPACT]
    assert [f.name for f in fields_in(gentle().made.weeks, Modality.PLATE)] == [
        *("sessions", "frequency_hz", "vibration_min")
    ]
    assert {m for m in Modality if not fields_in((), m)} == set(Modality)
    assert set(FIELDS) == set(Modality)


def test_fewer_sessions_keep_drafted_days_and_more_are_placed_apart() -> None:
    weeks = STEADY.made.weeks
    drafted = write(STEADY.made)["timetable"]
    fewer = apply(weeks, edit("plate.sessions", 2), STEADY)
    held = timetable(fewer, STEADY, drafted)
    plate_days = [day for day, on in held.items() if "plate" in on]
    assert len(plate_days) == 2
    more = apply(weeks, edit("resistance.sessions", 3), STEADY)
    assert days_of(more[0], STEADY)[Modality.RESISTANCE] == ("mon", "wed", "fri")
    placed = days_of(more[0], STEADY)
    assert sum(minutes_on(more[0], placed, STEADY.course.days).values()) <= more[0].minutes + 0.1
    out = replay(weeks, [edit(str(m), False) for m in Modality if m != "balance"], STEADY)
    only = timetable(out, STEADY, drafted)
    assert {m for on in only.values() for m in on} == {"balance"}
    one_day = timetable(apply(out, edit("balance.sessions", 1), STEADY), STEADY, drafted)
    assert list(one_day) == ["mon"]


def test_a_basis_without_a_plate_says_so() -> None:
    with pytest.raises(ValueError, match="no plate"):
        assert basis(resources={"plates": []}).plate
