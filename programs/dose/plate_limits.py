"""The limits of the plate's dose, each once, with its unit and where it comes from."""

from __future__ import annotations

from dataclasses import dataclass

COMMON_PRACTICE = "common practice"
PROJECT_CHOICE = "project choice, for the clinic to confirm"
HIP_TRIAL = "Verschueren 2004, JBMR 19:352 (from memory, to be confirmed)"


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One limit: what it is about, its value and unit, and its source.

    overridable   a clinician may pass it with a written reason
    """

    name: str
    text: str
    value: float
    unit: str
    source: str
    overridable: bool = False


START_LOW_HZ = Limit(
    name="vertical_start_low_hz",
    text="A vertical plate starts at no less than this frequency",
    value=25.0,
    unit="Hz",
    source=f"{PROJECT_CHOICE}; most vertical trials ran 25 to 40 Hz",
)
START_HIGH_HZ = Limit(
    name="vertical_start_high_hz",
    text="A vertical plate starts at no more than this frequency",
    value=30.0,
    unit="Hz",
    source=PROJECT_CHOICE,
)
START_LOW_MM = Limit(
    name="vertical_start_low_mm",
    text="The start displacement of a vertical plate is looked for from here up",
    value=1.0,
    unit="mm peak to peak",
    source=PROJECT_CHOICE,
)
START_HIGH_MM = Limit(
    name="vertical_start_high_mm",
    text="A vertical plate starts at no more than this displacement",
    value=1.5,
    unit="mm peak to peak",
    source=PROJECT_CHOICE,
)
FLOOR_HZ = Limit(
    name="vertical_floor_hz",
    text="A vertical plate never runs slower, for the hip resonates below it",
    value=20.0,
    unit="Hz",
    source="Rubin 2003, Spine 28:2621",
)
TOP_HZ = Limit(
    name="vertical_top_hz",
    text="A vertical plate runs no faster; above it the load goes to muscle more than to bone",
    value=40.0,
    unit="Hz",
    source=COMMON_PRACTICE,
)
TOP_MM = Limit(
    name="vertical_top_mm",
    text="A vertical plate moves no further; above it the load goes to muscle more than to bone",
    value=2.5,
    unit="mm peak to peak",
    source=COMMON_PRACTICE,
)
STEP_HZ = Limit(
    name="vertical_step_hz",
    text="The frequency of a vertical plate rises by no more than this in one step",
    value=5.0,
    unit="Hz",
    source=PROJECT_CHOICE,
)
TILT_START_HZ = Limit(
    name="tilting_start_hz",
    text="A side-alternating plate starts as near to this frequency as it can",
    value=12.5,
    unit="Hz",
    source="Gusi 2006, BMC Musculoskelet Disord 7:92; von Stengel 2011, MSSE 43(6)",
)
TILT_START_MM = Limit(
    name="tilting_start_mm",
    text="A side-alternating plate starts at no more than this displacement",
    value=3.0,
    unit="mm peak to peak",
    source=PROJECT_CHOICE,
)
TILT_TOP_HZ = Limit(
    name="tilting_top_hz",
    text="A side-alternating plate runs no faster",
    value=20.0,
    unit="Hz",
    source=f"{PROJECT_CHOICE}; Cheung 2007, APMR 88:852, ran 20 Hz",
)
TILT_TOP_MM = Limit(
    name="tilting_top_mm",
    text="A side-alternating plate moves the feet no further",
    value=5.0,
    unit="mm peak to peak",
    source=PROJECT_CHOICE,
)
TOP_G = Limit(
    name="top_g",
    text="No plate is drafted above this peak",
    value=4.0,
    unit="g peak",
    source=PROJECT_CHOICE,
    overridable=True,
)
REASONED_TOP_G = Limit(
    name="reasoned_top_g",
    text="No plate runs above this peak, with a written reason or without",
    value=5.1,
    unit="g peak",
    source=f"the most that the hip trial reports: {HIP_TRIAL}",
)
FRAGILE_G = Limit(
    name="fragile_g",
    text="A fragile person stays within this peak until a review with no trouble lifts it",
    value=1.0,
    unit="g peak",
    source=f"{PROJECT_CHOICE}; above 1 g a stiff body leaves the plate in each cycle",
)
LOW_MAGNITUDE_G = Limit(
    name="low_magnitude_g",
    text="A low-magnitude plate stays below this peak",
    value=1.0,
    unit="g peak",
    source=COMMON_PRACTICE,
)
STEP_RATIO = Limit(
    name="step_ratio",
    text="One step raises the peak by no more than this factor",
    value=1.5,
    unit="times",
    source=PROJECT_CHOICE,
)
RISES_AT_ONCE = Limit(
    name="rises_at_once",
    text="One step raises no more than this many variables",
    value=1,
    unit="variable",
    source=COMMON_PRACTICE,
)
FIRST_RISE_WEEK = Limit(
    name="first_rise_week",
    text="Nothing rises before this week",
    value=3,
    unit="week",
    source=PROJECT_CHOICE,
)
WEEKS_A_STEP = Limit(
    name="weeks_a_step",
    text="A step lasts at least this long",
    value=2,
    unit="weeks",
    source=PROJECT_CHOICE,
)
DELOAD_WEEKS = Limit(
    name="deload_weeks",
    text="In every week that this divides nothing rises",
    value=4,
    unit="weeks",
    source=COMMON_PRACTICE,
)
START_BOUTS = Limit(
    name="start_bouts",
    text="The first sessions have no more bouts",
    value=4,
    unit="bouts",
    source=f"{PROJECT_CHOICE}; trials started with 3 to 6",
)
TOP_BOUTS = Limit(
    name="top_bouts",
    text="A session has no more bouts",
    value=10,
    unit="bouts",
    source=PROJECT_CHOICE,
)
START_BOUT_S = Limit(
    name="start_bout_s",
    text="The first bouts last no longer",
    value=30,
    unit="s",
    source="Camacho-Cardenosa 2019, Front Physiol 10:1122 (30 s bouts, 1 min rest)",
)
TOP_BOUT_S = Limit(
    name="top_bout_s",
    text="A bout lasts no longer",
    value=60,
    unit="s",
    source="Gusi 2006, BMC Musculoskelet Disord 7:92 (1 min bouts, 1 min rest)",
)
REST_S = Limit(
    name="rest_s",
    text="The rest between bouts is no shorter",
    value=60,
    unit="s",
    source="Gusi 2006, BMC Musculoskelet Disord 7:92 (1 min bouts, 1 min rest)",
)
STEP_BOUTS = Limit(
    name="step_bouts",
    text="One step adds no more bouts",
    value=2,
    unit="bouts",
    source=PROJECT_CHOICE,
)
STEP_BOUT_S = Limit(
    name="step_bout_s",
    text="One step lengthens the bouts by no more",
    value=15,
    unit="s",
    source=PROJECT_CHOICE,
)
FRAGILE_RISES = Limit(
    name="fragile_rises",
    text="For a fragile person neither frequency nor displacement rises until a review lifts it",
    value=0,
    unit="rises",
    source=PROJECT_CHOICE,
)
START_DOSE_RISES = Limit(
    name="start_dose_rises",
    text="Under a precaution the plate stays at its start dose until the next review",
    value=0,
    unit="rises",
    source=PROJECT_CHOICE,
)
SESSION_VIBRATION_MIN = Limit(
    name="session_vibration_min",
    text="A session has no more vibration",
    value=15,
    unit="min",
    source=f"{PROJECT_CHOICE}; trials on vertical plates ran 10 to 15 min",
)
SESSION_MIN = Limit(
    name="session_min",
    text="A session takes no longer, rests included",
    value=30,
    unit="min",
    source=PROJECT_CHOICE,
)
SESSIONS_A_WEEK = Limit(
    name="sessions_a_week",
    text="A week has no more sessions on the plate",
    value=3,
    unit="sessions",
    source=f"{PROJECT_CHOICE}; trials ran 2 to 3 a week",
)
LOW_START_HZ = Limit(
    name="low_magnitude_start_hz",
    text="A low-magnitude plate runs at its lowest frequency from here up, else at its highest",
    value=30.0,
    unit="Hz",
    source="Leung 2014, Osteoporos Int 25:1785 (35 Hz); Kiel 2015, JBMR 30:1319 (37 Hz)",
)
LOW_START_MIN = Limit(
    name="low_magnitude_start_min",
    text="Sessions on a low-magnitude plate start at no more than this",
    value=10,
    unit="min",
    source="Kiel 2015, JBMR 30:1319 (10 min a day)",
)
LOW_TOP_MIN = Limit(
    name="low_magnitude_top_min",
    text="Sessions on a low-magnitude plate last no longer",
    value=20,
    unit="min",
    source="Leung 2014, Osteoporos Int 25:1785 (20 min, 5 days a week)",
)
LOW_STEP_MIN = Limit(
    name="low_magnitude_step_min",
    text="Sessions on a low-magnitude plate rise by no more than this in one step",
    value=2,
    unit="min",
    source=PROJECT_CHOICE,
)
LOW_SESSIONS_A_WEEK = Limit(
    name="low_magnitude_sessions_a_week",
    text="A week has no more sessions on a low-magnitude plate",
    value=5,
    unit="sessions",
    source="Leung 2014, Osteoporos Int 25:1785 (5 days a week)",
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

#: The rungs of the ramp above the start; the last ones are the ceilings.
BOUT_S_RUNGS = (45, int(TOP_BOUT_S.value))
BOUTS_RUNGS = (6, 8, int(TOP_BOUTS.value))
TILT_HZ_RUNGS = (15.0, 17.5, TILT_TOP_HZ.value)

# Peaks are worked out in floating point: a peak exactly at a limit is within it.
_NOISE = 1e-9


def within(value: float, limit: float) -> bool:
    """Tell whether a value is at or under a limit, floating-point noise forgiven."""
    return value <= limit * (1 + _NOISE)
