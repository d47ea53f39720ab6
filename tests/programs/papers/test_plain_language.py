"""Plain words: syllables, school grade, sentences, verbs first, units."""

import pytest

from programs.exercises import DAILY_MOVEMENTS, EXERCISES, DailyMovement, Exercise
from tests.each import each
from tests.plain_language import (
    bare_numbers,
    check_line,
    check_passage,
    grade,
    sentences,
    starts_with_verb,
    syllables,
    words,
)

#: Counted by ear, not by rule (common practice).
KNOWN = """
walk 1, walking 2, exercise 3, exercises 4, balance 2, posture 2, breathe 1, breath 1, shoulder 2,
shoulders 2, muscle 2, muscles 2, table 2, tables 2, heel 1, heels 1, raise 1, raises 2, lifted 2,
stopped 1, pushed 1, bone 1, bones 1, clinic 2, clinician 3, doctor 2, week 1, weeks 1, repeat 2,
minute 2, minutes 2, second 2, vibration 3, resistance 3, impact 2, osteoporosis 6, fracture 2,
slowly 2, safely 2, dizzy 2, dizziness 3, comfortable 4, machine 2, hold 1, someone 2, forward 2,
straight 1, squeeze 1, squeezes 2, places 2, changes 2, pain 1, area 3, idea 3, doing 2, going 2,
easier 3, heavier 3, quiet 2, people 2, every 2, usually 4, program 2, medical 3, rested 2, used 1,
little 2, careful 2, movement 2, before 2, above 2, science 2, period 3, experience 4, radio 3,
special 2, station 2, region 2, serious 3, obvious 3, cautious 2, actual 3, continue 3, tissue 2,
toes 1, shoes 1, knees 1, bodies 2, carried 2, moved 1, emergency 4, sudden 2, weakness 2,
settled 2, handle 2, handles 2, medicine 3, diary 3, trial 2, being 2, create 2, breathless 2,
once 1, measure 2, different 3, business 2, evening 2, hinges 2, houses 2, watched 1, watches 2
"""
COUNTED = [tuple(pair.split()) for pair in KNOWN.replace("\n", " ").split(",")]


def test_enough_words_are_known() -> None:
    assert len(COUNTED) > 100


@each(("word", "count"), COUNTED)
def test_syllables(word: str, count: str) -> None:
    assert syllables(word) == int(count)


@pytest.mark.parametrize(("word", "count"), [("15", 1), ("I", 1), ("Shh", 1), ("WALK", 1)])
def test_syllables_at_the_edges(word: str, count: int) -> None:
    assert syllables(word) == count


def test_grade_of_a_known_text() -> None:
    """Two sentences, 11 words, 13 syllables counted by ear: Kincaid 1975, by hand."""
    text = "Walk slowly to the chair. Breathe out and sit down slowly."
    assert [syllables(word) for word in words(text)] == [1, 2, 1, 1, 1, 1, 1, 1, 1, 1, 2]
    assert grade(text) == pytest.approx(0.5005, abs=0.0005)


def test_nothing_has_no_grade() -> None:
    with pytest.raises(ValueError, match="no words"):
        grade(" . ")


def test_hard_text_is_graded_higher_than_plain_text() -> None:
    plain = "Stand tall. Bend your knees. Hold the rail with both hands."
    hard = "Maintaining appropriate musculoskeletal conditioning necessitates individualised care."
    assert grade(plain) < 3 < 12 < grade(hard)


def test_sentences_end_at_stops_colons_and_lines() -> None:
    assert sentences("Stop. Rest: breathe\nGo on? Yes!") == (
        "Stop.",
        "Rest:",
        "breathe",
        "Go on?",
        "Yes!",
    )
    assert sentences("Lift 2.5 kg.") == ("Lift 2.5 kg.",)
    assert sentences(" \n- \n") == ()


@pytest.mark.parametrize(
    ("line", "first"),
    [
        ("Bend your knees.", True),
        ("Do not bend.", True),
        ("Never lock your knees.", True),
        ("Never again.", False),
        ("Your knees stay bent.", False),
        ("Slowly bend.", False),
        ("", False),
    ],
)
def test_verb_first(line: str, first: bool) -> None:
    assert starts_with_verb(line) == first


@pytest.mark.parametrize(
    ("line", "bare"),
    [
        ("Hold for 5 seconds.", ()),
        ("Hold for 5.", ("5",)),
        ("Bend 20 to 30 degrees.", ()),
        ("Bend 20 to 30.", ("30",)),
        ("Lift 2.5 kg 3 times.", ()),
        ("Do week 3 again.", ()),
        ("Weeks 3 to 6: rest.", ()),
        ("Pain 4 or 5: stop.", ()),
        ("Lift at 70 %.", ()),
        ("Set 25 Hz and number 2.", ()),
        ("Choose 7 now.", ("7",)),
    ],
)
def test_units(line: str, bare: tuple[str, ...]) -> None:
    assert bare_numbers(line) == bare


def test_a_sentence_of_twenty_words_is_the_longest() -> None:
    assert check_line(" ".join(["go"] * 20)) == ()
    (trouble,) = check_line(" ".join(["go"] * 21))
    assert trouble.why == "21 words in a sentence"


def test_an_instruction_begins_with_a_verb() -> None:
    assert check_line("The knees bend.") == ()
    (trouble,) = check_line("The knees bend.", instruction=True)
    assert trouble.why == "does not begin with a verb"


def test_short_passages_are_not_graded() -> None:
    assert check_passage(["Individualised musculoskeletal conditioning."]) == ()


def test_a_hard_passage_is_found() -> None:
    hard = "Individualised musculoskeletal conditioning necessitates considerable determination."
    whys = [trouble.why for trouble in check_passage([hard.rstrip(".")] * 6)]
    assert whys[0].startswith("grade ")
    long = [" ".join(["go"] * 13)] * 4
    assert [trouble.why for trouble in check_passage(long)] == ["13.0 words a sentence"]


@each("exercise", EXERCISES.values(), ids=lambda one: one.code)
def test_the_catalogue_is_plain(exercise: Exercise) -> None:
    lines = (exercise.start, *exercise.steps, exercise.feel, exercise.avoid)
    for line in lines:
        assert check_line(line, instruction=True) == ()
    assert check_passage(lines) == ()
    assert grade("\n".join(lines)) <= 6


@pytest.mark.parametrize("movement", DAILY_MOVEMENTS, ids=lambda one: one.code)
def test_daily_movements_are_plain(movement: DailyMovement) -> None:
    lines = (movement.leave_out, movement.instead)
    for line in lines:
        assert check_line(line, instruction=True) == ()
    assert grade("\n".join(lines)) <= 6
