"""Lifting what a fragile person is held to on the plate, one step a review (rulebook row 14)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from patients.measured.newest_tests import TestsOnDay
from programs.dose.balance import STANCES
from programs.draft import person
from programs.draft.resume import CAP_STEPS, FRAGILE_CAP, MOST_CAP_G
from programs.review.events import CONDITION, Event
from programs.review.ledger import Ledger
from programs.review.precautions_to_lift import PAIN_EASY, WEEKS_DONE, WEEKS_OF_A_FALLER
from safety.findings import Modality
from safety.screen import Screen


@dataclass(frozen=True, kw_only=True)
class Cap:
    """The cap that the next draft has, and why it is not lifted; None: there is none.

    granted   it is lifted by a step
    """

    g: float | None
    granted: bool
    against: tuple[str, ...]


def cap_after(
    ledger: Ledger, today: Screen, events: Sequence[Event], wanted: Iterable[float | None]
) -> Cap:
    """Return the cap after a review.

    wanted   what the clinician asks for; nothing where she asks for none

    A fall, a broken bone or a warning sign takes back what was lifted.
    """
    held = ledger.held.resume
    now = None if FRAGILE_CAP in held.lifted else held.plate_cap_g
    if any(one.what != CONDITION for one in events):
        now = CAP_STEPS[0]
    against = tuple(_against(ledger, today, events, now))
    asks = [want for want in wanted if _step_of(want) > _step_of(now)]
    granted = bool(asks) and not against
    return Cap(g=CAP_STEPS[_step_of(now) + 1] if granted else now, granted=granted, against=against)


def _step_of(cap: float | None) -> int:
    return CAP_STEPS.index(cap)


def _against(
    ledger: Ledger, today: Screen, events: Sequence[Event], now: float | None
) -> Iterator[str]:
    """Say all that speaks against the next step."""
    done = len(ledger.weeks_done(Modality.PLATE))
    before, signed = ledger.held.made.screen.situation, ledger.held.facts
    faller = "high" in {one.fall_risk.drafted_as for one in (before, today.situation)}
    wanted = WEEKS_OF_A_FALLER if faller else WEEKS_DONE
    entries = [one for one in ledger.entries if one.known_on >= ledger.held.signed_on]
    trained = [one for one in entries if one.trained]
    top = _step_of(MOST_CAP_G) if person.cap_stays(today) else len(CAP_STEPS) - 1
    rules = (
        (not today.situation.fragile, "Nothing caps the plate's peak."),
        (_step_of(now) >= top, "It is lifted as far as it may be."),
        (done < wanted, f"{done} weeks of the plate were done under it, {wanted} are needed."),
        (any(one.what != CONDITION for one in events), "A fall, a broken bone or a warning sign."),
        (any((one.pain or 0) > PAIN_EASY for one in entries), f"Pain above {PAIN_EASY}."),
        (any(one.pain is None for one in trained), "Pain was not recorded for every session."),
        (any(one.fell is None for one in trained), "Falls were not asked about in every session."),
        (
            faller and not stances_no_worse(before.tests, today.situation.tests, signed.as_of),
            "Fall risk is high, and the stance tests were not repeated, or are worse.",
        ),
    )
    yield from (words for holds, words in rules if holds)


def stances_no_worse(before: TestsOnDay, now: TestsOnDay, since: dt.date) -> bool:
    """Tell whether stance tests were repeated after a day and none of them is worse.

    Not possible counts as 0 seconds.
    """
    days = {code: now.days.get(code) for code in STANCES}
    repeated = [code for code, day in days.items() if day is not None and day > since]
    worse = (_held_s(now, code) < _held_s(before, code) for code in repeated)
    return bool(repeated) and not any(worse)


def _held_s(tests: TestsOnDay, code: str) -> float:
    held: float | None = getattr(tests.newest, code)
    return held or 0.0
