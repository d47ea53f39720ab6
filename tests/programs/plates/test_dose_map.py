"""The map of the plate's dose, as a picture and as a table."""

from __future__ import annotations

import datetime as dt
import math
import re
from dataclasses import replace
from xml.etree import ElementTree

import pytest

from patients.facts.declared_plate import Plate
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate import ramp
from programs.dose.plate_edit import all_settings
from programs.dose.vibration import peak_g
from programs.plates.dose_map import DoseMapRow, dose_map_rows, dose_map_svg
from programs.plates.dose_map.frame import BOTTOM, LEFT, RIGHT, TOP, Frame, round_up
from programs.plates.measured_motion import Measurement, known_plate
from tests.programs.own_limits import capped_at
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL, held, judge, shown, span

SVG = "{http://www.w3.org/2000/svg}"
PLATES = {
    "vertical": VERTICAL,
    "tilting": TILTING,
    "gentle": GENTLE,
    "fine steps": replace(VERTICAL, frequency_hz=span(20, 50, 0.1)),
    "too strong": replace(VERTICAL, frequency_hz=span(50, 50), displacement_mm=shown(4.0)),
    "unknown": replace(VERTICAL, frequency_hz=None, displacement_mm=None),
    "gentle, unknown": replace(GENTLE, frequency_hz=None, fixed_g=None),
    "very fast": replace(GENTLE, frequency_hz=span(90, 90)),
    "far": replace(TILTING, displacement_mm=shown(3.0, 30.0)),
}


def drawn(
    plate: Plate,
    title: str = "Dose map",
    *,
    fragile: bool = False,
    cap_g: float | None = None,
    clinic: Clinic = AS_PUBLISHED,
) -> str:
    cap_g = held(fragile) if cap_g is None else cap_g
    fit = judge(plate, fragile=fragile, cap_g=cap_g)
    steps = ramp(fit, cap_g=cap_g, start_dose_only=False)
    return dose_map_svg(fit, steps, title=title, cap_g=cap_g, clinic=clinic)


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def words(svg: str) -> list[str]:
    return [text.text or "" for text in parsed(svg).iter(f"{SVG}text")]


def rows(plate: Plate, *, fragile: bool = False) -> tuple[DoseMapRow, ...]:
    fit = judge(plate, fragile=fragile)
    steps = ramp(fit, cap_g=held(fragile), start_dose_only=False)
    return dose_map_rows(fit, steps, cap_g=held(fragile))


@pytest.mark.parametrize("name", PLATES)
def test_every_map_is_plain_svg_with_its_title_first(name: str) -> None:
    root = parsed(drawn(PLATES[name]))
    assert root.tag == f"{SVG}svg"
    assert root[0].tag == f"{SVG}title"
    allowed = {"title", "rect", "path", "line", "circle", "text"}
    for node in root[0:]:
        assert node.tag.removeprefix(SVG) in allowed
        assert not {"style", "class", "id", "onclick"} & set(node.attrib)


@pytest.mark.parametrize("name", PLATES)
def test_only_black_white_and_grey(name: str) -> None:
    for colour in re.findall(r'(?:fill|stroke)="(#[^"]+)"', drawn(PLATES[name])):
        red, green, blue = (colour[n : n + 2] for n in (1, 3, 5))
        assert red == green == blue


@pytest.mark.parametrize("name", PLATES)
def test_every_mark_lies_on_the_sheet(name: str) -> None:
    for node in parsed(drawn(PLATES[name])).iter(f"{SVG}circle"):
        assert LEFT - 1 <= float(node.attrib["cx"]) <= RIGHT
        assert float(node.attrib["cy"]) >= TOP
    for path in parsed(drawn(PLATES[name])).iter(f"{SVG}path"):
        for x, y in re.findall(r"[ML]([\d.]+) ([\d.]+)", path.attrib["d"]):
            assert LEFT - 0.1 <= float(x) <= RIGHT + 0.1
            assert TOP - 0.1 <= float(y) <= BOTTOM + 0.1


def test_a_title_cannot_break_the_picture() -> None:
    svg = drawn(VERTICAL, title='<script>"&')
    assert "<script>" not in svg
    assert parsed(svg)[0].text == '<script>"&'


def test_lines_of_equal_peak_stand_where_the_formula_puts_them() -> None:
    frame = Frame(low_hz=15, high_hz=55, high_mm=4.5)
    for x, y in frame.line_of_g(2.0):
        hz = 15 + (x - LEFT) / (RIGHT - LEFT) * 40
        mm = (BOTTOM - y) / (BOTTOM - TOP) * 4.5
        assert peak_g(hz, mm) == pytest.approx(2.0)


def test_each_line_has_a_dash_or_a_weight_of_its_own() -> None:
    paths = [p for p in parsed(drawn(VERTICAL)).iter(f"{SVG}path") if p.get("fill") == "none"]
    lines = [p for p in paths if p.get("stroke-width") == "1.2"]
    assert len(lines) == 6
    assert len({p.get("stroke-dasharray") for p in lines}) == 6
    for label in ("0.5 g", "1 g", "2 g", "3 g", "4 g", "5.1 g"):
        assert label in words(drawn(VERTICAL))


def rings(svg: str) -> list[ElementTree.Element]:
    return [c for c in parsed(svg).iter(f"{SVG}circle") if c.get("r") == "6"]


def dots(svg: str, fill: str) -> int:
    found = [c for c in parsed(svg).iter(f"{SVG}circle") if c.get("r") == "2.2"]
    return sum(c.get("fill") == fill for c in found) - 1  # one of each is in the key


def test_the_ramp_is_drawn_with_its_weeks() -> None:
    svg = drawn(VERTICAL)
    assert len(rings(svg)) == 4
    for label in ("weeks 1–12", "13–14", "15–16", "17–26"):
        assert label in words(svg)
    frame = Frame(low_hz=15, high_hz=55, high_mm=4.5)
    assert float(rings(svg)[0].attrib["cx"]) == pytest.approx(frame.x(25), abs=0.05)
    assert float(rings(svg)[0].attrib["cy"]) == pytest.approx(frame.y(1.0), abs=0.05)


def test_rings_above_each_other_have_their_weeks_to_the_side() -> None:
    plate = replace(
        VERTICAL, frequency_hz=span(25, 30, 5), displacement_mm=shown(1.0, 1.2, 1.4, 1.6)
    )
    svg = drawn(plate)
    places = {
        text.text: text.get("text-anchor")
        for text in parsed(svg).iter(f"{SVG}text")
        if text.get("font-weight") == "bold"
    }
    assert places == {
        "weeks 1–12": "middle",
        "13–14": "middle",
        "15–16": "start",
        "17–18": "end",
        "19–26": "start",
    }


def test_a_ramp_of_single_weeks_says_so() -> None:
    fit = judge(VERTICAL)
    steps = ramp(fit, cap_g=None, start_dose_only=False, places=13)
    assert "13" in words(dose_map_svg(fit, steps, title="Short"))
    assert dose_map_rows(fit, steps)[1].what == "week 13"


def test_settings_are_full_where_allowed_and_open_where_not() -> None:
    svg = drawn(VERTICAL)
    assert dots(svg, "#111111") == 21 + 12  # 1 mm to 40 Hz; 2 mm to 31 Hz
    assert dots(svg, "#ffffff") == 31 * 3 - 33
    gentle = drawn(VERTICAL, fragile=True)
    assert dots(gentle, "#111111") == 3


def test_fine_steps_are_thinned_and_far_settings_left_out() -> None:
    fine = drawn(PLATES["fine steps"])
    assert dots(fine, "#111111") + dots(fine, "#ffffff") <= 61 * 3
    far = drawn(PLATES["far"])
    assert dots(far, "#111111") + dots(far, "#ffffff") == 26


def test_what_lies_past_the_ceiling_is_said() -> None:
    assert "past 40 Hz, 2.5 mm or 4 g: more muscle than bone" in words(drawn(VERTICAL))
    assert "past 20 Hz, 5 mm or 4 g: not drafted" in words(drawn(TILTING))
    for cap_g in (1.0, 1.5, 2.0):
        said = words(drawn(VERTICAL, fragile=True, cap_g=cap_g))
        assert f"past {cap_g:g} g: not for this person yet" in said
    assert "past 2 g: not for this person yet" in words(drawn(VERTICAL, clinic=capped_at(2.0)))
    assert "1 g and over: not low magnitude" in words(drawn(GENTLE))


def test_the_start_zone_is_named() -> None:
    assert words(drawn(VERTICAL)).count("start") == 2  # on the map and in the key
    assert "usual start" in words(drawn(VERTICAL, fragile=True))
    assert words(drawn(GENTLE)).count("start") == 1


def test_a_gentle_plate_shows_its_own_line_and_its_minutes() -> None:
    svg = drawn(GENTLE)
    assert "0.3 g" in words(svg)
    assert "weeks 1–26: 10 to 20 min" in words(svg)
    assert "2 g" not in words(svg)
    assert len(rings(svg)) == 1


@pytest.mark.parametrize("name", ["too strong", "unknown", "gentle, unknown"])
def test_a_plate_without_a_ramp_has_a_map_without_rings(name: str) -> None:
    assert rings(drawn(PLATES[name])) == []
    assert [row.what for row in rows(PLATES[name])][-1] == "ceiling"


# --- The table ----------------------------------------------------------------------------


def test_rows_of_a_vertical_plate() -> None:
    first, *_, start, ceiling = rows(VERTICAL)
    assert (first.what, first.hz, first.mm, first.panel, first.peak_g) == (
        "weeks 1 to 12",
        25.0,
        1.0,
        1.0,
        1.26,
    )
    assert first.note.startswith("bouts from 30 to 45 s; bouts from 45 to 60 s; from 4 to 6")
    assert [row.what for row in rows(VERTICAL)] == [
        "weeks 1 to 12",
        "weeks 13 to 14",
        "weeks 15 to 16",
        "weeks 17 to 26",
        "start, at most",
        "ceiling",
    ]
    assert (start.hz, start.mm) == (30.0, 1.5)
    assert (ceiling.hz, ceiling.mm, ceiling.peak_g) == (40.0, 2.5, 4.0)


def test_rows_of_other_plates() -> None:
    assert rows(VERTICAL, fragile=True)[-1].peak_g == 1.0
    assert (rows(TILTING)[-1].hz, rows(TILTING)[-1].mm) == (20.0, 5.0)
    only, ceiling = rows(GENTLE)
    assert (only.hz, only.mm, only.peak_g) == (30.0, 0.166, 0.3)
    assert (ceiling.hz, ceiling.mm, ceiling.peak_g) == (None, None, 1.0)


def test_rounding_up() -> None:
    assert round_up(4.2, 0.5) == 4.5
    assert round_up(4.5, 0.5) == 4.5
    assert math.isclose(round_up(0.3, 0.1), 0.3)


def test_what_was_measured_stands_beside_what_the_panel_says() -> None:
    """1 mm that moves 1.3: a stroke from each of the panel's settings to the measured one."""
    on = dt.date(2026, 2, 10)
    found = Measurement(on=on, load_kg=68, set_hz=30, set_mm=1.0, mm=1.3)
    known = known_plate(VERTICAL, (found,))
    fit = judge(known.plate)
    plain = dose_map_svg(fit, (), title="Dose map")
    both = dose_map_svg(fit, (), title="Dose map", nominal=VERTICAL)
    assert "Grey stroke: from what the panel says to what was measured." in words(both)
    assert "Grey stroke: from what the panel says to what was measured." not in words(plain)
    assert both.count("<path") > plain.count("<path")
    assert {t.tag for t in parsed(both)} == {t.tag for t in parsed(plain)}


def test_a_panel_that_does_not_pair_is_left_out() -> None:
    other = replace(VERTICAL, displacement_mm=shown(1.0))
    fit = judge(VERTICAL)
    plain = dose_map_svg(fit, (), title="Dose map")
    assert dose_map_svg(fit, (), title="Dose map", nominal=other).count("<path") == plain.count(
        "<path"
    )


def test_a_setting_off_the_map_has_no_stroke() -> None:
    far = PLATES["far"]
    fit = judge(far)
    plain = dose_map_svg(fit, (), title="Dose map")
    both = dose_map_svg(fit, (), title="Dose map", nominal=far)
    on_the_map = sum(at.displacement_mm == 3.0 for at in all_settings(far))
    assert 0 < both.count("<path") - plain.count("<path") <= on_the_map
