"""A clinic that has set limits of its own, for tests."""

from __future__ import annotations

import datetime as dt

from programs.dose.in_force import Clinic, Setting

ON = dt.date(2026, 3, 1)


def setting(name: str, value: float, reason: str = "") -> Setting:
    return Setting(name=name, value=value, by="Marta Ferro", on=ON, reason=reason)


def capped_at(peak_g: float) -> Clinic:
    """Return a clinic whose plates may reach so many g; the range of the limit is not asked."""
    return Clinic(settings={"plate.top_g": setting("plate.top_g", peak_g)})
