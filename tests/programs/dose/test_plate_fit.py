"""Whether a plate is fit. Limits without a publication are project choices."""

from __future__ import annotations

from dataclasses import replace

import pytest

from patients.facts.declared_plate import FrequencyRange, Plate
from programs.dose.plate import Fit, ramp
from programs.dose.plate_settings import frequencies, travels
from programs.dose.plate_start import READING_QUESTION
from tests.programs.own_limits import capped_at
from tests.programs.sample_plates import (
    GENTLE,
    TILTING,
    VERTICAL,
    chosen,
    judge,
    shown,
    span,
    start_of,
)

# --- What the plate has -----------------------------------------------------------------


def test_frequencies_reach_their_last_step_without_float_drift() -> None:
    assert frequencies(span(0.1 + 24.9, 26, 0.1))[-1] == 26.0
    assert len(frequencies(span(20, 50, 0.1))) == 301
    assert frequencies(span(20, 45, 10)) == (20.0, 30.0, 40.0)
    assert frequencies(span(50, 50)) == (50.0,)


@pytest.mark.parametrize("none", [None, span(30, 20), span(20, 30, 0)])
def test_frequencies_that_are_not_known_are_none(none: FrequencyRange | None) -> None:
    assert frequencies(none) == ()


def test_travels_are_sorted_and_peak_to_peak_with_the_panel_beside() -> None:
    plate = replace(VERTICAL, displacement_mm=shown(2.0, 0.5, 2.0))
    assert [(t.mm, t.panel) for t in travels(plate, "zero_to_peak")] == [(1.0, 0.5), (4.0, 2.0)]


def test_a_tilting_plate_may_give_its_geometry_instead() -> None:
    plate = replace(TILTING, displacement_mm=None, foot_distance_mm=60, tilt_degrees=1.19)
    (only,) = travels(plate, "peak_to_peak")
    assert only.mm == 2.49  # 2 x 60 mm x sin 1.19 degrees is 2.4922
    assert only.panel is None
    assert travels(replace(plate, tilt_degrees=None), "peak_to_peak") == ()
    assert travels(replace(plate, motion="vertical"), "peak_to_peak") == ()


# --- What any plate needs ---------------------------------------------------------------


@pytest.mark.parametrize(
    "rail, support, fit",
    [
        (True, None, Fit.FIT),
        (True, False, Fit.FIT),
        (False, True, Fit.FIT),
        (None, True, Fit.FIT),
        (False, False, Fit.NOT_FIT),
        (None, False, Fit.ON_HOLD),
        (False, None, Fit.ON_HOLD),
        (None, None, Fit.ON_HOLD),
    ],
)
def test_something_to_hold(rail: bool | None, support: bool | None, fit: Fit) -> None:
    judged = judge(replace(VERTICAL, rail=rail), support_rail=support)
    assert judged.fit is fit
    assert len(judged.missing) == (fit is Fit.ON_HOLD) * [rail, support].count(None)


@pytest.mark.parametrize(
    "weight, limit, fit",
    [
        (120.0, 120.0, Fit.FIT),
        (120.1, 120.0, Fit.NOT_FIT),
        (None, 120.0, Fit.ON_HOLD),
        (62.0, None, Fit.ON_HOLD),
        (None, None, Fit.ON_HOLD),
    ],
)
def test_load_limit(weight: float | None, limit: float | None, fit: Fit) -> None:
    judged = judge(replace(VERTICAL, load_limit_kg=limit), weight_kg=weight)
    assert judged.fit is fit
    assert len(judged.missing) == [weight, limit].count(None)


@pytest.mark.parametrize(
    "watched, fit", [(True, Fit.FIT), (None, Fit.ON_HOLD), (False, Fit.NOT_FIT)]
)
def test_a_fragile_person_is_watched(watched: bool | None, fit: Fit) -> None:
    judged = judge(VERTICAL, fragile=True, watched=watched)
    assert judged.fit is fit
    assert bool(judged.missing) is (watched is None)
    assert judge(VERTICAL, fragile=False, watched=watched).fit is Fit.FIT


def test_a_refusal_beats_a_hold_and_every_reason_is_given() -> None:
    judged = judge(
        replace(VERTICAL, rail=None, load_limit_kg=50, frequency_hz=span(50, 50)),
        fragile=True,
        watched=False,
    )
    assert judged.fit is Fit.NOT_FIT
    assert len(judged.reasons) == 4
    assert "62 kg" in judged.reasons[1]
    assert "only 50 Hz" in judged.reasons[3]
    assert judged.missing == (
        "whether the plate has a rail",
        "whether something fixed to hold stands beside the plate",
    )


# --- Where a vertical plate starts ------------------------------------------------------


@pytest.mark.parametrize(
    "has, start",
    [
        (span(20, 50), 25.0),
        (span(28, 50, 4), 28.0),
        (span(30, 50, 5), 30.0),
        (span(20, 25, 5), 25.0),
        (span(15, 24), None),
        (span(30.1, 50), None),
        (span(20, 50, 15), None),
    ],
)
def test_vertical_start_frequency(has: FrequencyRange, start: float | None) -> None:
    judged = judge(replace(VERTICAL, frequency_hz=has))
    assert (judged.start.frequency_hz if judged.start else None) == start
    assert judged.fit is (Fit.FIT if start else Fit.NOT_FIT)


@pytest.mark.parametrize(
    "has, start",
    [
        ((1.0, 1.2, 2.0), 1.0),
        ((1.2, 1.5), 1.2),
        ((1.5, 4.0), 1.5),
        ((0.3, 0.9, 2.0), 0.9),
        ((0.3, 0.9, 1.4), 1.4),
        ((1.51, 4.0), None),
    ],
)
def test_vertical_start_displacement(has: tuple[float, ...], start: float | None) -> None:
    judged = judge(replace(VERTICAL, displacement_mm=shown(*has)))
    assert (judged.start.displacement_mm if judged.start else None) == start
    assert judged.fit is (Fit.FIT if start else Fit.NOT_FIT)


def test_a_plate_that_starts_too_strong_is_refused_with_its_numbers() -> None:
    plate = replace(VERTICAL, frequency_hz=span(50, 50), displacement_mm=shown(4.0), rail=False)
    judged = judge(plate, support_rail=True)
    assert judged.fit is Fit.NOT_FIT
    assert judged.reasons == (
        "No frequency from 25 to 30 Hz to start on: it has only 50 Hz.",
        "Moves too far to start on: its smallest displacement is 4 mm peak to peak, "
        "and the start is at most 1.5 mm.",
    )


def test_a_motion_that_is_not_known_holds_unless_what_is_known_refuses() -> None:
    for plate in (
        replace(VERTICAL, frequency_hz=None),
        replace(VERTICAL, displacement_mm=None),
        replace(TILTING, displacement_mm=None),
    ):
        judged = judge(plate)
        assert judged.fit is Fit.ON_HOLD
        assert len(judged.missing) == 1
        assert not ramp(judged, cap_g=None, start_dose_only=False)
    refused = judge(replace(VERTICAL, frequency_hz=None, displacement_mm=shown(4.0)))
    assert refused.fit is Fit.NOT_FIT
    assert judge(replace(VERTICAL, frequency_hz=None, displacement_mm=None)).missing == (
        "the frequencies the plate has",
        "its displacement settings",
    )


# --- Fragile ----------------------------------------------------------------------------


@pytest.mark.parametrize(
    "plate, start",
    [
        (VERTICAL, (22.0, 1.0)),
        (replace(VERTICAL, displacement_mm=shown(0.5, 1.0)), (25.0, 0.5)),
        (replace(VERTICAL, displacement_mm=shown(0.7, 2.0)), (25.0, 0.7)),
        (replace(VERTICAL, frequency_hz=span(20, 50, 5)), (20.0, 1.0)),
        (TILTING, (12.0, 2.0)),
        (
            replace(TILTING, displacement_mm=shown(3.0), frequency_hz=span(5, 30, 0.5)),
            (12.5, 3.0),
        ),
        (replace(TILTING, displacement_mm=shown(3.0), frequency_hz=span(10, 30, 3)), (10.0, 3.0)),
    ],
)
def test_where_a_fragile_person_starts(plate: Plate, start: tuple[float, float]) -> None:
    assert start_of(plate, fragile=True) == start


def test_one_millimetre_at_22_hertz_is_just_under_one_g() -> None:
    judged = judge(VERTICAL, fragile=True)
    assert judged.start is not None
    assert judged.start.peak_g == pytest.approx(0.974, abs=5e-4)


@pytest.mark.parametrize(
    "plate",
    [
        replace(VERTICAL, displacement_mm=shown(1.25)),  # 20 Hz would be 1.006 g
        replace(VERTICAL, frequency_hz=span(25, 50)),  # nothing slower than 1.26 g
        replace(VERTICAL, frequency_hz=span(19, 50, 6)),  # 19 Hz would do, but is under 20
        replace(TILTING, displacement_mm=shown(3.0), frequency_hz=span(15, 30)),
    ],
)
def test_no_setting_within_one_g_is_not_fit_for_a_fragile_person(plate: Plate) -> None:
    judged = judge(plate, fragile=True)
    assert judged.fit is Fit.NOT_FIT
    assert "the most for this person is 1 g" in judged.reasons[-1]
    assert judge(plate).fit is Fit.FIT


def test_the_gentlest_start_is_named_where_it_is_too_strong() -> None:
    judged = judge(replace(VERTICAL, displacement_mm=shown(1.25)), fragile=True)
    assert judged.reasons == (
        "Too strong: its gentlest start is 20 Hz and 1.25 mm peak to peak: 1.01 g peak, "
        "and the most for this person is 1 g.",
    )


def test_a_plate_without_the_usual_start_is_not_fit_for_a_fragile_person_either() -> None:
    slow = replace(VERTICAL, frequency_hz=span(20, 24), displacement_mm=shown(0.5))
    assert judge(slow, fragile=True).fit is Fit.NOT_FIT


# --- A reading that is not known --------------------------------------------------------


def test_an_unknown_reading_within_one_g_only_as_peak_to_peak_holds_the_fragile() -> None:
    plate = replace(VERTICAL, displacement_mm=shown(0.7, reads_as=None))
    assert judge(plate).fit is Fit.FIT
    assert judge(plate, fragile=True).fit is Fit.ON_HOLD


def test_an_unknown_reading_and_unknown_frequencies_are_both_asked_for() -> None:
    for has in ((0.5,), (1.0,)):
        plate = replace(VERTICAL, frequency_hz=None, displacement_mm=shown(*has, reads_as=None))
        assert judge(plate).missing == (READING_QUESTION, "the frequencies the plate has")


@pytest.mark.parametrize(
    "has, fit, start_mm",
    [
        ((0.5, 1.0, 2.0), Fit.FIT, 1.0),
        ((0.75, 4.0), Fit.FIT, 1.5),
        ((1.0, 2.0), Fit.ON_HOLD, None),
        ((2.0, 4.0), Fit.NOT_FIT, None),
    ],
)
def test_an_unknown_reading_is_taken_as_the_larger_motion(
    has: tuple[float, ...], fit: Fit, start_mm: float | None
) -> None:
    judged = judge(replace(VERTICAL, displacement_mm=shown(*has, reads_as=None)))
    assert judged.fit is fit
    assert (judged.start.displacement_mm if judged.start else None) == start_mm
    assert judged.missing == (() if fit is Fit.NOT_FIT else (READING_QUESTION,))


# --- Side-alternating -------------------------------------------------------------------


@pytest.mark.parametrize(
    "has, start",
    [
        (span(5, 30), 12.0),  # 12 and 13 are as near: the lower
        (span(5, 30, 0.5), 12.5),
        (span(5, 30, 5), 10.0),
        (span(18, 30), 18.0),
        (span(20, 30), 20.0),
        (span(5, 8), 8.0),
        (span(20.5, 30), None),
    ],
)
def test_side_alternating_start_frequency(has: FrequencyRange, start: float | None) -> None:
    judged = judge(replace(TILTING, frequency_hz=has))
    assert (judged.start.frequency_hz if judged.start else None) == start


@pytest.mark.parametrize("smallest, fit", [(3.0, Fit.FIT), (3.01, Fit.NOT_FIT)])
def test_side_alternating_start_displacement(smallest: float, fit: Fit) -> None:
    judged = judge(replace(TILTING, displacement_mm=shown(8.0, smallest)))
    assert judged.fit is fit


def test_a_wide_stance_is_refused_with_the_stance_that_would_do() -> None:
    plate = replace(TILTING, displacement_mm=None, foot_distance_mm=120, tilt_degrees=1.19)
    judged = judge(plate)
    assert judged.fit is Fit.NOT_FIT
    assert judged.reasons[0].endswith("With the feet 72 mm from the axis it would be within that.")
    assert judge(replace(plate, foot_distance_mm=72)).fit is Fit.FIT


# --- Low magnitude ----------------------------------------------------------------------


@pytest.mark.parametrize(
    "has, start", [(span(30, 37), 30.0), (span(25, 37, 6), 31.0), (span(20, 29), 29.0)]
)
def test_low_magnitude_frequency(has: FrequencyRange, start: float) -> None:
    assert start_of(replace(GENTLE, frequency_hz=has)) == (start, None)


@pytest.mark.parametrize(
    "g, reads_as, fit, peak",
    [
        (0.3, None, Fit.FIT, 0.3),
        (0.3, "peak", Fit.FIT, 0.3),
        (0.3, "peak_to_peak", Fit.FIT, 0.15),
        (0.99, "peak", Fit.FIT, 0.99),
        (1.0, "peak", Fit.NOT_FIT, None),
        (1.9, "peak_to_peak", Fit.FIT, 0.95),
        (2.0, "peak_to_peak", Fit.NOT_FIT, None),
        (None, None, Fit.ON_HOLD, None),
    ],
)
def test_low_magnitude_acceleration(
    g: float | None, reads_as: str | None, fit: Fit, peak: float | None
) -> None:
    judged = judge(replace(GENTLE, fixed_g=g, g_reads_as=reads_as))
    assert judged.fit is fit
    assert (judged.start.peak_g if judged.start else None) == peak


def test_low_magnitude_frequency_unknown_holds() -> None:
    assert judge(replace(GENTLE, frequency_hz=None)).missing == ("the frequencies the plate has",)
    nothing = judge(replace(GENTLE, frequency_hz=None, fixed_g=None))
    assert nothing.fit is Fit.ON_HOLD
    assert len(nothing.missing) == 2


# --- A clinic's ceiling, and the choice among plates ------------------------------------


def test_a_tighter_ceiling_of_the_clinic_holds_for_the_start_too() -> None:
    judged = judge(VERTICAL, clinic=capped_at(0.9))
    assert judged.start is not None
    assert judged.start.frequency_hz == 21.0
    assert judge(GENTLE, clinic=capped_at(0.2)).fit is Fit.NOT_FIT


def test_which_plate_of_several() -> None:
    strong = replace(VERTICAL, name="strong", displacement_mm=shown(4.0))
    unsure = replace(VERTICAL, name="unsure", load_limit_kg=None)
    assert chosen() is None
    assert chosen(GENTLE, VERTICAL) == "vertical"
    assert chosen(GENTLE, TILTING, VERTICAL) == "tilting"
    assert chosen(unsure, GENTLE) == "gentle"
    assert chosen(strong, unsure) == "unsure"
    assert chosen(strong) == "strong"
    assert chosen(VERTICAL, GENTLE, fragile=True) == "vertical"
    assert chosen(strong, GENTLE, fragile=True) == "gentle"
