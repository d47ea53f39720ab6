"""The catalogue holds together and its words are plain."""

import re

import pytest

from programs.exercises import DAILY_MOVEMENTS, EXERCISES, of
from programs.exercises.exercise import BARS, EQUIPMENT, POSITIONS, SITES, linked
from safety.findings import Modality
from tests.each import each

ALL = tuple(EXERCISES.values())
VERBS_TEXT = """
    Bend Breathe Bring Change Check Cross Do Draw Feel Go Grip Grow
    Help Hold Hop Jump Keep Kneel Land Lean Let Lie Lift Lighten
    Line Look Lower Make March Move Name Place Point Press Push Put
    Reach Relax Rest Rise Roll Set Shift Sit Slide Slow Squeeze Stamp
    Stand Stay Step Stop Touch Turn Walk Wring Ask Choose Split
"""
VERBS = frozenset(VERBS_TEXT.split())


def texts(exercise):
    return (exercise.start, *exercise.steps, exercise.feel, exercise.avoid)


def sentences(text):
    return [part for part in re.split(r"[.;!?]", text) if part.strip()]


def syllables(word):
    """A plain count: runs of vowels, less a silent last e."""
    letters = re.sub(r"[^a-z]", "", word.lower())
    silent = letters.endswith("e") and not letters.endswith("le")
    return max(1, len(re.findall(r"[aeiouy]+", letters)) - silent)


def grade(text):
    """The Flesch-Kincaid grade (Kincaid et al. 1975, from memory, to be confirmed)."""
    words = re.findall(r"[A-Za-z'-]+", text)
    per_sentence = len(words) / len(sentences(text))
    per_word = sum(map(syllables, words)) / len(words)
    return 0.39 * per_sentence + 11.8 * per_word - 15.59


def codes(exercises):
    return [exercise.code for exercise in exercises]


class TestCatalogue:
    def test_at_least_sixty_over_five_modalities(self):
        assert len(ALL) >= 60
        assert {exercise.modality for exercise in ALL} == set(Modality)
        assert len(of(Modality.RESISTANCE)) >= 24
        assert len(of(Modality.IMPACT)) >= 9
        assert len(of(Modality.BALANCE)) >= 14
        assert len(of(Modality.POSTURE)) >= 12
        assert len(of(Modality.PLATE)) >= 5

    def test_no_code_is_declared_twice(self):
        from programs.exercises import catalogue

        declared = [e.code for table in catalogue._TABLES for e in table.EXERCISES]
        assert len(declared) == len(set(declared)) == len(ALL)

    def test_no_code_stands_on_two_ladders(self):
        from programs.exercises import catalogue

        on_ladders = [c for t in catalogue._TABLES for ladder in t.LADDERS for c in ladder]
        assert len(on_ladders) == len(set(on_ladders))

    @each("exercise", ALL, ids=codes(ALL))
    def test_declared_words(self, exercise):
        assert re.fullmatch(r"[a-z][a-z0-9_]*", exercise.code)
        assert exercise.loads
        assert exercise.loads <= SITES
        assert exercise.equipment <= EQUIPMENT
        assert exercise.bars <= BARS
        assert exercise.position in POSITIONS
        assert exercise.muscles
        assert exercise.on_floor == ("floor" in exercise.bars) or exercise.code == "floor_pick_up"

    @each("exercise", ALL, ids=codes(ALL))
    def test_neighbours_resolve_and_agree(self, exercise):
        if exercise.easier:
            assert EXERCISES[exercise.easier].harder == exercise.code
            assert EXERCISES[exercise.easier].modality == exercise.modality
        if exercise.harder:
            assert EXERCISES[exercise.harder].easier == exercise.code
            assert EXERCISES[exercise.harder].modality == exercise.modality

    def test_a_ladder_that_names_nobody_is_refused(self):
        with pytest.raises(KeyError):
            linked(ALL, [("leg_press", "no_such_exercise")])

    def test_only_what_can_be_loaded_in_kg_has_a_lift(self):
        assert all(exercise.loadable for exercise in ALL if exercise.lift)
        assert {e.lift for e in ALL if e.lift} == {
            "leg_press",
            "leg_extension",
            "squat",
            "deadlift",
            "bench_press",
            "row",
            "overhead_press",
            "lat_pull",
        }

    def test_only_impact_has_a_force_and_each_has_its_source(self):
        for exercise in ALL:
            is_impact = exercise.modality == Modality.IMPACT
            assert (exercise.peak_bw is not None) == is_impact
            assert (exercise.peak_bw_source is not None) == is_impact

    def test_lifts_from_the_floor_are_flagged(self):
        assert "floor_lift" in EXERCISES["deadlift"].bars
        assert "floor_lift" in EXERCISES["floor_pick_up"].bars


class TestWords:
    @each("exercise", ALL, ids=codes(ALL))
    def test_three_to_five_steps_each_led_by_a_verb(self, exercise):
        assert 3 <= len(exercise.steps) <= 5
        for text in texts(exercise):
            assert text.split()[0].strip(",") in VERBS
            assert text.endswith(".")
        assert exercise.feel.startswith("Feel ")
        assert exercise.avoid.startswith("Do not ")

    @each("exercise", ALL, ids=codes(ALL))
    def test_no_sentence_over_twenty_words(self, exercise):
        for text in texts(exercise):
            assert all(len(sentence.split()) <= 20 for sentence in sentences(text))
        assert len(sentences(exercise.start)) == 1

    @each("exercise", ALL, ids=codes(ALL))
    def test_reading_grade_is_six_or_less(self, exercise):
        assert grade(" ".join(texts(exercise))) <= 6

    def test_the_grade_can_fail(self):
        assert grade("Maintain appropriate thoracolumbar stabilization throughout.") > 6

    @pytest.mark.parametrize("movement", DAILY_MOVEMENTS, ids=lambda m: m.code)
    def test_daily_movements_say_what_to_do_instead(self, movement):
        assert movement.leave_out.startswith("Do not ")
        for sentence in sentences(movement.instead):
            assert sentence.split()[0] in VERBS
            assert len(sentence.split()) <= 20
        assert grade(movement.leave_out + " " + movement.instead) <= 6

    def test_the_spine_sparing_table_covers_the_day(self):
        assert {m.code for m in DAILY_MOVEMENTS} >= {
            "sit",
            "bend",
            "lift",
            "turn_in_bed",
            "cough",
            "reach",
        }
