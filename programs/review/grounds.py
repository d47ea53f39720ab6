"""What the log of one modality leads to (rulebook rows 26a and 26b): all rules that apply."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from patients.facts.in_words import day_text
from programs.review.adherence import (
    RECENT_WEEKS,
    Planned,
    Seen,
    Session,
    WeekCount,
    mean_effort,
    percent,
)
from programs.review.facts_from_log import FALLS, was_asked
from programs.review.next_steps import Ground, Next
from programs.review.precautions_to_lift import ADVANCE_PERCENT, PAIN_EASY
from programs.week.week import Part, ResistanceWeek
from safety.findings import Modality
from safety.sources import cite

HOLD_PERCENT = 50
#: From here on a program does not go on as it is.
PAIN_STOP = 6
#: Pain of 4 or 5 that settled holds for so many full weeks.
PAIN_WEEKS = 4
#: Days since it was last done, where a session was missed since: the first of each band.
GAP_HOLD_DAYS, GAP_ONE_STEP_DAYS, GAP_TWO_STEPS_DAYS, GAP_START_AGAIN_DAYS = 8, 14, 22, 56
#: Effort so far above plan, or so hard so often, holds.
EFFORT_ABOVE, EFFORT_HARD, HARD_TIMES = 2, 9, 2
#: How it should feel where so much is left that nobody can count it (row 19a).
EFFORT_EASY = 3

_ADHERENCE = cite("project", "kelley2013")
_PAIN = cite("pain", "project")
_GAP = cite("project", "detraining")
_PROJECT = cite("project")


@dataclass(frozen=True, kw_only=True)
class Since:
    """What a review reads: entries of after the last one, by their day or by when they came in.

    review   the day of the last review; None: there was none, and all is read
    asked    when each section of the facts was last asked
    """

    review: dt.date | None
    asked: Mapping[str, dt.date]

    def read(self, entries: Iterable[Session]) -> list[Session]:
        """Return the entries that no review has read."""
        return [one for one in entries if self.review is None or one.known_on > self.review]


def by_log(seen: Seen, reached: int, since: Since) -> list[Ground]:
    """Return all that the log of one modality leads to."""
    return [
        _by_adherence(seen),
        *_never(seen, reached),
        *_by_effort(seen),
        *_by_too_many(seen),
        *_by_pain(seen, since),
        *_by_gap(seen),
    ]


# --- Adherence and effort -------------------------------------------------------------------


def _by_adherence(seen: Seen) -> Ground:
    done = seen.percent(seen.last)
    if done is None:
        words = "No full week with a session of it is over yet; nothing advances before."
        return Ground(next=Next.HOLD, text=words, sources=_ADHERENCE)
    chosen, words = _adherence_next(seen, done)
    return Ground(
        next=chosen,
        text=f"{done_words(seen.last)} {words}",
        sources=_ADHERENCE,
        entries=tuple(one for week in seen.last for one in seen.in_week(week.week)),
    )


def _adherence_next(seen: Seen, done: float) -> tuple[Next, str]:
    each = [one.percent for one in seen.last]
    if all(one is not None and one < HOLD_PERCENT for one in each):
        words = f"Under {HOLD_PERCENT} % in each week: simplify before adding anything."
        return Next.SIMPLIFY, words
    if done < ADVANCE_PERCENT:
        return Next.HOLD, f"Under {ADVANCE_PERCENT} % holds."
    if not all(_pain_told(seen, week) for week in seen.last):
        return (
            Next.HOLD,
            "Pain was not recorded in each of these weeks: not known does not mean none.",
        )
    return Next.ADVANCE, f"{ADVANCE_PERCENT} % or more may advance."


def _pain_told(seen: Seen, week: WeekCount) -> bool:
    return any(one.trained and one.pain is not None for one in seen.in_week(week.week))


def done_words(weeks: Sequence[WeekCount]) -> str:
    """Return what was done in some weeks, in words; the percent is rounded down."""
    wanted, logged = sum(one.planned for one in weeks), sum(one.logged for one in weeks)
    done = sum(one.done for one in weeks)
    span = " and ".join(str(one.week) for one in weeks)
    missing = f", {wanted - logged} not logged" if logged < wanted else ""
    shown = math.floor(percent(done, wanted))
    of = f"week{'s' if len(weeks) > 1 else ''} {span}"
    return f"{done:g} of {wanted} sessions in {of} ({shown} %{missing})."


def _never(seen: Seen, reached: int) -> Iterator[Ground]:
    if not reached:
        words = "No week of it was done yet: from place 1 of the ramp."
        none = "" if seen.entries else " Nothing is logged; if there was training, log it first."
        yield Ground(next=Next.START_AGAIN, text=f"{words}{none}", sources=_GAP)


def planned_effort(part: Part | None) -> int | None:
    """Return the effort of 0 to 10 that a dose is planned for; None where none is said.

    Of lifting by the repetitions left: one more left is one less effort, and easy where more
    are left than anybody counts.
    """
    if not isinstance(part, ResistanceWeek) or part.reps_in_reserve is None:
        return None
    return max(EFFORT_EASY, 10 - part.reps_in_reserve)


def _by_effort(seen: Seen) -> Iterator[Ground]:
    mean = mean_effort(seen.modality, seen.recent, seen.recent_from, seen.day)
    plan = planned_effort(seen.planned.dose(max(1, seen.full), seen.modality))
    hard = tuple(one for one in seen.recent if (one.effort or 0) >= EFFORT_HARD)
    if mean is not None and plan is not None and mean >= plan + EFFORT_ABOVE:
        words = f"Effort {mean:.1f} on average, planned {plan}: hold, and find the load again."
        yield Ground(next=Next.HOLD, text=words, sources=_PROJECT)
    if len(hard) >= HARD_TIMES:
        often = f"Effort {EFFORT_HARD} or 10 in {len(hard)} sessions"
        words = f"{often}: hold, and find the load again."
        yield Ground(next=Next.HOLD, text=words, sources=_PROJECT, entries=hard)


def _by_too_many(seen: Seen) -> Iterator[Ground]:
    over = [sum(one.trained for one in seen.in_week(n.week)) > n.planned for n in seen.last]
    if len(over) == RECENT_WEEKS and all(over):
        words = "More sessions than planned in both weeks: hold, and say that more is not better."
        yield Ground(next=Next.HOLD, text=words, sources=_PROJECT)


# --- Pain -----------------------------------------------------------------------------------


def _by_pain(seen: Seen, since: Since) -> Iterator[Ground]:
    near = seen.planned.first_day(seen.full + 1 - PAIN_WEEKS)
    felt = [one for one in since.read(seen.entries) if (one.pain or 0) > PAIN_EASY]
    counts = [one for one in felt if pain_next(one) is not Next.HOLD or one.on >= near]
    for chosen, words in _PAIN_WORDS.items():
        entries = tuple(one for one in counts if pain_next(one) is chosen)
        if entries:
            yield Ground(next=chosen, text=words, sources=_PAIN, entries=entries)


def pain_next(one: Session) -> Next:
    """Return what pain above 3 leads to; not known to have settled is not settled."""
    strong, settled = (one.pain or 0) >= PAIN_STOP, one.pain_settled is True
    if strong:
        return Next.BACK_ONE if settled else Next.STOP
    return Next.HOLD if settled else Next.BACK_ONE


_PAIN_WORDS: Mapping[Next, str] = {
    Next.HOLD: "Pain of 4 or 5 that settled within 24 hours, in the last four weeks, holds.",
    Next.BACK_ONE: "Pain of 4 or 5 that did not settle within 24 hours, or is not known to "
    "have, and pain of 6 or more that did: step back.",
    Next.STOP: "Pain of 6 or more that did not settle within 24 hours, or is not known to "
    "have: stop and look.",
}


def alarming(one: Session) -> bool:
    """Tell whether an entry is to be looked at before anything else."""
    hurt = one.pain is not None and one.pain > PAIN_EASY
    told = bool(one.fell) or bool(one.red_flag) or bool(one.broke)
    return told or (hurt and pain_next(one) is not Next.HOLD)


# --- Gaps -----------------------------------------------------------------------------------


def _by_gap(seen: Seen) -> Iterator[Ground]:
    days = seen.gap_days
    if days is None or days < GAP_HOLD_DAYS:
        return
    last = seen.last_done
    when = f"since it was last done, on {day_text(last)}" if last else "and none of it done"
    chosen = gap_next(days)
    words = f"{days} days {when}. {_GAP_WORDS[chosen]}"
    yield Ground(next=chosen, text=words, sources=_GAP)


def gap_next(days: int) -> Next:
    """Return what so many days without a session lead to, from 8 on."""
    if days < GAP_ONE_STEP_DAYS:
        return Next.HOLD
    if days < GAP_TWO_STEPS_DAYS:
        return Next.BACK_ONE
    return Next.BACK_TWO if days < GAP_START_AGAIN_DAYS else Next.START_AGAIN


_GAP_WORDS: Mapping[Next, str] = {
    Next.HOLD: "Missed a week: the last week done again.",
    Next.BACK_ONE: "Two to three weeks: one step back.",
    Next.BACK_TWO: "More than three weeks: two steps back.",
    Next.START_AGAIN: "Eight weeks or more: start again, and sign again.",
}


# --- Falls that nobody wrote down -----------------------------------------------------------

#: What holds until falls were asked about.
HELD_UNTIL_ASKED = frozenset({Modality.PLATE, Modality.IMPACT, Modality.BALANCE})


def weeks_without_falls_told(
    planned: Planned, entries: Iterable[Session], since: Since
) -> tuple[int, ...]:
    """Return the weeks that were trained, in none of whose entries a fall was asked about.

    A week is left out where falls were asked about on its last day with an entry, or later.
    """
    weeks: dict[int, list[Session]] = {}
    for one in entries:
        weeks.setdefault(planned.week_of(one.on), []).append(one)
    return tuple(week for week, held in sorted(weeks.items()) if _untold(held, since))


def _untold(held: Sequence[Session], since: Since) -> bool:
    trained = [one for one in held if one.trained]
    told = any(one.fell is not None for one in held)
    if told or not trained or not since.read(trained):
        return False
    return not was_asked(FALLS, max(one.on for one in trained), since.asked)


def by_untold_falls(modality: Modality, weeks: Sequence[int]) -> Iterator[Ground]:
    """Yield the hold of what a fall speaks against, until falls were asked about."""
    if weeks and modality in HELD_UNTIL_ASKED:
        named = ", ".join(map(str, weeks))
        words = f"Falls were written down in no entry of week {named}: hold until asked."
        yield Ground(next=Next.HOLD, text=words, sources=_PROJECT)
