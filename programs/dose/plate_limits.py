"""The limits of the plate's dose, each once, with its unit and where it comes from."""

from __future__ import annotations

import math
from functools import partial

from programs.dose.limit import Limit, Range
from safety.findings import Modality

_plate = partial(Limit, modality=Modality.PLATE, bare=True)

START_LOW_HZ = _plate(
    name="vertical_start_low_hz",
    value=25.0,
    unit="Hz",
    text="A vertical plate starts at no less than this frequency",
    sources=("project",),
    found="Most vertical trials ran 25 to 40 Hz",
    floor=True,
)
START_HIGH_HZ = _plate(
    name="vertical_start_high_hz",
    value=30.0,
    unit="Hz",
    text="A vertical plate starts at no more than this frequency",
    sources=("project",),
    beside="frequency_hz",
)
START_LOW_MM = _plate(
    name="vertical_start_low_mm",
    value=1.0,
    unit="mm peak to peak",
    text="The start displacement of a vertical plate is looked for from here up",
    sources=("project",),
    floor=True,
)
START_HIGH_MM = _plate(
    name="vertical_start_high_mm",
    value=1.5,
    unit="mm peak to peak",
    text="A vertical plate starts at no more than this displacement",
    sources=("project",),
    beside="displacement_mm",
)
FLOOR_HZ = _plate(
    name="vertical_floor_hz",
    value=20.0,
    unit="Hz",
    text="A vertical plate never runs slower, for the hip resonates below it",
    sources=("rubin2003",),
    floor=True,
    beside="frequency_hz",
)
TOP_HZ = _plate(
    name="vertical_top_hz",
    value=40.0,
    unit="Hz",
    text="A vertical plate runs no faster; above it the load goes to muscle more than to bone",
    sources=("common",),
    beside="frequency_hz",
)
TOP_MM = _plate(
    name="vertical_top_mm",
    value=2.5,
    unit="mm peak to peak",
    text="A vertical plate moves no further; above it the load goes to muscle more than to bone",
    sources=("common",),
    beside="displacement_mm",
)
STEP_HZ = _plate(
    name="vertical_step_hz",
    value=5.0,
    unit="Hz",
    text="The frequency of a vertical plate rises by no more than this in one step",
    sources=("project",),
    beside="frequency_hz",
)
TILT_START_HZ = _plate(
    name="tilting_start_hz",
    value=12.5,
    unit="Hz",
    text="A side-alternating plate starts as near to this frequency as it can",
    sources=("gusi2006", "von_stengel2011"),
    beside="frequency_hz",
)
TILT_START_MM = _plate(
    name="tilting_start_mm",
    value=3.0,
    unit="mm peak to peak",
    text="A side-alternating plate starts at no more than this displacement",
    sources=("project",),
    beside="displacement_mm",
)
TILT_TOP_HZ = _plate(
    name="tilting_top_hz",
    value=20.0,
    unit="Hz",
    text="A side-alternating plate runs no faster",
    sources=("project", "cheung2007"),
    found="The trial ran 20 Hz",
    beside="frequency_hz",
)
TILT_TOP_MM = _plate(
    name="tilting_top_mm",
    value=5.0,
    unit="mm peak to peak",
    text="A side-alternating plate moves the feet no further",
    sources=("project",),
    beside="displacement_mm",
)
REASONED_TOP_G = _plate(
    name="reasoned_top_g",
    value=5.1,
    unit="g peak",
    text="No plate runs above this peak, with a written reason or without",
    sources=("verschueren2004",),
    found="The most that the hip trial reports",
    beside="frequency_hz",
)
TOP_G = _plate(
    name="top_g",
    value=4.0,
    unit="g peak",
    text="No plate is drafted above this peak",
    sources=("project",),
    beside="frequency_hz",
    judgement=math.inf,
    clinic=Range(
        text="Peak acceleration of any plate",
        tightest=0.3,
        loosest=REASONED_TOP_G.value,
        source=REASONED_TOP_G.source,
    ),
)
FRAGILE_G = _plate(
    name="fragile_g",
    value=1.0,
    unit="g peak",
    text="A fragile person stays within this peak until a review with no trouble lifts it",
    sources=("project",),
    found="Above 1 g a stiff body leaves the plate in each cycle",
    beside="frequency_hz",
)
LOW_MAGNITUDE_G = _plate(
    name="low_magnitude_g",
    value=1.0,
    unit="g peak",
    text="A low-magnitude plate stays below this peak",
    sources=("common",),
)
STEP_RATIO = _plate(
    name="step_ratio",
    value=1.5,
    unit="times",
    text="One step raises the peak by no more than this factor",
    sources=("project",),
    beside="frequency_hz",
)
RISES_AT_ONCE = _plate(
    name="rises_at_once",
    value=1,
    unit="variable",
    text="One step raises no more than this many variables",
    sources=("common",),
)
FIRST_RISE_WEEK = _plate(
    name="first_rise_week",
    value=3,
    unit="week",
    text="Nothing rises before this week",
    sources=("project",),
    floor=True,
)
WEEKS_A_STEP = _plate(
    name="weeks_a_step",
    value=2,
    unit="weeks",
    text="A step lasts at least this long",
    sources=("project",),
    floor=True,
)
DELOAD_WEEKS = _plate(
    name="deload_weeks",
    value=4,
    unit="weeks",
    text="In every week that this divides nothing rises",
    sources=("common",),
)
START_BOUTS = _plate(
    name="start_bouts",
    value=4,
    unit="bouts",
    text="The first sessions have no more bouts",
    sources=("project",),
    found="Trials started with 3 to 6",
    beside="bouts",
)
TOP_BOUTS = _plate(
    name="top_bouts",
    value=10,
    unit="bouts",
    text="A session has no more bouts",
    sources=("project",),
    beside="bouts",
)
START_BOUT_S = _plate(
    name="start_bout_s",
    value=30,
    unit="s",
    text="The first bouts last no longer",
    sources=("camacho2019",),
    found="30 s bouts, 1 min rest",
    beside="bout_s",
)
TOP_BOUT_S = _plate(
    name="top_bout_s",
    value=60,
    unit="s",
    text="A bout lasts no longer",
    sources=("gusi2006",),
    found="1 min bouts, 1 min rest",
    beside="bout_s",
)
REST_S = _plate(
    name="rest_s",
    value=60,
    unit="s",
    text="The rest between bouts is no shorter",
    sources=("gusi2006",),
    found="1 min bouts, 1 min rest",
    floor=True,
    beside="rest_s",
)
STEP_BOUTS = _plate(
    name="step_bouts",
    value=2,
    unit="bouts",
    text="One step adds no more bouts",
    sources=("project",),
    beside="bouts",
)
STEP_BOUT_S = _plate(
    name="step_bout_s",
    value=15,
    unit="s",
    text="One step lengthens the bouts by no more",
    sources=("project",),
    beside="bout_s",
)
FRAGILE_RISES = _plate(
    name="fragile_rises",
    value=0,
    unit="rises",
    text="For a fragile person neither frequency nor displacement rises until a review lifts it",
    sources=("project",),
)
START_DOSE_RISES = _plate(
    name="start_dose_rises",
    value=0,
    unit="rises",
    text="Under a precaution the plate stays at its start dose until the next review",
    sources=("project",),
)
SESSION_VIBRATION_MIN = _plate(
    name="session_vibration_min",
    value=15,
    unit="min",
    text="A session has no more vibration",
    sources=("project",),
    found="Trials on vertical plates ran 10 to 15 min",
    beside="bouts",
)
SESSION_MIN = _plate(
    name="session_min",
    value=30,
    unit="min",
    text="A session takes no longer, rests included",
    sources=("project",),
    beside="bouts",
)
SESSIONS_A_WEEK = _plate(
    name="sessions",
    value=3,
    unit="sessions",
    text="A week has no more sessions on the plate",
    sources=("project",),
    found="Trials ran 2 to 3 a week",
    beside="sessions",
    clinic=Range(text="Sessions on a plate with bouts", tightest=1, unit="a week"),
)
LOW_START_HZ = _plate(
    name="low_magnitude_start_hz",
    value=30.0,
    unit="Hz",
    text="A low-magnitude plate runs at its lowest frequency from here up, else at its highest",
    sources=("leung2014", "kiel2015"),
    found="35 Hz and 37 Hz",
    floor=True,
)
LOW_START_MIN = _plate(
    name="low_magnitude_start_min",
    value=10,
    unit="min",
    text="Sessions on a low-magnitude plate start at no more than this",
    sources=("kiel2015",),
    found="10 min a day",
    beside="vibration_min",
)
LOW_TOP_MIN = _plate(
    name="low_magnitude_top_min",
    value=20,
    unit="min",
    text="Sessions on a low-magnitude plate last no longer",
    sources=("leung2014",),
    found="20 min, 5 days a week",
    beside="vibration_min",
)
LOW_STEP_MIN = _plate(
    name="low_magnitude_step_min",
    value=2,
    unit="min",
    text="Sessions on a low-magnitude plate rise by no more than this in one step",
    sources=("project",),
    beside="vibration_min",
)
LOW_SESSIONS_A_WEEK = _plate(
    name="low_magnitude_sessions_a_week",
    value=5,
    unit="sessions",
    text="A week has no more sessions on a low-magnitude plate",
    sources=("leung2014",),
    found="5 days a week",
    beside="sessions",
)

LIMITS: tuple[Limit, ...] = (
    START_LOW_HZ,
    START_HIGH_HZ,
    START_LOW_MM,
    START_HIGH_MM,
    FLOOR_HZ,
    TOP_HZ,
    TOP_MM,
    STEP_HZ,
    TILT_START_HZ,
    TILT_START_MM,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_G,
    REASONED_TOP_G,
    FRAGILE_G,
    LOW_MAGNITUDE_G,
    STEP_RATIO,
    RISES_AT_ONCE,
    FIRST_RISE_WEEK,
    WEEKS_A_STEP,
    DELOAD_WEEKS,
    START_BOUTS,
    TOP_BOUTS,
    START_BOUT_S,
    TOP_BOUT_S,
    REST_S,
    STEP_BOUTS,
    STEP_BOUT_S,
    FRAGILE_RISES,
    START_DOSE_RISES,
    SESSION_VIBRATION_MIN,
    SESSION_MIN,
    SESSIONS_A_WEEK,
    LOW_START_HZ,
    LOW_START_MIN,
    LOW_TOP_MIN,
    LOW_STEP_MIN,
    LOW_SESSIONS_A_WEEK,
)

#: The rungs of the ramp between the start and the ceiling.
BOUT_S_RUNGS = (45,)
BOUTS_RUNGS = (6, 8)
TILT_HZ_RUNGS = (15.0, 17.5)

# Peaks are worked out in floating point: a peak exactly at a limit is within it.
_NOISE = 1e-9


def within(value: float, limit: float) -> bool:
    """Tell whether a value is at or under a limit, floating-point noise forgiven."""
    return value <= limit * (1 + _NOISE)
