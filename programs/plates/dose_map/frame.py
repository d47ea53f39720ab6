"""Where a frequency and a displacement stand on the map, and how marks are written."""

from __future__ import annotations

import math
from dataclasses import dataclass
from html import escape

from programs.dose.vibration import displacement_for_g, frequency_for_g

WIDTH, HEIGHT = 720, 440
LEFT, RIGHT, TOP, BOTTOM = 58, 700, 28, 342

INK, SOFT, PALE, PAPER = "#111111", "#555555", "#ececec", "#ffffff"

Point = tuple[float, float]


def element(name: str, text: str | None = None, **attributes: object) -> str:
    """Return one SVG element; an underscore in an attribute's name stands for a hyphen."""
    written = "".join(
        f' {key.strip("_").replace("_", "-")}="{escape(_written(value))}"'
        for key, value in attributes.items()
    )
    if text is None:
        return f"<{name}{written}/>"
    return f"<{name}{written}>{escape(text)}</{name}>"


def _written(value: object) -> str:
    return f"{value:.1f}".removesuffix(".0") if isinstance(value, float) else str(value)


@dataclass(frozen=True, kw_only=True)
class Frame:
    """The part of the plane that is shown: Hz across, mm peak to peak up from nil."""

    low_hz: float
    high_hz: float
    high_mm: float

    def x(self, hz: float) -> float:
        """Return the place across, in picture units."""
        return LEFT + (hz - self.low_hz) / (self.high_hz - self.low_hz) * (RIGHT - LEFT)

    def y(self, mm: float) -> float:
        """Return the place down, in picture units."""
        return BOTTOM - mm / self.high_mm * (BOTTOM - TOP)

    def at(self, hz: float, mm: float) -> Point:
        """Return the place of a setting."""
        return self.x(hz), self.y(mm)

    def shows(self, hz: float, mm: float) -> bool:
        """Tell whether a setting lies on the map."""
        return self.low_hz <= hz <= self.high_hz and mm <= self.high_mm

    def line_of_g(
        self, g: float, from_hz: float | None = None, to_hz: float | None = None
    ) -> list[Point]:
        """Return the line of equal peak g within the frame, from its top or left edge on."""
        enters = frequency_for_g(self.high_mm, g)
        low = max(self.low_hz if from_hz is None else from_hz, enters)
        high = self.high_hz if to_hz is None else to_hz
        steps = max(1, math.ceil((high - low) * 2))
        speeds = [low + (high - low) * n / steps for n in range(steps + 1)]
        return [self.at(hz, displacement_for_g(hz, g)) for hz in speeds]


def path_of(points: list[Point], *, closed: bool = False) -> str:
    """Return the path data through points."""
    written = " L".join(f"{x:.1f} {y:.1f}" for x, y in points)
    return f"M{written}{' Z' if closed else ''}"


def round_up(value: float, to: float) -> float:
    """Return the next multiple of `to` at or above a value."""
    return math.ceil(round(value / to, 6)) * to
