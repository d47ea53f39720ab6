"""Papers for colleagues: one page for the referring doctor, the first session's record."""

from typing import Any

import pytest

from programs.handout import ENGLISH
from programs.handout.plate_session import plate_session
from programs.handout.summary import summary
from tests.programs.papers import snapshot_of


def test_the_summary_tells_start_and_end() -> None:
    told = summary(snapshot_of())
    by_name = {course.name: course for course in told.courses}
    assert by_name["Resistance"].start.startswith(
        "Week 1: 2 a week, 1 set of 15 repeats, 50 % of 1RM, 5 in reserve: Leg press 34 kg"
    )
    assert by_name["Vibration plate"].start.startswith(
        "Week 1: 3 a week, 25 Hz, 1 mm peak to peak, 1.26 g peak, 4 rounds of 30 seconds"
    )
    assert ("Bone density", "low bone mass (T-score \u22121.9, femoral neck)") in told.assessed
    assert told.reviews == "week 4, week 12, week 26, week 52"


def test_the_summary_says_why_something_is_not_there() -> None:
    faller = {course.name: course for course in summary(snapshot_of("faller")).courses}
    assert faller["Impact"].start == "Not in the program: excluded"
    held = snapshot_of(left_out={"balance": "She goes to a class."})
    for week in held["weeks"]:
        week["balance"] = None
    told = {course.name: course for course in summary(held).courses}
    assert told["Balance"].start.endswith("left out by the clinician. She goes to a class.")


def test_a_course_of_one_week_is_told_once() -> None:
    held = snapshot_of()
    for week in held["weeks"][1:]:
        week["balance"] = None
    told = {course.name: course for course in summary(held).courses}
    assert told["Balance"].end == ""


def test_the_summary_without_a_density_result() -> None:
    held = snapshot_of()
    held["draft"]["assessment"]["density"] = {
        "category": "unknown",
        "site": None,
        "score": None,
        "by": None,
    }
    assert ("Bone density", "unknown") in summary(held).assessed


def test_the_summary_gathers_what_one_subject_asks() -> None:
    told = summary(snapshot_of("vertebral_fracture")).findings
    (line,) = (one for one in told if "Osteoarthritis" in one)
    assert line.startswith("Precaution (plate, resistance, impact): Osteoarthritis")
    assert line.count("Joints beyond mild wear") == 1


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        (25, 30, "Weeks 3 to 6, plate, frequency hz: 25 to 30. Reason: Her wish. Passes: the cap"),
        ([25, 25, 30], 30, "Weeks 3 to 6, plate, frequency hz: 25/30 to 30."),
        (True, None, "Weeks 3 to 6, plate, frequency hz: True to nothing."),
    ],
)
def test_the_summary_tells_each_change(old: Any, new: Any, told: str) -> None:
    reasoned = "Reason" in told
    edit = {
        "week_from": 3,
        "week_to": 6,
        "path": "plate.frequency_hz",
        "old": old,
        "new": new,
        "reason": "Her wish." if reasoned else "",
        "limit_passed": "the cap" if reasoned else "",
    }
    assert summary(snapshot_of(edits=[edit])).changes == (told,)


def test_the_first_session_is_that_of_the_first_week() -> None:
    told = plate_session(snapshot_of(), ENGLISH)
    assert told is not None
    assert dict(told.settings) == {
        "Plate": "at home",
        "Frequency": "25 Hz",
        "Number on the panel": "1",
        "Displacement": "1 mm peak to peak",
        "Peak acceleration": "1.26 g",
        "Time": "4 rounds of 30 seconds, 60 seconds of rest between",
        "Vibration in all": "2 min",
    }
    assert told.during[1] == "Knees bent 20 to 30 degrees and kept so."


def test_the_first_session_in_a_posture_of_the_clinicians_own() -> None:
    held = snapshot_of()
    for week in held["weeks"]:
        week["plate"] |= {"posture": "lean on the wall"}
    told = plate_session(held, ENGLISH)
    assert told is not None
    assert told.posture == ("Lean on the wall",)
    assert told.during[1] == "Stands as written above."


def test_the_first_session_on_a_gentle_plate() -> None:
    told = plate_session(snapshot_of("gentle_plate"), ENGLISH)
    assert told is not None
    assert dict(told.settings)["Number on the panel"] == "none"
    assert dict(told.settings)["Displacement"] == "fixed"
    assert told.during[1] == "Upright, knees soft and kept so."
    assert plate_session(snapshot_of("no_plate"), ENGLISH) is None
