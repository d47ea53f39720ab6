"""The chapters of a handout: what holds for each kind of exercise, then its exercises."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from programs.exercises import EXERCISES, Exercise
from programs.figures import figure_svg
from programs.handout import doses
from programs.handout.said import Block, Chapter, Dose, DoseTable, Words, gettext_noop
from programs.handout.weeks import Week, phases, span_words
from safety.findings import Modality

TITLES: Mapping[str, str] = {
    Modality.PLATE: gettext_noop("Vibration plate"),
    Modality.RESISTANCE: gettext_noop("Lifting"),
    Modality.IMPACT: gettext_noop("Firm steps and landings"),
    Modality.BALANCE: gettext_noop("Balance"),
    Modality.POSTURE: gettext_noop("Posture"),
}
WALKING = gettext_noop("Brisk walking")

_LIFT = (
    gettext_noop("Warm up first: walk on the spot for 2 minutes."),
    gettext_noop("Take 2 seconds to lift and 2 seconds to lower."),
    gettext_noop("Breathe out as you lift. Never hold your breath."),
    gettext_noop("Rest for 60 seconds after each set."),
    gettext_noop("Choose a weight that fits the table where none is given."),
)
_SETS_HEADS = (
    gettext_noop("Weeks"),
    gettext_noop("Sets"),
    gettext_noop("Repeats"),
    gettext_noop("Spare"),
)
_SPARE = gettext_noop("Spare: stop each set when you could still do this many more.")
_LAND = (
    gettext_noop("Stand on a firm floor in firm shoes, with a worktop in reach."),
    gettext_noop("Rest for 1 minute after each 10 times."),
    gettext_noop("Stop if you leak, limp or feel a joint swell."),
)
_WALK = (
    gettext_noop("Wear firm shoes. Choose level ground and a safe time of day."),
    gettext_noop("Slow down if you cannot talk as you walk."),
)
_STEADY = (
    gettext_noop("Stand beside a fixed worktop. Wear firm shoes and clear the floor."),
    gettext_noop("Share the minutes among the exercises of the week."),
    gettext_noop("Do each one on both sides. Rest when you need to."),
    gettext_noop("Go back to the one before if you nearly fall, and tell us."),
)
_TALL = (
    gettext_noop("Share the minutes among the exercises of the week."),
    gettext_noop("Keep breathing as you hold."),
    gettext_noop("Stop if pain runs down an arm or a leg."),
)


def title(modality: str, weeks: Sequence[Week], words: Words) -> str:
    """Return what a kind of exercise is called on paper; impact may be walking alone."""
    counted = [week["impact"]["impacts"] is not None for week in weeks if week["impact"]]
    if modality == Modality.IMPACT and not any(counted):
        return words.gettext(WALKING)
    return words.gettext(TITLES[modality])


def chapters(weeks: Sequence[Week], words: Words) -> tuple[Chapter, ...]:
    """Return a chapter for each kind of exercise in the weeks; the plate has its own page."""
    made = (
        _lifting(weeks, words),
        _impact(weeks, words),
        _minutes(weeks, Modality.BALANCE, _STEADY, words),
        _minutes(weeks, Modality.POSTURE, _TALL, words),
    )
    return tuple(chapter for chapter in made if chapter.blocks)


def _lifting(weeks: Sequence[Week], words: Words) -> Chapter:
    codes = _codes(weeks, "resistance")
    blocks = tuple(
        block(
            code,
            doses.doses(weeks, doses.load_of(code), lambda kg: doses.load_words(kg, words), words),
            words,
        )
        for code in codes
    )
    return Chapter(
        title=title(Modality.RESISTANCE, weeks, words),
        do=_told(_LIFT, words),
        doses=_often(weeks, Modality.RESISTANCE, words),
        table=_sets(weeks, words),
        blocks=blocks,
    )


def _sets(weeks: Sequence[Week], words: Words) -> DoseTable:
    """Return what all lifts of a week share: sets, repeats, and how many more are left."""

    def shown(week: Week) -> tuple[str, ...] | None:
        part = week["resistance"]
        return part and tuple(str(part[key]) for key in ("sets", "reps", "reps_in_reserve"))

    return DoseTable(
        heads=_told(_SETS_HEADS, words),
        rows=tuple((span_words(run, words), *run.value) for run in phases(weeks, shown)),
        reading=(words.gettext(_SPARE),),
    )


def _often(weeks: Sequence[Week], modality: Modality, words: Words) -> tuple[Dose, ...]:
    def often(week: Week) -> int | None:
        return week[modality]["sessions"] if week[modality] else None

    return doses.in_turn(weeks, often, lambda n: f"{doses.often_words(n, words)}.", words)


def _impact(weeks: Sequence[Week], words: Words) -> Chapter:
    blocks = tuple(
        block(
            code,
            doses.doses(
                weeks, doses.impact_of(code), lambda d: doses.impact_words(d, words), words
            ),
            words,
        )
        for code in _codes(weeks, "impact")
    )
    walking = title(Modality.IMPACT, weeks, words) == words.gettext(WALKING)
    return Chapter(
        title=title(Modality.IMPACT, weeks, words),
        do=_told(_WALK if walking else _LAND, words),
        doses=_often(weeks, Modality.IMPACT, words),
        table=None,
        blocks=blocks,
    )


def _minutes(
    weeks: Sequence[Week], modality: Modality, rules: Sequence[str], words: Words
) -> Chapter:
    def held(code: str) -> Callable[[Week], str | None]:
        told = _hold_words(EXERCISES[code], words)
        return lambda week: told if week[modality] and code in week[modality]["exercises"] else None

    codes = _codes(weeks, modality)
    blocks = tuple(
        block(
            code,
            doses.doses(weeks, held(code), str, words),
            words,
        )
        for code in codes
    )
    return Chapter(
        title=title(modality, weeks, words),
        do=_told(rules, words),
        doses=doses.in_turn(
            weeks, doses.shared_of(modality), lambda d: doses.shared_words(d, words), words
        ),
        table=None,
        blocks=blocks,
    )


def _hold_words(exercise: Exercise, words: Words) -> str:
    if exercise.hold_s is None:
        return words.gettext("Repeat it for your minutes.")
    told = words.ngettext(
        "Hold for {count} second. Repeat it for your minutes.",
        "Hold for {count} seconds. Repeat it for your minutes.",
        exercise.hold_s,
    )
    return told.format(count=exercise.hold_s)


def block(code: str, held: tuple[Dose, ...], words: Words) -> Block:
    """Return one exercise with its picture and its doses. Raises KeyError for no such one."""
    exercise = EXERCISES[code]
    name = words.gettext(exercise.name)
    pictured = words.gettext("{name}: how to begin, how to end.")
    below = (words.gettext("Start"), words.gettext("End"))
    return Block(
        name=name,
        figure=figure_svg(code, pictured.format(name=name), below),
        steps=_told((exercise.start, *exercise.steps), words),
        doses=held,
        feel=words.gettext(exercise.feel),
        avoid=words.gettext(exercise.avoid),
    )


def _codes(weeks: Sequence[Week], modality: str) -> tuple[str, ...]:
    """Return the exercises of a modality in the order in which they come."""
    parts = (week[modality] for week in weeks if week[modality])
    found = [
        one["exercise"] if isinstance(one, dict) else one
        for part in parts
        for one in part["exercises"]
    ]
    return tuple(dict.fromkeys(found))


def _told(texts: Sequence[str], words: Words) -> tuple[str, ...]:
    return tuple(words.gettext(text) for text in texts)
