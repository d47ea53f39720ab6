"""The hazard log as data: where a hazard stands follows from what holds it, and only from that."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from safety.hazards.all_hazards import CHAPTERS, HAZARDS
from safety.hazards.hazard import (
    LIKELIHOODS,
    MATRIX,
    SEVERITIES,
    Carrier,
    Chapter,
    Control,
    Hazard,
    How,
    Likelihood,
    Severity,
    Standing,
    design,
    found,
    guard,
    risk,
    told,
)
from safety.hazards.intended_use import INTENDED_USE, KNOWN_LIMITS
from safety.hazards.safety_file import LOOK_OVER_BY, LOOKED_OVER_ON, safety_file
from safety.rules.all_rules import RULEBOOK

GRAVE, MILD = (risk(Severity.MAJOR, one) for one in (Likelihood.MEDIUM, Likelihood.LOW))
HELD = design("It cannot be done.", found("x/test_y.py", "test_z", "test_w"))
SAMPLE = Hazard(
    code="H99",
    what="What",
    cause="Cause.",
    harm="Harm.",
    before=GRAVE,
    controls=(HELD,),
    after=MILD,
    missing=(),
    left="Left.",
    carried_by=Carrier.CLINIC,
)


def test_a_control_without_a_test_is_none() -> None:
    with pytest.raises(ValueError, match="No test holds this: It is said"):
        Control(how=How.TOLD, words="It is said", tests=())


@pytest.mark.parametrize("make", [design, guard, told])
def test_a_control_names_its_tests_whole(make: object) -> None:
    made = make("Words", found("a.py", "test_a"), found("b/c.py", "Test::test_b"))  # type: ignore[operator]
    assert made.tests == ("tests/a.py::test_a", "tests/b/c.py::Test::test_b")
    assert made.by_file == (("tests/a.py", ("test_a",)), ("tests/b/c.py", ("Test::test_b",)))
    assert HELD.by_file == (("tests/x/test_y.py", ("test_z", "test_w")),)


def test_where_it_stands_follows_from_its_controls() -> None:
    assert SAMPLE.standing is Standing.CONTROLLED
    assert replace(SAMPLE, missing=("More.",)).standing is Standing.PARTLY
    unheld = replace(SAMPLE, controls=(), after=GRAVE, missing=("All of it.",))
    assert unheld.standing is Standing.OPEN
    assert SAMPLE.tests == ("tests/x/test_y.py::test_z", "tests/x/test_y.py::test_w")
    assert replace(SAMPLE, controls=(HELD, HELD)).tests == SAMPLE.tests


def test_nothing_unheld_is_called_less_grave_or_done() -> None:
    for changed in ({"missing": ("All of it.",)}, {"after": GRAVE}):
        with pytest.raises(ValueError, match="H99: nothing controls it"):
            replace(SAMPLE, controls=(), **changed)  # type: ignore[arg-type]


def test_no_control_makes_it_graver() -> None:
    worse = risk(Severity.CATASTROPHIC, Likelihood.MEDIUM)
    with pytest.raises(ValueError, match="H99: no control makes"):
        replace(SAMPLE, after=worse)


def test_a_risk_that_may_not_stand_says_what_is_missing() -> None:
    with pytest.raises(ValueError, match="H99: such a risk does not stand"):
        replace(SAMPLE, after=GRAVE)
    assert replace(SAMPLE, after=GRAVE, missing=("More.",)).after.rating == 4


def test_the_matrix_never_falls_with_either_and_every_step_has_words() -> None:
    rows = [MATRIX[one] for one in Severity]
    assert all(list(row) == sorted(row) for row in rows)
    assert all(list(column) == sorted(column) for column in zip(*rows, strict=True))
    assert {rating for row in rows for rating in row} == {1, 2, 3, 4, 5}
    assert (list(SEVERITIES), list(LIKELIHOODS)) == (list(Severity), list(Likelihood))


def test_a_risk_in_words() -> None:
    assert MILD.words == "major, low: 3"
    assert risk(Severity.MINOR, Likelihood.VERY_HIGH).words == "minor, very high: 3"


def test_every_code_is_unique_and_every_part_is_said() -> None:
    codes = [hazard.code for hazard in HAZARDS]
    assert len(set(codes)) == len(codes)
    assert all(re.fullmatch(r"H\d\d", code) for code in codes)
    for one in HAZARDS:
        assert not one.what.endswith(".")
        sentences = (one.cause, one.harm, one.left, *one.missing, *(c.words for c in one.controls))
        assert all(sentence.endswith((".", "?")) for sentence in sentences), one.code


def test_the_twenty_that_it_began_with_are_there() -> None:
    assert {f"H{number:02}" for number in range(1, 21)} <= {one.code for one in HAZARDS}


def test_the_file_counts_what_it_holds() -> None:
    made = safety_file()
    assert made.rulebook == RULEBOOK
    assert made.chapters == CHAPTERS
    assert sum(count for _, count in made.counts) == len(HAZARDS)
    assert {one.code for one in made.lacking} == {one.code for one in HAZARDS if one.missing}
    ratings = [one.after.rating for one in made.lacking]
    assert ratings == sorted(ratings, reverse=True)
    assert made.tests == len({test for one in HAZARDS for test in one.tests})
    assert LOOKED_OVER_ON < LOOK_OVER_BY


def test_a_file_of_one_hazard() -> None:
    made = safety_file((Chapter(name="One", hazards=(SAMPLE,)),))
    assert dict(made.counts) == {"controlled": 1, "partly controlled": 0, "open": 0}
    assert (made.tests, made.lacking) == (2, ())
    assert made.scale.ratings[0] == ("catastrophic", (3, 4, 5, 5, 5))
    assert made.scale.heads == ("very low", "low", "medium", "high", "very high")


def test_it_says_what_it_is_not_and_who_answers() -> None:
    said = {one.title: " ".join(one.lines) for one in INTENDED_USE}
    assert "No tool for emergencies" in said["What it is not"]
    assert "No prescription by itself" in said["What it is not"]
    assert "measures plates, not people" in said["What it is not"]
    assert "The clinician who signs answers" in said["Who answers"]
    assert "Local codes, guidelines and licensed practice come first" in said["Who answers"]
    assert len(KNOWN_LIMITS.lines) > 5
