"""From a recording to the register's measurement, and the pictures of it."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from programs.dose.vibration import peak_g
from programs.plates.measured_motion import (
    Measurement,
    for_a_list,
    known_plate,
    recheck_on,
    strength,
    under_load,
    upper_strength,
)
from programs.plates.recording.motion import Quantity
from programs.plates.recording.pictures import (
    PanelError,
    how_to_fix,
    panel_errors,
    some_turns,
    whole,
)
from programs.plates.recording.reading import Choices
from programs.plates.recording.worked import Asked, as_measurement, read, worked
from tests.programs.plates.recordings import True_, csv_of
from tests.programs.sample_plates import GENTLE, VERTICAL

ON = dt.date(2026, 3, 2)
ASKED = Asked(
    on=ON, load_kg=68, set_hz=30, set_mm=1.0, instrument="phone", how="Ada’s", mounting="taped"
)
TRUE = True_(hz=29.2, mm=1.1, seconds=6, rate_hz=200.0)
FOUND = read(csv_of(TRUE), Choices())
MADE = worked(FOUND, ASKED).motion
KEPT = as_measurement(MADE, ASKED, name="a.csv", digest="f" * 64)


def test_what_is_kept_holds_the_whole_interval() -> None:
    assert KEPT.hz is not None
    assert KEPT.mm is not None
    assert KEPT.mm_half is not None
    assert KEPT.hz_half is not None
    assert KEPT.g is not None
    assert KEPT.g_half is not None
    assert KEPT.mm + KEPT.mm_half >= MADE.mm.high - 1e-9
    assert KEPT.mm - KEPT.mm_half <= MADE.mm.low + 1e-9
    assert KEPT.hz + KEPT.hz_half >= MADE.hz.high - 1e-9
    assert KEPT.g + KEPT.g_half >= MADE.peak_g.high - 1e-9
    assert pytest.approx(29.2, abs=0.01) == KEPT.hz
    assert (KEPT.on, KEPT.load_kg, KEPT.set_hz, KEPT.set_mm) == (ON, 68, 30, 1.0)
    assert KEPT.how == "Ada’s (telephone or small logger, without a certificate)"
    assert KEPT.recording == f"a.csv, {MADE.from_s:.1f} to {MADE.to_s:.1f} s, SHA-256 {'f' * 16}"


def test_without_a_name_the_kind_of_instrument_is_kept() -> None:
    kept = as_measurement(MADE, replace(ASKED, how=None), name="a", digest="b")
    assert kept.how == "telephone or small logger, without a certificate"


def test_the_upper_end_is_held_to_the_ceilings() -> None:
    plain = Measurement(on=ON, load_kg=68, set_hz=30, set_mm=1.0, hz=30.0, mm=1.1)
    wide = replace(plain, mm_half=0.1, hz_half=0.3)
    assert plain.upper_mm == pytest.approx(1.1)
    assert wide.upper_mm == pytest.approx(1.2 * 1.01**2)
    assert wide.upper_g == pytest.approx(peak_g(30.3, 1.2))
    travels = known_plate(VERTICAL, (wide,)).plate.displacement_mm
    assert travels is not None
    assert travels.settings[0] == pytest.approx(1.2 * 1.01**2, abs=1e-3)
    assert upper_strength(VERTICAL, wide) == pytest.approx(1.2 * 1.01**2)
    assert strength(VERTICAL, wide) == pytest.approx(1.1)


def test_her_list_holds_the_upper_end() -> None:
    wide = Measurement(on=ON, load_kg=68, set_hz=30, set_mm=1.0, mm=1.15, mm_half=0.1)
    listed = for_a_list(known_plate(VERTICAL, (wide,)))
    assert listed is not None
    assert listed.displacement_mm is not None
    assert listed.displacement_mm.settings[0] == pytest.approx(1.25)


def test_a_frequency_alone_has_no_upper_end_of_its_own() -> None:
    alone = Measurement(on=ON, load_kg=68, set_hz=30, set_mm=1.0, hz=33)
    assert alone.upper_mm is None
    assert alone.upper_g is None
    assert upper_strength(VERTICAL, alone) == strength(VERTICAL, alone)
    off = replace(alone, set_mm=99.0, mm=1.0)
    assert upper_strength(VERTICAL, off) is None


def test_a_gentle_plate_takes_the_upper_end_too() -> None:
    gentle = Measurement(on=ON, load_kg=68, set_hz=30, g=0.31, g_half=0.01)
    assert known_plate(GENTLE, (gentle,)).plate.fixed_g == pytest.approx(0.32)


def test_under_her_weight() -> None:
    """Of one setting: 70 kg is near to 60 and 85, not to 90; another setting has its only one."""

    def at(load_kg: float, set_mm: float = 1.0) -> Measurement:
        return Measurement(on=ON, load_kg=load_kg, set_hz=30, set_mm=set_mm, mm=1.0)

    measured = (at(0), at(60), at(85), at(90), at(0, set_mm=2.0))
    assert under_load(measured, 70) == (at(60), at(85), at(0, set_mm=2.0))
    assert under_load(measured, 200) == measured
    assert under_load(measured, None) == measured


def test_the_pictures() -> None:
    window = MADE.from_s, MADE.to_s
    for svg in (
        whole(FOUND, window),
        whole(FOUND, None),
        some_turns(FOUND, window, 29.2),
        how_to_fix(),
        panel_errors([PanelError(label="30 Hz", times=Quantity(value=1.3, half=0.05))], 1.2),
    ):
        root = ElementTree.fromstring(svg)
        assert root[0].tag.endswith("title")
    assert "Used: " in whole(FOUND, window)
    assert "No part of it could be used." in whole(FOUND, None)


def test_measured_again_after_a_year() -> None:
    old = Measurement(on=dt.date(2024, 2, 29), load_kg=0, set_hz=30, set_mm=1.0, mm=1.0)
    assert recheck_on(()) is None
    assert recheck_on((old,)) == dt.date(2025, 2, 28)
    assert recheck_on((old, replace(old, on=ON))) == dt.date(2027, 3, 2)
