"""The chapters of a handout: what holds for each kind of exercise, then its exercises."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from programs.exercises import EXERCISES
from programs.papers import doses, lifting
from programs.papers.amounts import amount_of, amount_words
from programs.papers.manner import BED, SEAT, Manner, near_support, support_words
from programs.papers.paper_parts import Block, Chapter, Dose, Words, gettext_noop, told
from programs.papers.pictured import picture, wrong_picture
from programs.week.week import Week, exercise_codes, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

WALKING = gettext_noop("Brisk walking")

_LAND = (
    gettext_noop("Stand on a firm floor in firm shoes, with a worktop in reach."),
    gettext_noop("Rest for 1 minute after each 10 times."),
    gettext_noop("Stop if you leak urine, limp or feel a joint swell."),
)
_WALK = (
    gettext_noop("Wear firm shoes. Choose level ground and a safe time of day."),
    gettext_noop("Slow down if you cannot talk as you walk."),
)
_IN_TURN = gettext_noop("Do each exercise in turn, as often as it says.")
_BOTH_SIDES = gettext_noop("Do each one on both sides. Rest when you need to.")
_STEADY = (
    gettext_noop("Stand beside a fixed worktop. Wear firm shoes and clear the floor."),
    _IN_TURN,
    _BOTH_SIDES,
    gettext_noop("Go back to the one before if you nearly fall, and tell us."),
)
_STEADY_SEATED = (
    _IN_TURN,
    _BOTH_SIDES,
    gettext_noop("Stop if you could tip over, and tell us."),
)
_TALL = (
    _IN_TURN,
    gettext_noop("Keep breathing as you hold."),
    gettext_noop("Stop if pain runs down an arm or a leg."),
)


def title(modality: Modality, weeks: Sequence[Week], words: Words) -> str:
    """Return what a kind of exercise is called on paper; impact may be walking alone."""
    counted = [week.impact.impacts is not None for week in weeks if week.impact]
    if modality == Modality.IMPACT and not any(counted):
        return words.gettext(WALKING)
    return words.gettext(MODALITIES[Modality(modality)].title)


def chapters(
    weeks: Sequence[Week], manner: Manner, words: Words, *, spared: bool
) -> tuple[Chapter, ...]:
    """Return a chapter for each kind of exercise in the weeks; the plate has its own page.

    spared   her spine is: no weight comes from the floor
    """
    made = (
        _lifting(weeks, manner, words, spared),
        _impact(weeks, manner, words),
        _balance(weeks, manner, words),
        _posture(weeks, manner, words),
    )
    return tuple(chapter for chapter in made if chapter.blocks)


def _lifting(weeks: Sequence[Week], manner: Manner, words: Words, spared: bool) -> Chapter:
    def dose(code: str) -> tuple[Dose, ...]:
        load = lifting.load_of(code)
        return doses.doses(weeks, load, lambda held: lifting.load_words(held, words), words)

    on_spot = not (manner.seated or manner.frame)
    return Chapter(
        title=title(Modality.RESISTANCE, weeks, words),
        do=lifting.rules(weeks, on_spot=on_spot, spared=spared, words=words),
        doses=doses.ended(weeks, Modality.RESISTANCE, words),
        table=lifting.table(weeks, words),
        blocks=_blocks(weeks, Modality.RESISTANCE, dose, manner, words),
    )


def _blocks(
    weeks: Sequence[Week],
    modality: Modality,
    dose: Callable[[str], tuple[Dose, ...]],
    manner: Manner,
    words: Words,
) -> tuple[Block, ...]:
    near = near_support(weeks)
    return tuple(
        block(
            code, dose(code), words, support_words(EXERCISES[code], manner, near=near, words=words)
        )
        for code in _codes(weeks, modality)
    )


def _impact(weeks: Sequence[Week], manner: Manner, words: Words) -> Chapter:
    def dose(code: str) -> tuple[Dose, ...]:
        much = doses.impact_of(code)
        return doses.doses(weeks, much, lambda held: doses.impact_words(held, words), words)

    walking = title(Modality.IMPACT, weeks, words) == words.gettext(WALKING)
    return Chapter(
        title=title(Modality.IMPACT, weeks, words),
        do=told(_WALK if walking else _LAND, words),
        doses=doses.ended(weeks, Modality.IMPACT, words),
        table=None,
        blocks=_blocks(weeks, Modality.IMPACT, dose, manner, words),
    )


def _balance(weeks: Sequence[Week], manner: Manner, words: Words) -> Chapter:
    rules = _STEADY
    if manner.seated:
        rules = (BED if manner.lying else SEAT, *_STEADY_SEATED)
    return _in_minutes(weeks, Modality.BALANCE, rules, manner, words)


def _posture(weeks: Sequence[Week], manner: Manner, words: Words) -> Chapter:
    return _in_minutes(weeks, Modality.POSTURE, _TALL, manner, words)


def _in_minutes(
    weeks: Sequence[Week],
    modality: Modality,
    rules: Sequence[str],
    manner: Manner,
    words: Words,
) -> Chapter:
    def dose(code: str) -> tuple[Dose, ...]:
        return doses.doses(
            weeks, amount_of(modality, code), lambda much: amount_words(much, words), words
        )

    return Chapter(
        title=title(modality, weeks, words),
        do=told(rules, words),
        doses=doses.ended(weeks, modality, words),
        table=None,
        blocks=_blocks(weeks, modality, dose, manner, words),
    )


def block(code: str, held: tuple[Dose, ...], words: Words, support: tuple[str, ...]) -> Block:
    """Return one exercise with its picture and its doses. Raises KeyError for no such one.

    support   what to hold on to, told as the last steps
    """
    exercise = EXERCISES[code]
    return Block(
        code=code,
        name=words.gettext(exercise.name),
        figure=picture(code, words),
        steps=(*told((exercise.start, *exercise.steps), words), *support),
        doses=held,
        feel=words.gettext(exercise.feel),
        avoid=words.gettext(exercise.avoid),
        wrong=wrong_picture(code, words),
    )


def _codes(weeks: Sequence[Week], modality: Modality) -> tuple[str, ...]:
    """Return the exercises of a modality in the order in which they come."""
    found = (exercise_codes(part_of(week, modality)) for week in weeks)
    return tuple(dict.fromkeys(code for codes in found for code in codes))
