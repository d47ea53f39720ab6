"""Pictures with the words under them, and what is told to who cannot see them."""

import re

import pytest

from programs.actions.papers import words_of
from programs.exercises import EXERCISES
from programs.figures import SCENES, poses_of
from programs.papers import ENGLISH
from programs.papers.pictured import getting_up, picture, pose_words, wrong_picture
from tests.each import each


def title(svg: str) -> str:
    found = re.search("<title>(.*?)</title>", svg)
    assert found
    return found[1]


@each("code", EXERCISES)
def test_the_alternative_names_the_exercise_and_describes_its_poses(code: str) -> None:
    told = title(picture(code, ENGLISH))
    assert told.startswith(f"{EXERCISES[code].name}. ")
    for panel in SCENES[code].panels:
        assert pose_words(panel.pose, ENGLISH) in told


def test_the_poses_are_told_in_turn() -> None:
    assert title(picture("calf_raise", ENGLISH)) == (
        "Calf raise. Start: Standing, both hands on the worktop."
        " End: Standing, both heels lifted, both hands on the worktop."
    )


def test_what_stays_the_same_is_told_once() -> None:
    assert title(picture("lie_flat", ENGLISH)).count("Lying on the back") == 1


@each("code", EXERCISES)
def test_the_wrong_way_says_that_it_is_wrong(code: str) -> None:
    wrong = wrong_picture(code, ENGLISH)
    assert bool(wrong) is (SCENES[code].wrong is not None)
    assert not wrong or title(wrong).startswith("Wrong: ")


def test_getting_up_is_shown_in_three_poses() -> None:
    told = title(getting_up(ENGLISH))
    assert told.startswith("Getting up from the floor. Start: On hands and knees. Then: ")
    assert told.endswith("End: Sitting on a seat.")


@pytest.mark.parametrize(("code", "under"), [("lie_flat", 1), ("bridge", 2), ("log_roll", 3)])
def test_as_many_words_stand_under_a_picture_as_it_has_poses(code: str, under: int) -> None:
    assert poses_of(code) == under
    assert picture(code, ENGLISH).count("<text") == under


def test_in_spanish_too() -> None:
    told = title(picture("calf_raise", words_of("es")))
    assert "Final: De pie, los dos talones levantados" in told
    assert title(wrong_picture("hip_hinge", words_of("es"))).startswith("Mal: De pie")
