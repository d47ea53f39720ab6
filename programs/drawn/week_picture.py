"""A week as a picture: her days down the side, each session a bar as long as its minutes."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from patients.measured.chart import element, line, text
from programs.drawn.ramp_picture import WIDTH, framed
from programs.drawn.timetable import Day, Timetable

_LEFT, _RIGHT, _TOP, _ROW, _GAP, _BAR = 176, 12, 30, 18, 8, 12
_INK = "currentColor"
#: About so many letters of a note fit into a line.
_LETTERS, _NOTE = 54, 18


def picture(week: Timetable) -> str:
    """Return the SVG of a week."""
    longest = max([day.minutes for day in week.days] + [week.most_min or 0.0])
    rows = sum(len(day.sessions) for day in week.days) * _ROW + len(week.days) * _GAP
    notes = [words for note in week.notes for words in textwrap.wrap(note, _LETTERS)]
    bottom = _TOP + rows
    parts = (
        text(0, 14, f"Week {week.week}, minutes of each session", font_weight="bold", fill=_INK),
        *_limit(week, longest, bottom),
        *_days(week, longest),
        *_notes(notes, bottom),
    )
    height = bottom + 8 + _NOTE * len(notes)
    return framed("week", f"Week {week.week} as a timetable", said(week), height, parts)


def said(week: Timetable) -> str:
    """Return what the picture shows in words."""
    told = [
        f"{day.name}: {', '.join(f'{one.name.lower()} {one.minutes:.0f}' for one in day.sessions)}"
        for day in week.days
    ]
    return " ".join((f"{'; '.join(told)} minutes.", *week.notes))


def _x(minutes: float, longest: float) -> float:
    return round(_LEFT + minutes / longest * (WIDTH - _LEFT - _RIGHT), 1)


def _limit(week: Timetable, longest: float, bottom: float) -> Iterator[str]:
    """Draw how many minutes she has on a day."""
    if week.most_min is not None:
        x = _x(week.most_min, longest)
        look = {"stroke": _INK, "stroke_width": 1.5, "stroke_dasharray": "6 3"}
        yield line(x, _TOP - 6, x, bottom, **look)
        yield text(x, _TOP - 11, f"{week.most_min:g} min", text_anchor="end", fill=_INK)


def _days(week: Timetable, longest: float) -> Iterator[str]:
    y = float(_TOP)
    for day in week.days:
        yield line(0, y, WIDTH - _RIGHT, y, stroke=_INK, stroke_opacity=0.3)
        yield from _sessions(day, y + _GAP / 2, longest)
        y += len(day.sessions) * _ROW + _GAP


def _sessions(day: Day, y: float, longest: float) -> Iterator[str]:
    yield text(0, y + 13, day.name[:3], font_weight="bold", fill=_INK)
    began = 0.0
    for one in day.sessions:
        name = one.name.removeprefix("Vibration ").capitalize()
        words = f"{name}{', watched' if one.watched else ''} {one.minutes:.0f}"
        yield text(_LEFT - 8, y + 13, words, text_anchor="end", fill=_INK)
        x = _x(began, longest)
        width = round(_x(began + one.minutes, longest) - x, 1)
        look = {"fill": _INK, "fill_opacity": 0.3, "stroke": _INK}
        yield element("rect", x=x, y=round(y + 3, 1), width=width, height=_BAR, **look)
        began += one.minutes
        y += _ROW


def _notes(notes: list[str], bottom: float) -> Iterator[str]:
    for index, words in enumerate(notes):
        yield text(0, bottom + _NOTE * (index + 1), words, fill=_INK)
