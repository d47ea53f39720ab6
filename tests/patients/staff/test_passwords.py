"""Passwords that would soon be guessed, each with its reason; long ones of any letters pass."""

import pytest

from patients.staff.passwords import why_guessed

NAMES = ("clinician", "Marta Ferro Lindqvist")
OWN, KEYS = "your own name", "beside each other"


@pytest.mark.parametrize(
    ("password", "why"),
    [
        (" " * 15, "repeats"),
        ("aaaaaaaaaaaaaaa", "repeats"),
        ("111111111111111", "repeats"),
        ("passwordpassword", "repeats"),
        ("123456789012345", KEYS),
        ("qwertyuiop12345", KEYS),
        ("poiuytrewqlkjhgfds", KEYS),
        ("clinicianclinician", OWN),
        ("Marta Ferro Lindqvist", OWN),
        ("marta.ferro.lindqvist.1", OWN),
        ("FerroFerroFerro!", OWN),
        ("calcar password123", "this program"),
        ("calcarcalcarcalcar", "this program"),
        ("abcdefghijklmnop", "in their order"),
        ("1959-08-14 1959", "a date"),
        ("x" * 64 + "y", "repeats"),
        ("15 characters..", "many people use"),
    ],
)
def test_soon_guessed(password: str, why: str) -> None:
    assert why in why_guessed(password, NAMES)


@pytest.mark.parametrize(
    "password",
    [
        "plain grey tramline",
        "seven quiet herons",
        "pässphräse mit ümläuten",
        "семь тихих цапель летят",
        " trailing space kept ",
        "one heron, two herons, and a tramline that is grey all the way to its end, says nobody",
        "ferro and eleven quiet herons",
        "correct\tumbrella lagoon",
    ],
)
def test_hard_to_guess(password: str) -> None:
    assert why_guessed(password, NAMES) == ""


def test_a_name_is_only_the_persons_own() -> None:
    assert why_guessed("lindqvist odenwald", ("clinician", "Marta Ferro")) == ""
    assert OWN in why_guessed("lindqvist odenwald", ("x", "Odenwald Lindqvist"))


def test_a_year_alone_and_a_short_one_are_said() -> None:
    assert "a year" in why_guessed("1987")
    assert "too short" in why_guessed("kvw")


def test_a_word_repeated_that_is_no_name() -> None:
    assert "repeats" in why_guessed("tramtramtramtram", NAMES)
