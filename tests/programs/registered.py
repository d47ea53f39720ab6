"""A plate of the clinic's register and what is measured on it, for the tests of its actions."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib.auth.models import User

from programs.actions import plates
from programs.models.plates import ClinicPlate
from programs.plates.measured_motion import Measurement
from tests.programs.sample_plates import VERTICAL

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
DAY = dt.date(2026, 3, 2)


def who(by: User, **more: Any) -> dict[str, Any]:
    return {"by": by, "at": AT, **more}


def registered(by: User) -> ClinicPlate:
    return plates.add_plates(plates=[VERTICAL], **who(by))[0]


def found(**more: Any) -> Measurement:
    held = {"on": DAY, "load_kg": 68.0, "set_hz": 30.0, "set_mm": 1.0, "mm": 1.1}
    return Measurement(**(held | more))
