"""A set of lifting in words: how often, of a weight that could be lifted how often (row 19a).

Programs of format 1 do not say how often a weight could be lifted; they keep the repeats that are
left when the set is over. A week where no exercise has a load says neither.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

from programs.dose.could_lift import FELT_TO
from programs.exercises import EXERCISES
from programs.papers import doses
from programs.papers.numbers import headed, isolated, line_start, number_words
from programs.papers.paper_parts import DoseTable, Words, gettext_noop, told
from programs.papers.weeks import phases, span_words
from programs.week.week import LiftDose, ResistanceWeek, Week

_WEEKS, _SETS, _REPEATS = gettext_noop("Weeks"), gettext_noop("Sets"), gettext_noop("Repeats")
_SPARE_HEAD = gettext_noop("Spare")
_SPARE = gettext_noop("Spare: stop each set when you could still do this many more.")
EASY = gettext_noop("Easy: effort 3 of 10 points when you stop. Begin with the lightest there is.")
EASY_KNOWN = gettext_noop("Easy: effort 3 of 10 points when you stop.")
EASY_BRIEF = gettext_noop("easy, effort 3 of 10 points when you stop")
#: Weights that lie somewhere before they are lifted.
TAKEN_UP = frozenset({"dumbbells", "barbell", "weighted_vest"})
WARM_UP = gettext_noop("Warm up first: walk on the spot for 2 minutes.")
WARM_UP_HELD = gettext_noop("Warm up first: move your arms and legs for 2 minutes.")
_RULES = (
    gettext_noop("Take 2 seconds to lift and 2 seconds to lower."),
    gettext_noop("Breathe out as you lift. Never hold your breath."),
    gettext_noop("Rest for 60 seconds after each set."),
)
#: For whom nothing is lifted from the floor (rulebook row 5a).
FROM_A_TABLE = gettext_noop("Take your weights from a table at hip height. Put them back there.")
_BEFORE_COULD_LIFT = (gettext_noop("Choose a weight that fits the table where none is given."),)
#: A load is found by N, as in the clinic (programs/dose/effort.py).
FIND_A_LOAD = (
    gettext_noop("Begin with a light weight where none is given. Stop at the repeats."),
    gettext_noop("Take more next time if you could lift it more often than the sheet says."),
    gettext_noop("Take less next time if you could not lift it that often."),
)


def is_old(part: ResistanceWeek) -> bool:
    """Tell whether a week does not say how often its weights could be lifted (format 1)."""
    return part.could_lift is None and part.reps_in_reserve is not None


def is_felt(could_lift: int) -> bool:
    """Tell whether anybody can feel how often such a weight would go."""
    return could_lift <= FELT_TO


def rules(weeks: Sequence[Week], *, on_spot: bool, spared: bool, words: Words) -> tuple[str, ...]:
    """Return what holds for all lifts.

    on_spot   she can walk on the spot with free hands to warm up
    spared    her spine is: no weight comes from the floor
    """
    parts = [week.resistance for week in weeks if week.resistance]
    old = any(is_old(part) for part in parts)
    found = FIND_A_LOAD if any(_is_to_find(part) for part in parts) else ()
    choose = _BEFORE_COULD_LIFT if old else found
    table_ = (FROM_A_TABLE,) if spared and any(map(_has_weights, parts)) else ()
    return told((WARM_UP if on_spot else WARM_UP_HELD, *table_, *_RULES, *choose), words)


def _has_weights(part: ResistanceWeek) -> bool:
    """Tell whether a lift has weights that have to be taken up."""
    return any(EXERCISES[one.exercise].equipment & TAKEN_UP for one in part.exercises)


def _is_to_find(part: ResistanceWeek) -> bool:
    """Tell whether she has to find a load herself, by how often it could be lifted."""
    unknown = any(_takes_load(one) and one.load_kg is None for one in part.exercises)
    return unknown and part.could_lift is not None and is_felt(part.could_lift)


def _takes_load(one: LiftDose) -> bool:
    return one.reps is None and EXERCISES[one.exercise].loadable


def table(weeks: Sequence[Week], words: Words) -> DoseTable | None:
    """Return sets, repeats and those to spare of a program of format 1.

    None for any later one: each week's sheet says it all.
    """
    if not any(week.resistance and is_old(week.resistance) for week in weeks):
        return None
    rows = phases(weeks, lambda week: _cells(week.resistance) if week.resistance else None)
    return DoseTable(
        heads=told((_WEEKS, _SETS, _REPEATS, _SPARE_HEAD), words),
        rows=tuple((span_words(run, words), *run.value) for run in rows),
        reading=told((_SPARE,), words),
    )


def _cells(part: ResistanceWeek) -> tuple[str, ...]:
    return (str(part.sets), str(part.reps), str(part.reps_in_reserve))


#: Of one lift in a week: its kg, how often it could be lifted, its own repetitions.
Load = tuple[float | None, int | None, int | None]


def load_of(code: str) -> Callable[[Week], Load | None]:
    """Return what finds the load of one lift in a week."""

    def of(week: Week) -> Load | None:
        part = week.resistance
        held = (one for one in part.exercises if one.exercise == code) if part else iter(())
        return next(((one.load_kg, _could_lift(part, one), one.reps) for one in held), None)

    return of


def _could_lift(part: ResistanceWeek | None, one: LiftDose) -> int | None:
    return part.could_lift if part and (_takes_load(one) or one.load_kg is not None) else None


def load_words(load: Load, words: Words) -> str:
    """Return "34 kg: a weight you could lift about 20 times", or its own repeats."""
    kg, could_lift, reps = load
    if reps is not None:
        return doses.repeats_words(reps, words)
    shown = "" if kg is None else kg_words(kg, words)
    if could_lift is None:
        return shown or words.gettext("as on the sheet of the week")
    told_ = could_lift_words(could_lift, words)
    return headed(shown, told_, words) if shown else told_


def kg_words(kg: float, words: Words) -> str:
    """Return "34 kg"."""
    return isolated(f"{number_words(kg, words)}\N{NO-BREAK SPACE}kg", words)


def could_lift_words(could_lift: int, words: Words) -> str:
    """Return "a weight you could lift about 20 times", or that it is easy."""
    if not is_felt(could_lift):
        return words.gettext(EASY_BRIEF)
    return words.gettext("a weight you could lift about {count} times").format(count=could_lift)


def dose_words(part: ResistanceWeek, words: Words) -> str:
    """Return "2 sets of 15 repeats of each"; where some have their own, what the others share."""
    if part.could_lift is None and not is_old(part):
        return doses.set_count_words(part.sets, words)
    shared = doses.sets_words(part.sets, part.reps, words)
    if any(one.reps is not None for one in part.exercises):
        return shared
    return words.gettext("{dose} of each").format(dose=shared)


def how_words(part: ResistanceWeek, words: Words) -> tuple[str, ...]:
    """Return how heavy, where to stop, and the repeats of what has its own."""
    return (*load_rule(part, words), *_own(part, words))


def load_rule(part: ResistanceWeek, words: Words) -> tuple[str, ...]:
    """Return how heavy, and where to stop; nothing where no exercise has a load."""
    return () if part.could_lift is None else (_stop(part, part.could_lift, words),)


def _own(part: ResistanceWeek, words: Words) -> tuple[str, ...]:
    """Return "7 repeats: Chair stand; Bridge." for each number of repeats."""
    by_reps: dict[int, list[str]] = {}
    for one in part.exercises:
        if one.reps is not None:
            name = words.gettext(EXERCISES[one.exercise].name)
            by_reps.setdefault(one.reps, []).append(name)
    return tuple(
        headed(
            line_start(doses.repeats_words(reps, words)),
            f"{words.gettext(';')} ".join(names) + ".",
            words,
        )
        for reps, names in by_reps.items()
    )


def _stop(part: ResistanceWeek, could_lift: int, words: Words) -> str:
    """Return "Use a weight you could lift about 20 times. Stop at 15 repeats."."""
    if not is_felt(could_lift):
        to_find = any(_takes_load(one) and one.load_kg is None for one in part.exercises)
        return words.gettext(EASY if to_find else EASY_KNOWN)
    line = words.gettext("Use a weight you could lift about {count} times. Stop at {repeats}.")
    return line.format(count=could_lift, repeats=doses.repeats_words(part.reps, words))
