"""The picture of the plate's panel shows the numbers of the signed weeks, and only those."""

import re
from dataclasses import replace

import pytest

from programs.actions.papers import words_of
from programs.papers import ENGLISH
from programs.papers.plate_panel import first_panel, plate_panel
from tests.programs.sample_papers import PEOPLE, program_of, snapshot_of


def shown(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]+)</text>", svg)


def plates() -> list[str]:
    return [p for p in PEOPLE if any(w.plate for w in program_of(snapshot_of(p)).weeks)]


@pytest.mark.parametrize("person", plates())
def test_each_week_has_its_numbers(person: str) -> None:
    for week in program_of(snapshot_of(person)).weeks:
        if week.plate is None:
            continue
        told = shown(plate_panel(week.plate, ENGLISH))
        assert told[:2] == ["Speed", f"{week.plate.shown_hz:g} Hz"]
        assert ("Number" in told) is (week.plate.setting is not None)
        if week.plate.setting is not None:
            assert told[told.index("Number") + 1] == f"{week.plate.setting:g}"
        if week.plate.bout_s is not None and week.plate.bout_s < 60:
            assert told[told.index("Time") + 1] == f"{week.plate.bout_s:g} s"


def test_a_plate_that_runs_without_a_break_shows_all_of_its_time() -> None:
    part = next(w.plate for w in program_of(snapshot_of("hip_first")).weeks if w.plate)
    gentle = replace(part, setting=None, bouts=None, bout_s=None, rest_s=None, vibration_min=10.0)
    assert shown(plate_panel(gentle, ENGLISH))[2:] == ["Time", "10 min"]


def test_the_first_panel_is_that_of_the_first_weeks_with_the_plate() -> None:
    weeks = program_of(snapshot_of("hip_first")).weeks
    told, panel = first_panel(weeks, ENGLISH)
    first = next(w for w in weeks if w.plate)
    assert first.plate
    assert panel == plate_panel(first.plate, ENGLISH)
    assert told.startswith("Week")
    later = [replace(w, plate=None) if w.week < 3 else w for w in weeks]
    assert "3" in first_panel(later, ENGLISH)[0]


def test_the_alternative_tells_the_numbers_in_her_language() -> None:
    part = next(w.plate for w in program_of(snapshot_of("hip_first")).weeks if w.plate)
    assert f"Speed {part.frequency_hz:g} Hz" in plate_panel(part, ENGLISH)
    assert "El panel de la plataforma muestra: " in plate_panel(part, words_of("es"))
