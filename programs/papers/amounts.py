"""How much of one balance or posture exercise a session holds, so that nobody shares out minutes.

A week's minutes are shared evenly over its sessions and its exercises. A hold takes its seconds
and PAUSE_S to get steady again (a judgement, to be confirmed by the clinic); the count is never
more than its minutes hold. What has no hold goes on for its minutes. Where the program counts
repetitions itself, those are said.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from programs.exercises import EXERCISES
from programs.papers.paper_parts import Words
from programs.week.week import BalanceWeek, PostureWeek, Week, part_of
from safety.findings import Modality

PAUSE_S = 10
#: Minutes shorter than one are said in steps of so many seconds.
STEP_S = 10
#: A rest, not a move: there is nothing to count.
RESTS = frozenset({"lie_flat"})


@dataclass(frozen=True, kw_only=True)
class Amount:
    """What she does of one exercise in one session: holds or repeats, or seconds by the clock.

    count   None: it goes on for its seconds
    hold_s  of each hold; None: nothing is held
    """

    count: int | None = None
    hold_s: int | None = None
    seconds: int = 0


def amount(part: BalanceWeek | PostureWeek, code: str) -> Amount:
    """Return how much of one of the week's exercises a session holds."""
    held = EXERCISES[code].hold_s
    if isinstance(part, PostureWeek) and part.reps is not None and code not in RESTS:
        return Amount(count=part.reps, hold_s=None if held is None else part.hold_s or held)
    seconds = part.minutes * 60 // max(1, part.sessions * len(part.exercises))
    if held is not None:
        return Amount(count=max(1, seconds // (held + PAUSE_S)), hold_s=held)
    step = 60 if seconds >= 60 else STEP_S
    return Amount(seconds=max(step, seconds - seconds % step))


def amount_of(modality: Modality, code: str) -> Callable[[Week], Amount | None]:
    """Return what finds how much of a balance or posture exercise a week's session holds."""

    def of(week: Week) -> Amount | None:
        part = part_of(week, modality)
        if not isinstance(part, BalanceWeek | PostureWeek) or code not in part.exercises:
            return None
        return amount(part, code)

    return of


def amount_words(much: Amount, words: Words) -> str:
    """Return "12 holds of 10 seconds each", "8 times" or "4 minutes"."""
    if much.count is None:
        return _time_words(much.seconds, words)
    if much.hold_s is None:
        return words.ngettext("{count} time", "{count} times", much.count).format(count=much.count)
    told = words.ngettext(
        "{count} hold of {seconds} seconds",
        "{count} holds of {seconds} seconds each",
        much.count,
    )
    return told.format(count=much.count, seconds=much.hold_s)


def _time_words(seconds: int, words: Words) -> str:
    minutes = seconds // 60
    if minutes:
        return words.ngettext("{count} minute", "{count} minutes", minutes).format(count=minutes)
    return words.gettext("{count} seconds").format(count=seconds)
