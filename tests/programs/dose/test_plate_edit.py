"""What an edited week on the plate passes. Limits without a publication are project choices."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.limit import Breach
from programs.dose.plate import ramp
from programs.dose.plate_edit import (
    PlateDose,
    all_settings,
    allowed_settings,
    check_step,
    dose_of,
)
from programs.dose.plate_limits import LIMITS
from programs.dose.plate_settings import Travel, setting
from tests.programs.own_limits import capped_at
from tests.programs.sample_plates import (
    GENTLE,
    TILTING,
    VERTICAL,
    held,
    judge,
    shown,
    span,
    steps_of,
)

FINE = replace(VERTICAL, displacement_mm=shown(1.0, 1.2, 1.5, 2.0, 2.4, 2.5, 2.6, 4.0))
DOSE = PlateDose(
    frequency_hz=25,
    displacement_mm=1.0,
    bouts=4,
    bout_s=30,
    rest_s=60,
    minutes=None,
    sessions=3,
)
LATER = replace(DOSE, bouts=10, bout_s=60)
TEN_MIN = PlateDose(
    frequency_hz=30,
    displacement_mm=None,
    bouts=None,
    bout_s=None,
    rest_s=None,
    minutes=10,
    sessions=5,
)


def breaches(
    dose: PlateDose,
    *earlier: PlateDose,
    plate: Plate = FINE,
    week: int | None = None,
    fragile: bool = False,
    cap_g: float | None = None,
    done: int = 0,
    start_dose_only: bool = False,
    clinic: Clinic = AS_PUBLISHED,
) -> tuple[Breach, ...]:
    return check_step(
        dose,
        fit=judge(plate, fragile=fragile, cap_g=held(fragile) if cap_g is None else cap_g),
        week=week or len(earlier) + 1,
        earlier=earlier,
        cap_g=held(fragile) if cap_g is None else cap_g,
        done=done,
        start_dose_only=start_dose_only,
        clinic=clinic,
    )


def names(*args: PlateDose, **more: object) -> list[str]:
    return [breach.name for breach in breaches(*args, **more)]  # type: ignore[arg-type]


def test_a_drafted_week_passes_nothing() -> None:
    for plate in (VERTICAL, TILTING, GENTLE):
        steps = ramp(judge(plate), cap_g=None, start_dose_only=False)
        doses = [dose_of(step, 3) for step in steps]
        for week, dose in enumerate(doses, start=1):
            assert names(dose, *doses[: week - 1], plate=plate) == []


def test_the_start_may_be_gentler_but_no_stronger() -> None:
    assert names(DOSE) == []
    assert names(replace(DOSE, frequency_hz=20)) == []
    assert names(replace(DOSE, frequency_hz=30, displacement_mm=1.5)) == []
    assert names(replace(DOSE, frequency_hz=31)) == ["vertical_start_high_hz"]
    assert names(replace(DOSE, displacement_mm=2.0)) == ["vertical_start_high_mm"]
    assert names(replace(DOSE, bouts=5)) == ["start_bouts"]
    assert names(replace(DOSE, bout_s=31)) == ["start_bout_s"]


def test_the_start_on_other_plates() -> None:
    tilt = replace(DOSE, frequency_hz=12, displacement_mm=2.0)
    assert names(tilt, plate=TILTING) == []
    assert names(replace(tilt, frequency_hz=10, displacement_mm=3.0), plate=TILTING) == []
    assert names(replace(tilt, displacement_mm=5.0), plate=TILTING) == ["tilting_start_mm"]
    assert names(replace(tilt, frequency_hz=13), plate=TILTING) == ["tilting_start_hz"]
    assert names(TEN_MIN, plate=GENTLE) == []
    assert names(replace(TEN_MIN, minutes=11), plate=GENTLE) == ["low_magnitude_start_min"]


@pytest.mark.parametrize(
    "change, passed",
    [
        ({"frequency_hz": 20}, []),
        ({"frequency_hz": 19}, ["vertical_floor_hz"]),
        ({"frequency_hz": 40}, []),
        ({"frequency_hz": 41}, ["vertical_top_hz"]),
        ({"frequency_hz": 20, "displacement_mm": 2.5}, []),
        ({"frequency_hz": 20, "displacement_mm": 2.6}, ["vertical_top_mm"]),
        ({"bouts": 10, "bout_s": 60}, []),
        ({"bouts": 11}, ["top_bouts"]),
        ({"bout_s": 61}, ["top_bout_s"]),
        ({"rest_s": 59}, ["rest_s"]),
        ({"rest_s": 133}, []),
        ({"rest_s": 134}, ["session_min"]),
        ({"bouts": 10, "bout_s": 91, "rest_s": 60}, ["top_bout_s", "session_vibration_min"]),
        ({"sessions": 4}, ["sessions"]),
    ],
)
def test_ceilings_of_a_vertical_plate(change: dict[str, float], passed: list[str]) -> None:
    """The week before is the same, so that only the ceilings are asked."""
    plate = replace(FINE, frequency_hz=span(15, 50))
    dose = replace(LATER, **change)  # type: ignore[arg-type]
    assert names(dose, dose, plate=plate) == passed


@pytest.mark.parametrize(
    "hz, mm, passed",
    [
        (20, 5.0, ["top_g"]),
        (19, 5.0, []),
        (21, 2.0, ["tilting_top_hz"]),
        (10, 8.0, ["tilting_top_mm"]),
    ],
)
def test_ceilings_of_a_side_alternating_plate(hz: float, mm: float, passed: list[str]) -> None:
    dose = replace(LATER, frequency_hz=hz, displacement_mm=mm)
    assert names(dose, dose, plate=TILTING) == passed


@pytest.mark.parametrize(
    "change, passed",
    [
        ({"minutes": 20}, []),
        ({"minutes": 21}, ["low_magnitude_top_min"]),
        ({"sessions": 6}, ["low_magnitude_sessions_a_week"]),
    ],
)
def test_ceilings_of_a_low_magnitude_plate(change: dict[str, float], passed: list[str]) -> None:
    dose = replace(TEN_MIN, **change)  # type: ignore[arg-type]
    assert names(dose, dose, plate=GENTLE) == passed


@pytest.mark.parametrize(
    "hz, mm, passed",
    [
        (40, 1.2, []),  # 3.87 g
        (37, 1.5, ["top_g"]),  # 4.13 g
        (40, 1.5, ["top_g"]),  # 4.83 g
        (36, 2.0, ["reasoned_top_g"]),  # 5.22 g
    ],
)
def test_only_the_peak_may_be_passed_with_a_reason_and_to_five_point_one(
    hz: float, mm: float, passed: list[str]
) -> None:
    """5.1 g is the most of Verschueren 2004, JBMR 19:352 (5.09 g; from memory)."""
    dose = replace(LATER, frequency_hz=hz, displacement_mm=mm)
    found = breaches(dose, dose)
    assert [breach.name for breach in found] == passed
    assert [breach.judgement for breach in found] == [name == "top_g" for name in passed]


def test_a_tighter_ceiling_of_the_clinic_is_the_one_that_is_named() -> None:
    (found,) = breaches(replace(DOSE, frequency_hz=30), clinic=capped_at(1.5))
    assert found.name == "top_g"
    assert found.text.startswith("Peak acceleration of any plate: at most 1.5 g peak: ")
    assert "30 Hz and 1 mm peak to peak: 1.81 g peak" in found.text


def test_a_fragile_person_stays_within_one_g_and_at_one_setting() -> None:
    slow = replace(DOSE, frequency_hz=22)
    assert names(slow, fragile=True) == []
    assert names(replace(DOSE, frequency_hz=23), fragile=True) == ["fragile_g"]
    assert names(slow, replace(slow, frequency_hz=21), fragile=True, week=3) == ["fragile_rises"]
    assert names(replace(slow, bouts=6), slow, fragile=True, week=3) == []


@pytest.mark.parametrize("cap_g", [1.5, 2.0])
def test_a_cap_that_a_review_has_lifted_a_step_holds_the_peak_and_no_more(cap_g: float) -> None:
    """Row 14: under 1.5 and 2 g row 13's ramp goes on, no step past the cap."""
    steps = steps_of(FINE, fragile=True, cap_g=cap_g, places=40)
    doses = [dose_of(step, 3) for step in steps]
    assert doses[-1].frequency_hz > doses[0].frequency_hz
    for number, dose in enumerate(doses):
        assert names(dose, *doses[:number], fragile=True, cap_g=cap_g) == []
    hz = {1.5: (27, 28), 2.0: (31, 32)}[cap_g]
    within, past = (replace(LATER, frequency_hz=each) for each in hz)
    assert names(within, within, fragile=True, cap_g=cap_g) == []
    (found,) = breaches(past, past, fragile=True, cap_g=cap_g)
    assert found.name == "fragile_g"
    assert f"({cap_g:g} g peak)" in found.text
    assert not found.judgement


def test_a_setting_that_the_plate_does_not_have() -> None:
    (found,) = breaches(replace(DOSE, displacement_mm=1.1))
    assert found.text == "The plate 'vertical' has no setting of 25 Hz and 1.1 mm."
    assert names(replace(DOSE, displacement_mm=None)) == ["own_settings"]
    assert names(replace(TEN_MIN, frequency_hz=50), plate=GENTLE) == ["own_settings"]
    assert names(replace(TEN_MIN, displacement_mm=1.0), plate=GENTLE) == ["own_settings"]


def test_a_displacement_from_geometry_is_matched_to_a_hundredth() -> None:
    plate = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)
    assert names(replace(DOSE, frequency_hz=12, displacement_mm=2.49), plate=plate) == []


def test_a_plate_that_is_not_fit_takes_no_dose() -> None:
    (found,) = breaches(DOSE, plate=replace(VERTICAL, load_limit_kg=60))
    assert found.name == "fit"
    assert "carries 60 kg" in found.text
    assert not found.judgement


# --- Steps --------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "before, after, passed",
    [
        ({}, {}, []),
        ({}, {"bouts": 6}, []),
        ({}, {"bouts": 7}, ["step_bouts"]),
        ({}, {"bout_s": 45}, []),
        ({}, {"bout_s": 46}, ["step_bout_s"]),
        ({}, {"bouts": 6, "bout_s": 45}, ["rises_at_once"]),
        ({"rest_s": 90}, {"rest_s": 60}, []),
        ({"rest_s": 90}, {"rest_s": 60, "bouts": 5}, ["rises_at_once"]),
        ({}, {"frequency_hz": 30}, []),
        ({"frequency_hz": 30}, {"frequency_hz": 36}, ["vertical_step_hz"]),
        ({}, {"frequency_hz": 31}, ["step_ratio", "vertical_step_hz"]),
        ({}, {"displacement_mm": 1.5}, []),
        ({"displacement_mm": 1.2}, {"displacement_mm": 2.0}, ["step_ratio"]),
        ({"frequency_hz": 30}, {"bouts": 6}, []),  # one falls, one rises
        ({"displacement_mm": 1.5, "bouts": 10}, {}, []),
    ],
)
def test_one_step_up(before: dict[str, float], after: dict[str, float], passed: list[str]) -> None:
    was = replace(DOSE, **before)  # type: ignore[arg-type]
    now = replace(DOSE, **after)  # type: ignore[arg-type]
    assert names(now, was, week=3) == passed


def test_minutes_on_a_low_magnitude_plate_rise_by_two() -> None:
    for minutes, passed in ((12, []), (13, ["low_magnitude_step_min"])):
        assert names(replace(TEN_MIN, minutes=minutes), TEN_MIN, week=3, plate=GENTLE) == passed


def test_when_a_step_may_come() -> None:
    up = replace(DOSE, bout_s=45)
    upper = replace(DOSE, bout_s=60)
    assert names(up, DOSE) == ["first_rise_week"]
    assert names(up, DOSE, DOSE) == []
    assert names(up, DOSE, DOSE, DOSE) == ["deload_weeks"]
    # The doses go week by week: the last one named is the week before.
    assert names(upper, DOSE, DOSE, up, week=5) == ["weeks_a_step"]
    assert names(upper, DOSE, DOSE, up, up, week=5) == []


@pytest.mark.parametrize(
    ("week", "done", "passed"),
    [
        (2, 0, ["first_rise_week"]),
        (2, 1, []),
        (3, 1, []),
        (4, 1, ["deload_weeks"]),
        (4, 3, ["deload_weeks"]),
        (5, 3, []),
        (8, 0, ["deload_weeks"]),
    ],
)
def test_steady_weeks_go_by_the_draft_and_the_first_rise_by_the_ramp(
    week: int, done: int, passed: list[str]
) -> None:
    """Rows 13 and 25: every fourth week of a draft nothing rises, wherever its ramp began."""
    assert names(replace(DOSE, bout_s=45), DOSE, DOSE, week=week, done=done) == passed


def test_under_a_precaution_nothing_rises() -> None:
    assert names(DOSE, DOSE, start_dose_only=True, week=3) == []
    up = replace(DOSE, bout_s=45)
    assert names(up, DOSE, start_dose_only=True, week=3) == ["start_dose_rises"]
    down = replace(DOSE, bouts=3)
    assert names(down, DOSE, start_dose_only=True, week=3) == []


def test_every_breach_names_a_source() -> None:
    known = {limit.name for limit in LIMITS} | {"fit", "own_settings"}
    everything = replace(DOSE, frequency_hz=45, displacement_mm=4.0, bouts=20, rest_s=1)
    for breach in breaches(everything, DOSE):
        assert breach.name in known
        assert breach.source
        assert breach.text.endswith(".")


# --- The settings to choose from ----------------------------------------------------------


def test_every_setting_of_a_plate() -> None:
    small = replace(VERTICAL, frequency_hz=span(20, 30, 5), displacement_mm=shown(1.0, 4.0))
    found = [(at.frequency_hz, at.displacement_mm) for at in all_settings(small)]
    assert found == [(20, 1.0), (20, 4.0), (25, 1.0), (25, 4.0), (30, 1.0), (30, 4.0)]
    assert {at.peak_g for at in all_settings(GENTLE)} == {0.3}
    assert len(all_settings(GENTLE)) == 8
    assert all_settings(replace(GENTLE, fixed_g=None)) == ()
    assert all_settings(replace(VERTICAL, displacement_mm=None)) == ()


def test_an_unknown_reading_is_doubled_here_too() -> None:
    plate = replace(VERTICAL, displacement_mm=shown(0.5, reads_as=None))
    assert {(at.panel, at.displacement_mm) for at in all_settings(plate)} == {(0.5, 1.0)}


def test_settings_within_the_ceilings() -> None:
    found = allowed_settings(VERTICAL, cap_g=None)
    assert {at.displacement_mm for at in found} == {1.0, 2.0}
    assert max(at.frequency_hz for at in found if at.displacement_mm == 1.0) == 40
    assert max(at.frequency_hz for at in found if at.displacement_mm == 2.0) == 31
    gentle = allowed_settings(VERTICAL, cap_g=1.0)
    assert [at.frequency_hz for at in gentle] == [20, 21, 22]
    assert len(allowed_settings(GENTLE, cap_g=1.0)) == 8
    tighter = allowed_settings(VERTICAL, cap_g=None, clinic=capped_at(1.0))
    assert [at.frequency_hz for at in tighter] == [20, 21, 22]


def test_settings_that_may_follow_another() -> None:
    start = judge(FINE).start
    assert start is not None
    found = allowed_settings(FINE, cap_g=None, after=start)
    by_mm = {
        mm: max(at.frequency_hz for at in found if at.displacement_mm == mm)
        for mm in (1.0, 1.2, 1.5)
    }
    assert by_mm == {1.0: 30, 1.2: 25, 1.5: 25}
    assert all(at.peak_g <= 1.5 * start.peak_g + 1e-9 for at in found)
    at_22 = setting(22, Travel(mm=1.0, panel=1.0))
    still = allowed_settings(FINE, cap_g=1.0, after=at_22)
    assert [(at.frequency_hz, at.displacement_mm) for at in still] == [
        (20, 1.0),
        (21, 1.0),
        (22, 1.0),
    ]
