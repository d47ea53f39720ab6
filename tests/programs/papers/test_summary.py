"""Papers for colleagues: the letter to the referring doctor, the first session's record."""

from dataclasses import replace
from typing import Any

import pytest

from programs.papers import ENGLISH
from programs.papers.asked_of_doctor import requests
from programs.papers.first_plate_session import plate_session
from programs.papers.summary import summary
from programs.signed.program import SignedFinding
from safety.findings import Level
from tests.programs.sample_papers import SIGNER, in_format_1, program_of, snapshot_of


def test_the_summary_tells_start_and_end() -> None:
    told = summary(program_of(snapshot_of()))
    by_name = {course.name: course for course in told.courses}
    assert by_name["Resistance"].start.startswith(
        "Week 1: 2 a week, 1 set of 15 repeats, could-lift 20, 67 % of 1RM (61 to 67), "
        "5 in reserve: Leg press 46 kg"
    )
    assert by_name["Impact"].start == (
        "Week 1: 3 a week, 10 times, to about 2 body weights (on one leg: about 1), "
        "osteogenic index: hip 5.8 to 8.6, spine 11.5 to 17.3: Heel raise, soft landing"
    )
    assert by_name["Posture"].start.endswith("holds of 5 s, 5 times")
    assert ("Low function", "no") in told.assessed
    assert ("Trains", "standing") in told.assessed
    assert by_name["Vibration plate"].start.startswith(
        "Week 1: 3 a week, 25 Hz, 1 mm peak to peak, 1.26 g peak, 4 rounds of 30 seconds"
    )
    assert ("Bone density", "low bone mass (T-score \u22121.9, femoral neck)") in told.assessed
    assert told.reviews == "week 4, week 12, week 26, week 52"


def test_what_nobody_can_feel_and_what_nobody_measured_is_about() -> None:
    """Rulebook rows 19a and 20: percent over N 20, a force that was not measured."""
    held = snapshot_of()
    for week in held["weeks"]:
        week["resistance"] |= {"could_lift": 25, "percent_1rm": 60, "reps_in_reserve": 10}
    told = {course.name: course for course in summary(program_of(held)).courses}
    assert "could-lift about 25, about 60 % of 1RM (57 to 63)" in told["Resistance"].end
    # Ryan 2021 measured the stamp.
    assert "to 3.08 body weights (on one leg: 3.08)" in told["Impact"].end


def test_a_summary_of_format_1_does_not_guess() -> None:
    told = summary(program_of(in_format_1(snapshot_of())))
    by_name = {course.name: course for course in told.courses}
    lifting = "67 % of 1RM, 5 in reserve; could-lift not in this format"
    assert lifting in by_name["Resistance"].start
    assert "on one leg: not in this format" in by_name["Impact"].start
    assert "hip not in this format, spine 11.5 to 17.3" in by_name["Impact"].start
    assert by_name["Posture"].start.endswith("min a week")
    assert ("Low function", "not in this format") in told.assessed


def test_lifts_without_a_weight_are_told_by_their_repeats() -> None:
    told = {course.name: course for course in summary(program_of(snapshot_of("faller"))).courses}
    assert "1 set, none with a weight: Chair stand 7 repeats" in told["Resistance"].start
    assert told["Balance"].start.endswith("level 4, near support")
    seated = summary(program_of(snapshot_of("seated"))).courses
    assert any(course.start.endswith("min a week, sitting") for course in seated)


def test_the_summary_tells_what_ends_and_what_falls_due() -> None:
    """Rulebook rows 22b, 11 and 11a."""
    told = summary(program_of(snapshot_of("ending")))
    by_name = {course.name: course for course in told.courses}
    ends = "Vibration plate: only until 20 May 2026, then stop."
    assert by_name["Vibration plate"].until == ends
    assert by_name["Vibration plate"].end.startswith("Week 12: 1 a week")
    assert by_name["Impact"].until == ""
    assert told.knock.startswith("On a blood thinner: after any knock on the head,")
    assert ("Next dose of denosumab due", "April 2026") in told.assessed
    assert "Next dose of denosumab due" not in dict(summary(program_of(snapshot_of())).assessed)


@pytest.mark.parametrize(
    "medicine",
    [
        {"answer": "yes", "kind": "bisphosphonate", "last_dose_on": "2025-10-04"},
        {"answer": "yes", "kind": "denosumab"},
        {"answer": "yes", "kind": "denosumab", "last_dose_on": "2025-07-04"},
        {"answer": "yes", "kind": "denosumab", "last_dose_on": "no day"},
        "yes",
    ],
)
def test_no_dose_falls_due_where_none_can_be_told(medicine: Any) -> None:
    """Another medicine; no day; more than seven months ago; facts that cannot be read."""
    held = snapshot_of()
    held["facts"]["medicines"]["bone_medicine"] = medicine
    assert program_of(held).next_dose_due is None


def test_the_summary_says_why_something_is_not_there() -> None:
    faller = {course.name: course for course in summary(program_of(snapshot_of("faller"))).courses}
    assert faller["Impact"].start == "Not in the program: excluded"
    held = snapshot_of(left_out={"balance": "She goes to a class."})
    for week in held["weeks"]:
        week["balance"] = None
    told = {course.name: course for course in summary(program_of(held)).courses}
    assert told["Balance"].start.endswith("left out by the clinician. She goes to a class.")


def test_a_course_of_one_week_is_told_once() -> None:
    held = snapshot_of()
    for week in held["weeks"][1:]:
        week["balance"] = None
    told = {course.name: course for course in summary(program_of(held)).courses}
    assert told["Balance"].end == ""


def test_the_summary_without_a_density_result() -> None:
    held = snapshot_of()
    held["draft"]["assessment"]["density"] = {
        "category": "unknown",
        "site": None,
        "score": None,
        "by": None,
    }
    assert ("Bone density", "unknown") in summary(program_of(held)).assessed


def test_the_summary_gathers_what_one_subject_asks() -> None:
    told = summary(program_of(snapshot_of("vertebral_fracture"))).findings
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
        "seq": 1,
        "by": SIGNER["name"],
        "at": SIGNER["at"],
        "week_from": 3,
        "week_to": 6,
        "path": "plate.frequency_hz",
        "old": old,
        "new": new,
        "reason": "Her wish." if reasoned else "",
        "limit_passed": "the cap" if reasoned else "",
    }
    assert summary(program_of(snapshot_of(edits=[edit]))).changes == (told,)


def test_the_first_session_is_that_of_the_first_week() -> None:
    told = plate_session(program_of(snapshot_of()), ENGLISH)
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
    told = plate_session(program_of(held), ENGLISH)
    assert told is not None
    assert told.posture == ("Lean on the wall",)
    assert told.during[1] == "Stands as written above."


def test_the_first_session_on_a_gentle_plate() -> None:
    told = plate_session(program_of(snapshot_of("gentle_plate")), ENGLISH)
    assert told is not None
    assert dict(told.settings)["Number on the panel"] == "none"
    assert dict(told.settings)["Displacement"] == "fixed"
    assert told.during[1] == "Upright, knees soft and kept so."
    assert plate_session(program_of(snapshot_of("no_plate")), ENGLISH) is None


@pytest.mark.parametrize(
    ("beside", "at_clinic", "shown"),
    [({"watcher": "yes"}, False, True), ({"supervised": "yes"}, False, False), ({}, True, False)],
)
def test_the_first_session_says_where_and_who_was_shown(
    beside: dict[str, str], at_clinic: bool, shown: bool
) -> None:
    """Rulebook row 12a."""
    held = snapshot_of()
    held["facts"]["resources"] |= beside
    told = plate_session(program_of(held), ENGLISH)
    assert told is not None
    assert told.lines == (("Done at the clinic, not at home.",) * at_clinic)
    assert ("Whoever will watch at home was shown how." in told.after) == shown
    plate = summary(program_of(held)).courses[0].start
    assert plate.endswith("watched, the first at the clinic" if at_clinic else "watched")


# --- What is asked, what is on record, why ----------------------------------------------------


def test_the_letter_asks_for_leave_that_is_not_given_and_says_what_to_look_into() -> None:
    held = snapshot_of("vertebral_fracture")
    for finding in held["findings"]:
        finding["cleared"] = False
    leave, *rest = summary(program_of(held)).asked
    assert leave.kinds == ("plate",)
    assert leave.words.startswith("Leave for vibration plate: Vertebral fracture: the plate needs")
    assert not any(one.words.startswith("Refer: ") for one in rest)
    assert len(rest) == 2


def test_a_leave_that_was_given_is_not_asked_for() -> None:
    told = summary(program_of(snapshot_of("vertebral_fracture"))).asked
    assert [one.words for one in told if one.words.startswith("Leave")] == []
    assert summary(program_of(snapshot_of("no_plate"))).asked == ()


def test_one_reason_asks_for_all_its_kinds_once() -> None:
    found = [
        SignedFinding(
            rule="low_t.plate",
            subject="low_t",
            about=about,
            level=Level.NEEDS_CLEARANCE,
            text="Very low T-score.",
            cleared=False,
            dosed=False,
        )
        for about in ("plate", "impact", "plate", "all")
    ]
    (one,) = requests(found)
    assert one.words == "Leave for vibration plate, impact, the program: Very low T-score."


def test_the_letter_tells_fractures_illnesses_and_medicines() -> None:
    held = snapshot_of("vertebral_fracture")
    held["facts"]["medicines"]["bone_medicine"] = {
        "answer": "yes",
        "kind": "denosumab",
        "last_dose_on": "2026-01-10",
    }
    parts = {part.title: part for part in summary(program_of(held)).history}
    assert list(parts) == ["Fractures", "Conditions", "Medicines"]
    assert parts["Fractures"].lines == (
        "Vertebra: low trauma: yes, healed: yes (1 Nov 2024)",
        "Spine imaged for vertebral fracture (3 Nov 2025)",
    )
    assert "Osteoarthritis of hip, knee or foot: moderate" in parts["Conditions"].lines
    assert "Incontinence or pelvic organ prolapse" in parts["Conditions"].lines
    (medicine,) = parts["Medicines"].lines
    assert medicine == "Medicine for bone: denosumab, last dose 10 Jan 2026"
    assert not any("Answered no" in line for part in parts.values() for line in part.lines)


def test_what_nobody_recorded_is_told_as_that() -> None:
    held = snapshot_of()
    del held["facts"]["medicines"]
    parts = {part.title: part for part in summary(program_of(held)).history}
    assert parts["Medicines"].lines == ()
    assert "Opioid" in parts["Medicines"].open


def test_facts_that_cannot_be_read_any_more_are_left_out() -> None:
    held = snapshot_of()
    held["facts"]["person"] = "nobody"
    assert summary(program_of(held)).history == ()


def test_each_kind_says_why_and_why_not() -> None:
    told = {course.name: course for course in summary(program_of(snapshot_of("faller"))).courses}
    assert told["Posture"].why == (
        "Place 4 for the aims: fewer falls. Nothing on the screen speaks against it."
    )
    assert told["Impact"].why.startswith("High fall risk: no impact until a review lifts it")
    no_plate = {c.name: c for c in summary(program_of(snapshot_of("no_plate"))).courses}
    assert no_plate["Vibration plate"].start == "Not in the program: excluded"
    assert no_plate["Vibration plate"].why.startswith("There is no plate.")
    assert told["Balance"].why.count("Precaution: ") == 2
    without = replace(program_of(snapshot_of("faller")), aims=())
    posture = {course.name: course for course in summary(without).courses}["Posture"]
    assert posture.why.startswith("Place 4; no aim is recorded.")
