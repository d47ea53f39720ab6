"""What to do after a fall: for who walks and for who does not, with its picture."""

from __future__ import annotations

from dataclasses import replace

import pytest

from programs.actions.papers import words_of
from programs.figures import SCENES
from programs.figures.poses import skeleton
from programs.figures.props import SEAT
from programs.papers import ENGLISH
from programs.papers.fall_page import CANNOT, FIRST, NOT_UP, READY, UP, fall_page
from tests.plain_language import check_line, check_passage
from tests.programs.sample_papers import OF_TODAY, handout_of, program_of, snapshot_of

HERS = replace(program_of(snapshot_of()), clinic=OF_TODAY)


def test_who_walks_gets_up_by_a_chair() -> None:
    page = fall_page(HERS, ENGLISH)
    assert page.up is not None
    assert page.up.do[-1] == "Rest there, and call us: 01 000 000"
    assert page.stay.do == ("Stay where you are then, and call the ambulance: 112",)
    steps = " ".join(page.up.do)
    places = [steps.index(f"{one} picture") for one in ("first", "second", "third")]
    assert places == sorted(places)


def test_who_does_not_stand_calls_for_help() -> None:
    seated = replace(program_of(snapshot_of("seated")), clinic=OF_TODAY)
    page = fall_page(seated, ENGLISH)
    assert (page.up, page.figure) == (None, "")
    assert page.stay.do == (
        "Do not try to get up on your own. Call for help, or the ambulance: 112",
    )
    assert page.cannot.do


@pytest.mark.parametrize(
    ("number", "own", "told"),
    [("", "Call 112, day and night", "Call 112, day and night"), ("", "", "____")],
)
def test_without_a_number_the_words_or_a_line(number: str, own: str, told: str) -> None:
    silent = replace(OF_TODAY, number=number, emergency=own, phone="")
    page = fall_page(replace(HERS, clinic=silent), ENGLISH)
    assert told in page.stay.do[0]
    assert page.up is not None
    assert "____" in page.up.do[-1]


def test_it_is_part_of_the_handout() -> None:
    assert handout_of(snapshot_of()).fall.title == "If you fall"


def test_it_is_plain() -> None:
    instructions = (*FIRST, *UP, *CANNOT, *READY)
    assert [t for line in instructions for t in check_line(line, instruction=True)] == []
    assert [t for line in NOT_UP for t in check_line(line)] == []
    assert check_passage((*instructions, *NOT_UP)) == ()


# --- The picture ------------------------------------------------------------------------------


def test_a_hand_is_on_the_seat_before_she_rises() -> None:
    kneels, rises, sits = (skeleton(panel.pose) for panel in SCENES["get_up"].panels)
    assert kneels["near_wrist"][1] < 5
    assert SEAT < rises["near_wrist"][1] < SEAT + 4
    assert rises["near_ankle"][1] < 5
    assert rises["near_knee"][1] > rises["far_knee"][1] + 10
    assert sits["hip"][1] > SEAT


def test_it_names_its_picture_in_each_language() -> None:
    assert "<title>Getting up from the floor." in fall_page(HERS, ENGLISH).figure
    assert "<title>Levantarse del suelo." in fall_page(HERS, words_of("es")).figure
