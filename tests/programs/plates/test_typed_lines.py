"""Plates typed as lines: all of a line or none of it, and why."""

from __future__ import annotations

import pytest

from patients.facts.declared_plate import Displacement, FrequencyRange, Plate
from programs.plates.typed_lines import typed_plates

HEADING = "name;motion;from;to;step;settings;reads;rail;limit;price"
WHOLE = "Gym plate;vertical;20;50;1;1 2 4;peak to peak;yes;120;690"


def why(line: str, taken: tuple[str, ...] = ()) -> str:
    typed = typed_plates(line, taken)
    assert not typed.plates
    (bad,) = typed.bad
    return bad.why


def test_a_whole_line() -> None:
    typed = typed_plates(WHOLE)
    assert not typed.bad
    assert typed.plates[1] == Plate(
        name="Gym plate",
        motion="vertical",
        frequency_hz=FrequencyRange(from_hz=20, to_hz=50, step_hz=1),
        displacement_mm=Displacement(settings=(1, 2, 4), reads_as="peak_to_peak"),
        rail=True,
        load_limit_kg=120,
        price=690,
    )


def test_what_is_left_empty_is_not_recorded() -> None:
    plate = typed_plates("Bare;Side-alternating;;;;;unknown;unknown;;").plates[1]
    assert plate == Plate(name="Bare", motion="side_alternating")


def test_a_low_magnitude_plate_has_its_g_among_the_settings() -> None:
    plate = typed_plates("Gentle;low-magnitude;30;37;1;0.3;peak;no;110;1500").plates[1]
    assert (plate.fixed_g, plate.g_reads_as, plate.rail) == (0.3, "peak", False)
    assert plate.displacement_mm is None
    bare = typed_plates("Gentle;low magnitude;30;37;1;;;;;").plates[1]
    assert bare.fixed_g is None
    assert "one acceleration" in why("Gentle;low-magnitude;30;37;1;0.3 0.4;peak;;;")


def test_lines_keep_their_numbers_past_heading_and_blanks() -> None:
    typed = typed_plates(f"{HEADING}\n\n{WHOLE}\nshort;vertical\n")
    assert list(typed.plates) == [3]
    assert [(b.line, b.text) for b in typed.bad] == [(4, "short;vertical")]
    assert typed.bad[0].why == "10 entries are expected, there are 2."


@pytest.mark.parametrize(
    "line, said",
    [
        (";vertical;20;50;1;1;;yes;120;", "name: This is needed."),
        ("A;;20;50;1;1;;yes;120;", "motion: This is needed."),
        ("A;shaking;20;50;1;1;;yes;120;", "motion: one of these is expected: vertical, side-alter"),
        ("A;vertical;20;fifty;1;1;;yes;120;", "to: "),
        ("A;vertical;20;;1;1;;yes;120;", "to: This is needed."),
        ("A;vertical;50;20;1;1;;yes;120;", "to: The highest frequency is below the lowest."),
        ("A;vertical;20;50;1;1 x;;yes;120;", "settings: "),
        ("A;vertical;20;50;1;99;;yes;120;", "settings: Check this"),
        ("A;vertical;20;50;1;;peak to peak;yes;120;", "settings: This is needed."),
        ("A;vertical;20;50;1;1;sideways;yes;120;", "reads: one of these"),
        ("A;vertical;20;50;1;1;;perhaps;120;", "rail: one of these is expected: yes, no."),
        ("A;vertical;20;50;1;1;;yes;5;", "limit: Check this"),
        ("A;vertical;20;50;1;1;;yes;120;-3", "price: Check this"),
        ("A;low-magnitude;30;37;1;99;peak;yes;120;", "settings: Check this"),
    ],
)
def test_a_bad_line_says_which_entry_and_why(line: str, said: str) -> None:
    assert why(line).startswith(said)


def test_a_name_is_used_once() -> None:
    assert why(WHOLE, ("Gym plate",)) == "Another plate is called Gym plate."
    typed = typed_plates(f"{WHOLE}\n{WHOLE}")
    assert list(typed.plates) == [1]
    assert typed.bad[0].line == 2


def test_nothing_typed_is_nothing() -> None:
    typed = typed_plates("  \n")
    assert (dict(typed.plates), typed.bad) == ({}, ())
