"""The picture of her plate's own panel with the numbers it must show in a week."""

from __future__ import annotations

from collections.abc import Sequence

from programs.figures.panel import panel_svg
from programs.papers.doses import seconds_words
from programs.papers.numbers import hz_words, isolated, number_words
from programs.papers.paper_parts import Words
from programs.papers.weeks import phases, weeks_words
from programs.week.week import PlateWeek, Week


def plate_panel(part: PlateWeek, words: Words) -> str:
    """Return the panel as it must be set: speed, the number where there is one, and the time.

    The time is that of one round, or all of it where the plate runs without a break.
    """
    windows = [(words.gettext("Speed"), hz_words(part.shown_hz, words))]
    if part.setting is not None:
        windows.append((words.gettext("Number"), number_words(part.setting, words)))
    minutes = part.vibration_min if part.bout_s is None else part.bout_s / 60
    windows.append((words.gettext("Time"), isolated(seconds_words(minutes), words)))
    told = ", ".join(f"{label} {value}" for label, value in windows)
    title = words.gettext("The panel of the plate shows: {numbers}").format(numbers=told)
    return panel_svg(title, windows)


def first_panel(weeks: Sequence[Week], words: Words) -> tuple[str, str]:
    """Return the panel of the first weeks with the plate, and which weeks these are."""

    def panel(week: Week) -> str | None:
        return plate_panel(week.plate, words) if week.plate else None

    first, *_ = phases(weeks, panel)
    return weeks_words((first,), words), first.value
