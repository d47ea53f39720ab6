"""The plate's page: what the panel shows in each week, and with whom."""

from dataclasses import replace
from typing import Any

import pytest

from programs.papers import ENGLISH, doses
from programs.papers.plate_page import plate_page, rounds_words, setting_words
from programs.week.week import PlateWeek
from tests.programs.sample_papers import handout_of, program_of, snapshot_of


def page_of(held: dict[str, Any]) -> Any:
    program = program_of(held)
    return plate_page(program.weeks, program, ENGLISH)


def first_part(person: str = "hip_first", **changes: Any) -> PlateWeek:
    """Return the plate of a person's first week."""
    part = program_of(snapshot_of(person)).weeks[0].plate
    assert part is not None
    return replace(part, **changes)


def test_each_week_of_the_plate_stands_in_one_row() -> None:
    held = snapshot_of()
    rows = page_of(held).rows
    for week in held["weeks"]:
        part = week["plate"]
        (row,) = (r for r in rows if week["week"] in span(r[0]))
        assert row[1:] == (
            f"{part['frequency_hz']:g} Hz",
            f"{part['setting']:g}",
            str(part["bouts"]),
            f"{part['bout_s']} s",
            f"{part['rest_s']} s",
            doses.seconds_words(part["vibration_min"]),
        )


def span(told: str) -> range:
    first, _, last = told.partition(" to ")
    return range(int(first), int(last or first) + 1)


def test_a_panel_that_reads_half_the_travel() -> None:
    part = first_part("tilting_plate")
    assert part.setting is not None
    assert part.setting * 2 == part.displacement_mm
    assert page_of(snapshot_of("tilting_plate")).rows[0][2] == f"{part.setting:g}"
    assert setting_words(part, ENGLISH) == f"{part.frequency_hz:g} Hz, number {part.setting:g}"


def test_a_gentle_plate_has_neither_number_nor_rounds() -> None:
    held = snapshot_of("gentle_plate")
    told = page_of(held)
    assert told.heads == ("Weeks", "Speed", "Total")
    begun = [week["week"] for week in held["weeks"] if week["plate"]["vibration_min"] == 10]
    assert told.rows[0] == (f"1 to {begun[-1]}", "30 Hz", "10 min")
    assert "Leave at least 1 day between two sessions." not in told.before
    assert setting_words(first_part("gentle_plate"), ENGLISH) == "30 Hz"


def test_a_gentle_plate_is_stood_on_upright() -> None:
    """Common practice: such a plate is stood on, not trained on."""
    told = page_of(snapshot_of("gentle_plate"))
    assert told.stand[1:-1] == (
        "Stand tall and look straight ahead.",
        "Keep your knees soft. Never lock them.",
    )
    assert "Bend your knees a little: 20 to 30 degrees. Never lock them." in (
        page_of(snapshot_of()).stand
    )


def test_a_gentle_plate_that_was_signed_with_bent_knees_says_so_still() -> None:
    held = snapshot_of("gentle_plate")
    for week in held["weeks"]:
        week["plate"] |= {"posture": snapshot_of()["weeks"][0]["plate"]["posture"]}
    assert "Bend your knees a little: 20 to 30 degrees. Never lock them." in page_of(held).stand


def test_a_cell_without_a_value_is_a_dash() -> None:
    held = snapshot_of()
    plate = held["weeks"][3]["plate"]
    plate |= {"setting": None, "bouts": None, "bout_s": None, "rest_s": None}
    plate["vibration_min"] = 3
    assert ("4", "25 Hz", "–", "–", "–", "–", "3 min") in page_of(held).rows


def test_weeks_without_the_plate_have_no_row() -> None:
    held = snapshot_of()
    for week in held["weeks"][10:]:
        week["plate"] = None
    assert max(max(span(row[0])) for row in page_of(held).rows) == 10
    assert page_of(snapshot_of("no_plate")) is None


@pytest.mark.counted
@pytest.mark.parametrize(
    ("beside", "first"),
    [
        ({"watcher": "yes"}, "Have your helper beside you."),
        ({"supervised": "yes"}, "Have trained staff beside you."),
        ({"watcher": "no"}, "Do the first session at the clinic, with us beside you."),
        ({}, "Do the first session at the clinic, with us beside you."),
    ],
)
def test_who_is_beside_her_in_the_first_week(beside: dict[str, str], first: str) -> None:
    """Rulebook row 12a: where nobody was shown how, at the clinic; never "your helper"."""
    held = snapshot_of()
    held["facts"]["resources"] |= beside
    told = {dose.weeks: dose.text for dose in page_of(held).watched}
    assert told == {"Week 1": first, "Weeks 2 to 26": "You may use it on your own."}
    assert ("your helper" in str(handout_of(held))) == ("helper" in first)


def test_who_is_beside_her_in_each_week() -> None:
    """Rulebook row 14: each session watched; row 22b: the clearance ends on 10 August."""
    fragile = page_of(snapshot_of("vertebral_fracture"))
    (watched,) = fragile.watched
    assert (watched.weeks, watched.text) == ("Weeks 1 to 23", "Have your helper beside you.")
    assert "Hold the rail with two hands." in fragile.stand
    assert fragile.stand[0].endswith("hold the rail.")


def test_later_sessions_that_are_watched_by_nobody_named() -> None:
    held = snapshot_of()
    for week in held["weeks"]:
        week["plate"]["supervised"] = True
    told = {dose.weeks: dose.text for dose in page_of(held).watched}
    assert told == {
        "Week 1": "Do the first session at the clinic, with us beside you.",
        "Weeks 2 to 26": "Do not use it alone. Ask us who can be beside you.",
    }


@pytest.mark.parametrize(
    ("person", "little"), [("hip_first", False), ("ending", True), ("gentle_plate", False)]
)
def test_a_plate_held_at_its_start_is_not_said_to_help_bone(person: str, little: bool) -> None:
    """Rulebook row 13."""
    told = page_of(snapshot_of(person)).expect
    assert told == (("So little shaking is not expected to do anything for bone.",) * little)


def test_a_plate_that_stays_at_its_start_for_want_of_time_is_not_under_a_precaution() -> None:
    held = snapshot_of()
    held["weeks"] = held["weeks"][:2]
    assert page_of(held).expect == ()


def test_a_posture_of_the_clinicians_own_is_printed_as_it_is() -> None:
    held = snapshot_of()
    for week in held["weeks"]:
        week["plate"] |= {"posture": "lean on the wall; "}
    assert page_of(held).stand[1:-1] == ("Lean on the wall",)


def test_a_plate_that_the_facts_do_not_name_is_known_by_its_travel() -> None:
    held = snapshot_of()
    held["facts"]["resources"]["plates"] = []
    assert "Leave at least 1 day between two sessions." in page_of(held).before
    gentle = snapshot_of("gentle_plate")
    gentle["facts"].pop("resources")
    assert "Leave at least 1 day between two sessions." not in page_of(gentle).before


def test_exposure_is_not_for_the_patient() -> None:
    held = snapshot_of()
    told = str(page_of(held))
    assert "m/s" not in told
    assert f"{held['weeks'][0]['plate']['vdv_m_s175']}" not in told


@pytest.mark.parametrize(
    ("bouts", "told"),
    [
        (1, "1 round of 30 seconds"),
        (4, "4 rounds of 30 seconds, 60 seconds of rest between"),
        (None, "2 min without a break"),
    ],
)
def test_rounds_in_words(bouts: int | None, told: str) -> None:
    part = first_part(bouts=bouts, bout_s=30, rest_s=60, vibration_min=2.0)
    assert rounds_words(part, ENGLISH) == told
