"""The layers of the map: axes, limits, lines of equal g, the plate's settings, the ramp."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from programs.dose.in_force import Clinic
from programs.dose.limit import Limit
from programs.dose.plate import PlateStep
from programs.dose.plate_limits import (
    FLOOR_HZ,
    LOW_MAGNITUDE_G,
    START_HIGH_HZ,
    START_HIGH_MM,
    START_LOW_HZ,
    TILT_START_HZ,
    TILT_START_MM,
    TILT_TOP_HZ,
    TILT_TOP_MM,
    TOP_G,
    TOP_HZ,
    TOP_MM,
)
from programs.dose.plate_settings import LOW_MAGNITUDE, VERTICAL, Setting
from programs.dose.vibration import displacement_for_g, frequency_for_g
from programs.plates.dose_map.frame import (
    BOTTOM,
    INK,
    LEFT,
    PALE,
    PAPER,
    RIGHT,
    SOFT,
    TOP,
    Frame,
    Point,
    element,
    path_of,
)

#: Peaks drawn as lines, with a dash of their own each; an empty dash is a full line.
LINES_G = {0.5: "1 3", 1.0: "", 2.0: "6 3", 3.0: "10 3 2 3", 4.0: "14 4", 5.1: "2 2"}
#: Marks in one row of settings; more would run together.
MOST_IN_A_ROW = 60


@dataclass(frozen=True, kw_only=True)
class Start:
    """The start zone: frequencies in Hz, at most so much travel in mm."""

    low_hz: float
    high_hz: float
    high_mm: float


@dataclass(frozen=True, kw_only=True)
class Zone:
    """Where one kind of plate starts and how far it may go, for one person.

    start          None for low magnitude, which has but its g
    top_hz, top_mm infinite where only the peak limits
    past           what lies past the ceiling, in words
    """

    start: Start | None
    floor_hz: float
    top_hz: float
    top_mm: float
    top_g: float
    past: str


def zone_of(motion: str, cap_g: float, clinic: Clinic) -> Zone:
    """Return the zones of a kind of plate for a person whose peak is capped at so many g."""
    if motion == LOW_MAGNITUDE:
        top_g = min(cap_g, clinic.value(LOW_MAGNITUDE_G))
        return Zone(
            start=None,
            floor_hz=0.0,
            top_hz=math.inf,
            top_mm=math.inf,
            top_g=top_g,
            past=f"{top_g:g} g and over: not low magnitude",
        )
    if motion == VERTICAL:
        return Zone(
            start=Start(
                low_hz=clinic.value(START_LOW_HZ),
                high_hz=clinic.value(START_HIGH_HZ),
                high_mm=clinic.value(START_HIGH_MM),
            ),
            floor_hz=clinic.value(FLOOR_HZ),
            top_hz=clinic.value(TOP_HZ),
            top_mm=clinic.value(TOP_MM),
            top_g=cap_g,
            past=_past(clinic, cap_g, TOP_HZ, TOP_MM, "more muscle than bone"),
        )
    return Zone(
        start=Start(
            low_hz=0.0,
            high_hz=clinic.value(TILT_START_HZ),
            high_mm=clinic.value(TILT_START_MM),
        ),
        floor_hz=0.0,
        top_hz=clinic.value(TILT_TOP_HZ),
        top_mm=clinic.value(TILT_TOP_MM),
        top_g=cap_g,
        past=_past(clinic, cap_g, TILT_TOP_HZ, TILT_TOP_MM, "not drafted"),
    )


def _past(clinic: Clinic, cap_g: float, top_hz: Limit, top_mm: Limit, said: str) -> str:
    if cap_g < TOP_G.value:
        return f"past {cap_g:g} g: not for this person yet"
    return f"past {clinic.value(top_hz):g} Hz, {clinic.value(top_mm):g} mm or {cap_g:g} g: {said}"


def axes(frame: Frame) -> Iterator[str]:
    """Yield the frame, its ticks and its two titles."""
    yield element(
        "rect",
        x=LEFT,
        y=TOP,
        width=RIGHT - LEFT,
        height=BOTTOM - TOP,
        fill="none",
        stroke=INK,
        stroke_width=1,
    )
    apart = 5 if frame.high_hz - frame.low_hz < 45 else 10
    for hz in _ticks(frame.low_hz, frame.high_hz, apart):
        x = frame.x(hz)
        yield element("line", x1=x, y1=BOTTOM, x2=x, y2=BOTTOM + 5, stroke=INK)
        yield _text(x, BOTTOM + 18, f"{hz:g}", anchor="middle")
    for mm in _ticks(0.0, frame.high_mm, _mm_apart(frame.high_mm)):
        y = frame.y(mm)
        yield element("line", x1=LEFT - 5, y1=y, x2=LEFT, y2=y, stroke=INK)
        yield _text(LEFT - 9, y + 4, f"{mm:g}", anchor="end")
    yield _text((LEFT + RIGHT) / 2, BOTTOM + 36, "frequency, Hz", anchor="middle")
    yield element(
        "text",
        "displacement, mm peak to peak",
        x=16,
        y=(TOP + BOTTOM) / 2,
        transform=f"rotate(-90 16 {(TOP + BOTTOM) / 2:g})",
        text_anchor="middle",
        font_size=13,
        fill=INK,
    )


def _mm_apart(high_mm: float) -> float:
    for above, apart in ((3.0, 1.0), (1.0, 0.5), (0.2, 0.1)):
        if high_mm > above:
            return apart
    return 0.02


def _ticks(low: float, high: float, step: float) -> Iterator[float]:
    first = -int(-low // step)
    for n in range(first, int(high / step + 1e-9) + 1):
        yield round(n * step, 6)


def _text(x: float, y: float, said: str, *, anchor: str = "start", bold: bool = False) -> str:
    weight = {"font_weight": "bold"} if bold else {}
    return element("text", said, x=x, y=y, text_anchor=anchor, font_size=13, fill=INK, **weight)


def _label(x: float, y: float, said: str, *, anchor: str = "middle", bold: bool = False) -> str:
    """Return text on paper of its own, so that no line runs through it."""
    wide = 7.2 * len(said) + 6
    left = x - {"start": 3.0, "middle": wide / 2, "end": wide - 3}[anchor]
    paper = element("rect", x=left, y=y - 12, width=wide, height=16, fill=PAPER)
    return paper + _text(x, y, said, anchor=anchor, bold=bold)


# --- Limits -------------------------------------------------------------------------------


def allowed_area(frame: Frame, zone: Zone) -> list[Point]:
    """Return the outline of what may be drafted, as places on the map."""
    low = max(zone.floor_hz, frame.low_hz)
    high = min(zone.top_hz, frame.high_hz)
    tall = min(zone.top_mm, frame.high_mm)
    # Left of this the travel limits, right of it the peak.
    turns = min(max(frequency_for_g(tall, zone.top_g), low), high)
    top = frame.at(low, min(tall, displacement_for_g(low, zone.top_g)))
    return [
        frame.at(low, 0),
        top,
        *frame.line_of_g(zone.top_g, turns, high),
        frame.at(high, min(tall, displacement_for_g(high, zone.top_g))),
        frame.at(high, 0),
    ]


def limits(frame: Frame, zone: Zone) -> Iterator[str]:
    """Yield what is not drafted in pale grey, the ceiling's edge and the start zone."""
    yield element("rect", x=LEFT, y=TOP, width=RIGHT - LEFT, height=BOTTOM - TOP, fill=PALE)
    outline = path_of(allowed_area(frame, zone), closed=True)
    yield element("path", d=outline, fill=PAPER, stroke=INK, stroke_width=2)
    if zone.start is None:
        return
    left, right = _start_sides(frame, zone.start)
    top = frame.y(zone.start.high_mm)
    yield element(
        "rect",
        x=left,
        y=top,
        width=right - left,
        height=BOTTOM - top,
        fill="none",
        stroke=INK,
        stroke_width=1.5,
        stroke_dasharray="5 4",
    )


def _start_sides(frame: Frame, start: Start) -> Point:
    return frame.x(max(start.low_hz, frame.low_hz)), frame.x(start.high_hz)


def limit_labels(frame: Frame, zone: Zone) -> Iterator[str]:
    """Yield the words for the start zone and for what lies past the ceiling."""
    yield _label(RIGHT - 8, TOP + 18, zone.past, anchor="end")
    if zone.start is not None:
        middle = sum(_start_sides(frame, zone.start)) / 2
        # A person held to 1 g may start outside the usual zone.
        said = "start" if zone.top_g >= TOP_G.value else "usual start"
        yield _label(middle, frame.y(zone.start.high_mm) + 15, said)


# --- Lines of equal g ---------------------------------------------------------------------


def peaks_shown(frame: Frame, own_g: float | None) -> dict[float, str]:
    """Return the peaks to draw as lines, each with its dash; on a gentle plate up to 1 g."""
    if own_g is None:
        return {
            g: dash
            for g, dash in LINES_G.items()
            if frequency_for_g(frame.high_mm, g) < frame.high_hz
        }
    return {g: dash for g, dash in LINES_G.items() if g <= LOW_MAGNITUDE_G.value} | {own_g: ""}


def lines_of_g(frame: Frame, own_g: float | None) -> Iterator[str]:
    """Yield a line for each peak, and one for a plate of fixed acceleration."""
    for g, dash in peaks_shown(frame, own_g).items():
        dashed = {"stroke_dasharray": dash} if dash else {}
        yield element(
            "path",
            d=path_of(frame.line_of_g(g)),
            fill="none",
            stroke=SOFT,
            stroke_width=1.2,
            **dashed,
        )


def labels_of_g(frame: Frame, own_g: float | None) -> Iterator[str]:
    """Yield what each line stands for, where it enters the map."""
    for g in peaks_shown(frame, own_g):
        enters = frequency_for_g(frame.high_mm, g)
        if enters > frame.low_hz:
            yield _text(frame.x(enters), TOP - 6, f"{g:g} g", anchor="middle")
            continue
        y = frame.y(displacement_for_g(frame.low_hz, g))
        clear = -5 if y - 18 > TOP else 17
        yield _label(LEFT + 5, y + clear, f"{g:g} g", anchor="start")


# --- The plate's settings and the ramp ----------------------------------------------------


def setting_marks(
    frame: Frame, all_of_them: Iterable[Setting], allowed: set[Setting]
) -> Iterator[str]:
    """Yield a mark for each setting: full where allowed, open where not.

    Of a plate of fine steps every second, third and so on frequency is drawn.
    """
    settings = tuple(all_of_them)
    speeds = sorted({at.frequency_hz for at in settings})
    drawn = set(speeds[:: 1 + len(speeds) // MOST_IN_A_ROW])
    for at in settings:
        mm = travel_of(at)
        if at.frequency_hz not in drawn or not frame.shows(at.frequency_hz, mm):
            continue
        x, y = frame.at(at.frequency_hz, mm)
        fill = INK if at in allowed else PAPER
        yield element("circle", cx=x, cy=y, r=2.2, fill=fill, stroke=INK, stroke_width=0.8)


def nominal_marks(
    frame: Frame, true: tuple[Setting, ...], nominal: tuple[Setting, ...]
) -> Iterator[str]:
    """Yield a stroke for each setting from where the panel puts it to where it was measured.

    Both are in the same order, the slowest and smallest first; nothing where they do not pair.
    """
    if len(true) != len(nominal):
        return
    apart = 1 + len(true) // MOST_IN_A_ROW
    for said, found in tuple(zip(nominal, true, strict=True))[::apart]:
        ends = (said.frequency_hz, travel_of(said)), (found.frequency_hz, travel_of(found))
        if all(frame.shows(*end) for end in ends):
            d = path_of([frame.at(*end) for end in ends])
            yield element("path", d=d, fill="none", stroke=SOFT, stroke_width=2.5)


def travel_of(at: Setting) -> float:
    """Return the displacement in mm, worked out from its g where the plate gives no other."""
    if at.displacement_mm is not None:
        return at.displacement_mm
    return displacement_for_g(at.frequency_hz, at.peak_g)


def stays(steps: tuple[PlateStep, ...]) -> list[tuple[Setting, int, int]]:
    """Return each setting of a ramp with its first and last week."""
    runs = [list(run) for _, run in groupby(steps, key=lambda step: step.setting)]
    return [(run[0].setting, run[0].place, run[-1].place) for run in runs]


def ramp_path(frame: Frame, steps: tuple[PlateStep, ...]) -> Iterator[str]:
    """Yield the ramp as a thick line with a ring at each setting, and its weeks beside it."""
    places = [(frame.at(at.frequency_hz, travel_of(at)), a, b) for at, a, b in stays(steps)]
    if not places:
        return
    yield element(
        "path",
        d=path_of([place for place, _, _ in places]),
        fill="none",
        stroke=INK,
        stroke_width=3.5,
        stroke_linejoin="round",
    )
    for (x, y), _, _ in places:
        yield element("circle", cx=x, cy=y, r=6, fill=PAPER, stroke=INK, stroke_width=2.5)
    yield from _week_labels(places, _minutes(steps))


def _minutes(steps: tuple[PlateStep, ...]) -> str:
    """Return the minutes of a plate without bouts, which rise where its setting does not."""
    if steps[0].bouts is not None:
        return ""
    return f": {steps[0].vibration_min:g} to {steps[-1].vibration_min:g} min"


def _week_labels(places: list[tuple[Point, int, int]], minutes: str) -> Iterator[str]:
    """Yield the weeks of each ring: in turns below and above, or beside rings one above another."""
    across = [x for (x, _), _, _ in places]
    above = right = False
    for number, ((x, y), first, last) in enumerate(places):
        weeks = f"{first}" if first == last else f"{first}–{last}"
        if number == 0:
            yield _label(x, y + 22, f"weeks {weeks}{minutes}", bold=True)
        elif x == across[number - 1]:
            right = not right
            side, anchor = (14, "start") if right else (-14, "end")
            yield _label(x + side, y + 4, weeks, anchor=anchor, bold=True)
        else:
            above = not above and x not in across[number + 1 :]
            yield _label(x, y - 11 if above else y + 22, weeks, bold=True)
