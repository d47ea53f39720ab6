"""When ramps rise: steady weeks, two a week, who goes first, and only into free time."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import pairwise

import pytest

from programs.dose.impact import ImpactStep
from programs.dose.plate import PlateStep, Setting
from programs.dose.resistance import LiftingStep
from programs.draft.order_of_value import ranks
from programs.draft.rises import MOST_RISES, Step, ascend, by_calendar, dose_of, is_rise
from programs.exercises import EXERCISES
from safety.findings import Modality

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
HIP = ranks(("hip",), balance_first=False)
Ramps = Mapping[Modality, Sequence[Step]]


def plate(place: int, bout_s: int) -> PlateStep:
    return PlateStep(
        place=place,
        setting=Setting(frequency_hz=25, displacement_mm=1.0, panel=1.0, peak_g=1.3),
        bouts=4,
        bout_s=bout_s,
        rest_s=60,
        vibration_min=4 * bout_s / 60,
        session_min=3 + 4 * bout_s / 60,
        changed="",
    )


def lifting(place: int, sets: int, own: int = 5) -> LiftingStep:
    own_reps = (("chair_stand", own),)
    return LiftingStep(place=place, sets=sets, reps=15, could_lift=20, own_reps=own_reps)


def impact(
    place: int, impacts: int | None, days: int = 3, minutes: int | None = None
) -> ImpactStep:
    code = "brisk_walk" if impacts is None else "gentle_stamp"
    return ImpactStep(
        place=place, exercise=EXERCISES[code], days=days, impacts=impacts, minutes=minutes
    )


def rising(make: Callable[[int, int], Step], places: int = 26) -> tuple[Step, ...]:
    """Return a ramp that rises at every place."""
    return tuple(make(place, place) for place in range(1, places + 1))


def free(week: int, modality: Modality, step: Step, lifting: LiftingStep | None) -> bool:
    return True


def places(ramps: Ramps, has_room: Callable[..., bool] = free) -> dict[Modality, list[int]]:
    """Return the place that each ramp stands on, week by week."""
    weeks = list(ascend(lambda week: ramps, HIP, has_room))
    return {m: [week[m].place for week in weeks] for m in ramps}


def test_nothing_rises_in_a_fourth_week_and_what_was_due_keeps_its_place() -> None:
    """Rows 25 and 26: the place stays, and all later ones come a week later."""
    found = places({IMPACT: rising(impact)})[IMPACT]
    assert found[:9] == [1, 2, 3, 3, 4, 5, 6, 6, 7]


def test_a_place_that_repeats_the_dose_passes_in_a_steady_week_too() -> None:
    steps = (impact(1, 10), impact(2, 10), impact(3, 20), impact(4, 20), impact(5, 30))
    assert places({IMPACT: steps})[IMPACT][:7] == [1, 2, 3, 4, 5, 5, 5]


def test_of_three_two_rise_in_a_week_and_the_third_goes_first_in_the_next() -> None:
    """Row 22a: who has waited longest goes first; of those due together the higher rank."""
    found = places({PLATE: rising(plate), LIFTING: rising(lifting), IMPACT: rising(impact)})
    assert MOST_RISES == 2
    assert [found[m][1] for m in (LIFTING, IMPACT, PLATE)] == [2, 2, 1]
    assert [found[m][2] for m in (LIFTING, IMPACT, PLATE)] == [3, 2, 2]
    # Week 4 is steady; in week 5 impact has waited since week 3, lifting and plate since 4.
    assert [found[m][4] for m in (LIFTING, IMPACT, PLATE)] == [4, 3, 2]
    for week in range(1, 26):
        risen = [m for m in found if found[m][week] > found[m][week - 1]]
        assert len(risen) <= (0 if (week + 1) % 4 == 0 else 2)


def test_waiting_does_not_shorten_the_spacing_that_follows() -> None:
    """Row 22a: the third keeps its own spacing, here every second week, from then on."""
    slow = tuple(plate(place, 30 + 5 * ((place + 1) // 2)) for place in range(1, 27))
    found = places({PLATE: slow, LIFTING: rising(lifting), IMPACT: rising(impact)})[PLATE]
    rises = [n for n in range(1, 26) if slow[found[n] - 1].bout_s != slow[found[n - 1] - 1].bout_s]
    assert all(after - before >= 2 for before, after in pairwise(rises))


def test_a_day_more_and_minutes_of_walking_are_no_rise() -> None:
    walk = tuple(impact(n, None, minutes=n) for n in range(1, 27))
    found = places({PLATE: rising(plate), LIFTING: rising(lifting), IMPACT: walk})
    assert [found[m][1] for m in (LIFTING, IMPACT, PLATE)] == [2, 2, 2]
    assert not is_rise(impact(1, 50, days=3), impact(2, 50, days=4))
    assert is_rise(impact(1, 40), impact(2, 50))
    assert is_rise(lifting(1, 3, own=5), lifting(2, 3, own=6))
    assert not is_rise(plate(1, 30), plate(2, 30))


def test_a_day_more_waits_for_a_steady_week_all_the_same() -> None:
    """Row 25: days neither."""
    steps = (impact(1, 50), impact(2, 50), impact(3, 50), impact(4, 50, days=4))
    assert places({IMPACT: steps})[IMPACT][2:5] == [3, 3, 4]


def test_what_has_no_room_waits_and_goes_on_when_it_has() -> None:
    def from_week_6(week: int, modality: Modality, *_: object) -> bool:
        return modality is not PLATE or week >= 6

    found = places({PLATE: rising(plate), LIFTING: rising(lifting)}, from_week_6)
    assert found[PLATE][:7] == [1, 1, 1, 1, 1, 2, 3]
    assert found[LIFTING][:5] == [1, 2, 3, 3, 4]


def test_room_is_asked_beside_lifting_where_it_stands_in_that_week() -> None:
    """It goes first for the hip, so that the others see what it has risen to."""
    seen: list[tuple[int, Modality, int | None]] = []

    def has_room(week: int, modality: Modality, step: Step, lifts: LiftingStep | None) -> bool:
        seen.append((week, modality, lifts and lifts.place))
        return True

    places({LIFTING: rising(lifting), IMPACT: rising(impact)}, has_room)
    assert seen[:2] == [(2, LIFTING, 1), (2, IMPACT, 2)]
    seen.clear()
    places({IMPACT: rising(impact)}, has_room)
    assert seen[0] == (2, IMPACT, None)


def test_the_end_of_a_ramp_is_kept() -> None:
    assert places({IMPACT: (impact(1, 10), impact(2, 20))})[IMPACT][-1] == 2


def test_another_ramp_than_before_begins_at_its_start() -> None:
    """Row 22b: lifting ends with its clearance, and impact falls to walking from 5 minutes."""
    jumps, walk = rising(impact), tuple(impact(n, None, minutes=5 * n) for n in range(1, 27))

    def ramps_of(week: int) -> Ramps:
        return {LIFTING: rising_lifts, IMPACT: jumps} if week < 6 else {IMPACT: walk, PLATE: ()}

    rising_lifts = rising(lifting)
    weeks = list(ascend(ramps_of, HIP, free))
    assert [week[IMPACT].place for week in weeks[:7]] == [1, 2, 3, 3, 4, 1, 2]
    assert LIFTING not in weeks[5]
    assert PLATE not in weeks[5]


@pytest.mark.parametrize("step", [plate(1, 30), lifting(1, 3), impact(1, 10)])
def test_the_place_is_no_part_of_the_dose(step: Step) -> None:
    make: dict[type, Callable[..., Iterator[Step] | Step]] = {
        PlateStep: lambda: plate(2, 30),
        LiftingStep: lambda: lifting(2, 3),
        ImpactStep: lambda: impact(2, 10),
    }
    again = make[type(step)]()
    assert isinstance(again, PlateStep | LiftingStep | ImpactStep)
    assert dose_of(step) == dose_of(again)


def test_minutes_by_the_calendar_wait_for_steady_weeks_alone() -> None:
    minutes = (75, 105, 135, 165, 180)
    found = list(by_calendar(minutes, lambda one: one))
    assert found[:7] == [75, 105, 135, 135, 165, 180, 180]
    assert len(found) == 26
    assert list(by_calendar((), lambda one: one)) == [None] * 26


def test_the_same_minutes_pass_in_a_steady_week() -> None:
    pairs = ((1, 75), (2, 75), (3, 75), (4, 75), (5, 120))
    assert [pair[0] for pair in by_calendar(pairs, lambda one: one[1]) if pair][:5] == [
        1,
        2,
        3,
        4,
        5,
    ]
