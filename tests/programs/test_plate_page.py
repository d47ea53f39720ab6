"""The plate's page: what the panel shows in each week, and with whom."""

from typing import Any

import pytest

from programs.handout import ENGLISH, doses
from programs.handout.plate_page import plate_page, rounds_words, setting_words
from tests.programs.papers import snapshot_of


def page_of(held: dict[str, Any]) -> Any:
    return plate_page(held["weeks"], held["facts"], ENGLISH)


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
    held = snapshot_of("tilting_plate")
    part = held["weeks"][0]["plate"]
    assert part["setting"] * 2 == part["displacement_mm"]
    assert page_of(held).rows[0][2] == f"{part['setting']:g}"
    assert (
        setting_words(part, ENGLISH) == f"{part['frequency_hz']:g} Hz, number {part['setting']:g}"
    )


def test_a_gentle_plate_has_neither_number_nor_rounds() -> None:
    told = page_of(snapshot_of("gentle_plate"))
    assert told.heads == ("Weeks", "Speed", "Total")
    assert told.rows[0] == ("1 to 2", "30 Hz", "10 min")
    assert "Leave at least 1 day between two sessions." not in told.before
    assert setting_words(snapshot_of("gentle_plate")["weeks"][0]["plate"], ENGLISH) == "30 Hz"


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
    held["weeks"][3]["plate"] |= {"setting": None, "bouts": None, "bout_s": None, "rest_s": None}
    assert ("4", "25 Hz", "–", "–", "–", "–", "3 min") in page_of(held).rows


def test_weeks_without_the_plate_have_no_row() -> None:
    held = snapshot_of()
    for week in held["weeks"][10:]:
        week["plate"] = None
    assert max(max(span(row[0])) for row in page_of(held).rows) == 10
    assert page_of(snapshot_of("no_plate")) is None


def test_who_must_watch_in_which_weeks() -> None:
    told = {dose.weeks: dose.text for dose in page_of(snapshot_of()).watched}
    assert told == {
        "Week 1": "Have someone beside you who was shown how it works.",
        "Weeks 2 to 26": "You may use it on your own.",
    }
    fragile = page_of(snapshot_of("vertebral_fracture"))
    assert [dose.weeks for dose in fragile.watched] == ["Weeks 1 to 26"]
    assert "Hold the rail with two hands." in fragile.stand
    assert fragile.stand[0].endswith("hold the rail.")


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
    part = {"bouts": bouts, "bout_s": 30, "rest_s": 60, "vibration_min": 2.0}
    assert rounds_words(part, ENGLISH) == told
