"""One modality of one week in a short line, without loads and panels; plan_words has those."""

from __future__ import annotations

from programs.dose import impact
from programs.dose.could_lift import FELT_TO, reading_of
from programs.dose.plate_settings import hz_words
from programs.exercises import EXERCISES
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PlateWeek,
    PostureWeek,
    ResistanceWeek,
)

NOTHING = "not in the week"
NEAR_SUPPORT = "within a hand’s reach of support"


def short_dose(part: Part | None) -> str:
    """Return what a week holds of a modality, with units."""
    match part:
        case None:
            return NOTHING
        case PlateWeek():
            return _plate(part)
        case ResistanceWeek():
            return _lifting(part)
        case ImpactWeek():
            return _impact(part)
        case BalanceWeek():
            told = f"{_times(part.sessions)}, {part.minutes} min in all, {rung_words(part)}"
            return f"{told}, {NEAR_SUPPORT}" if part.near_support else told
        case _:
            held = hold_words(part)
            told = f"{_times(part.sessions)}, {part.minutes} min in all"
            return f"{told}, {held}" if held else told


def rung_words(part: BalanceWeek) -> str:
    """Return "rung 3", or that it is done sitting."""
    return "sitting" if part.rung is None else f"level {part.rung}"


def _times(sessions: int) -> str:
    return "once a week" if sessions == 1 else f"{sessions} times a week"


def _plate(part: PlateWeek) -> str:
    travel = "" if part.displacement_mm is None else f", {part.displacement_mm:g} mm peak to peak"
    how_long = (
        f"{part.vibration_min:g} min"
        if part.bouts is None
        else f"{part.bouts} bouts of {part.bout_s} s"
    )
    return f"{_times(part.sessions)}, {hz_read(part)}{travel}, {part.peak_g:g} g, {how_long}"


def hz_read(part: PlateWeek) -> str:
    """Return the frequency, of a measured plate to a tenth with what its panel shows."""
    if part.panel_hz is None:
        return f"{part.frequency_hz:g} Hz"
    return f"{hz_words(part.frequency_hz)} measured (panel {part.panel_hz:g} Hz)"


def _lifting(part: ResistanceWeek) -> str:
    told = f"{_times(part.sessions)}, {len(part.exercises)} exercises, {sets_words(part)}"
    if part.could_lift is None:
        return told
    read = reading_of(part.could_lift)
    return f"{told} ({'about ' if read.about else ''}{read.low} to {read.high} %)"


def sets_words(part: ResistanceWeek) -> str:
    """Return the sets of a week, and the weight by how often it could be lifted."""
    if part.could_lift is None and part.percent_1rm is not None:
        # As rulebooks before 2027.1 told it.
        return f"{part.sets} × {part.reps}, {part.reps_in_reserve} in reserve"
    if part.could_lift is None:
        own = sorted({part.reps if one.reps is None else one.reps for one in part.exercises})
        reps = f"{own[0]}" if own[0] == own[-1] else f"{own[0]} to {own[-1]}"
        return f"{part.sets} × {reps}, without a weight"
    about = "about " if part.could_lift > FELT_TO else ""
    return (
        f"{part.sets} × {part.reps} of a weight that could be lifted {about}{part.could_lift} "
        f"times, {part.reps_in_reserve} in reserve"
    )


def percent_words(could_lift: int) -> str:
    """Return the percent of the 1RM of a weight, and the band of the other readings."""
    read = reading_of(could_lift)
    return f"{'about ' if read.about else ''}{read.percent} %, {band_words(could_lift)}"


def band_words(could_lift: int) -> str:
    """Return the band over the readings of a weight."""
    read = reading_of(could_lift)
    others = "other equations" if read.about else "the classic chart"
    return f"{read.low} to {read.high} % by {others}"


def is_about(part: ResistanceWeek | ImpactWeek) -> bool:
    """Tell whether the strength is shown as "about": no equation, or nobody measured it.

    What a rulebook before 2027.1 told stands as it was told.
    """
    if isinstance(part, ResistanceWeek):
        return part.could_lift is not None and part.could_lift > FELT_TO
    return part.leg_bw is not None and not EXERCISES[part.exercises[0]].force_measured


def force_words(part: ImpactWeek) -> str:
    """Return the force on a leg and on the whole body; "about" where nobody measured it."""
    about = "about " if is_about(part) else ""
    if part.leg_bw is None or part.leg_bw == part.peak_bw:
        return f"{about}{part.peak_bw:g}"
    return f"{about}{part.leg_bw:g} a leg, {part.peak_bw:g} in all"


def impact_words(part: ImpactWeek) -> str:
    """Return the force of one leg, and the indices of hip and spine; ranges where not measured.

    Empty where none are counted, and where an older rulebook told no force on a leg.
    """
    if part.impacts is None or part.leg_bw is None:
        return ""
    index = impact.osteogenic_index(EXERCISES[part.exercises[0]], part.impacts, part.sessions)
    hip, spine = (_range(*index.between(value)) for value in (index.hip, index.spine))
    about = "about " if is_about(part) else ""
    return f"{about}{part.leg_bw:g} on a leg; planning index of the week: hip {hip}, spine {spine}"


def _range(low: float, high: float) -> str:
    return f"{low:.0f}" if round(low) == round(high) else f"{low:.0f} to {high:.0f}"


def hold_words(part: PostureWeek) -> str:
    """Return the holds and repetitions of each posture exercise; empty where none are told."""
    if part.hold_s is None or part.reps is None:
        return ""
    return f"each {part.reps} times, held {part.hold_s} s"


def _impact(part: ImpactWeek) -> str:
    name = EXERCISES[part.exercises[0]].name.lower()
    much = f"{part.minutes} min" if part.impacts is None else f"{part.impacts} impacts"
    return f"{_times(part.sessions)}, {much} of {name}, {force_words(part)} body weights"
