"""What two people of the invented clinic wrote down of their sessions."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from programs.review.adherence import Planned, Session
from safety.findings import Modality

#: Of so many planned sessions in a row, one is missed; posture loses interest later on.
_MISSED_EVERY = {
    Modality.PLATE: 11,
    Modality.RESISTANCE: 9,
    Modality.IMPACT: 8,
    Modality.BALANCE: 7,
    Modality.POSTURE: 7,
}
_POSTURE_LAPSES = 6
_FALL_WEEK = 5


def sessions(planned: Planned, weeks: int) -> Iterator[tuple[int, list[Session]]]:
    """Yield each week with its sessions: mostly done, some in part, some missed."""
    nth = dict.fromkeys(Modality, 0)
    for week in range(1, weeks + 1):
        held = []
        for modality in planned.modalities:
            for on in planned.days(week, modality)[: planned.sessions(week, modality)]:
                nth[modality] += 1
                held.append(_session(Session(on=on, modality=modality, done="all"), nth, week))
        yield week, sorted(held, key=lambda one: one.on)


def _session(one: Session, nth: dict[Modality, int], week: int) -> Session:
    count = nth[one.modality]
    lapsed = one.modality is Modality.POSTURE and week > _POSTURE_LAPSES
    missed = count % 3 > 0 if lapsed else count % _MISSED_EVERY[one.modality] == 0
    if missed:
        return replace(one, done="none", fell=False)
    done = "part" if count % 10 == 6 else "all"
    return replace(
        one,
        done=done,
        effort=3 + (count + week) % 4,
        pain=_pain(one.modality, count),
        fell=False,
        watched=True if one.modality is Modality.PLATE and count == 1 else None,
    )


def _pain(modality: Modality, count: int) -> int:
    return (0, 1, 0, 2, 1, 0, 3)[count % 7] if modality is not Modality.BALANCE else 0


def with_sore_knee(week: int, held: list[Session]) -> list[Session]:
    """In week 8 her knee hurt after the second impact session, and settled overnight."""
    jumps = [one for one in held if one.modality is Modality.IMPACT and one.pain is not None]
    if week != 8 or len(jumps) < 2:
        return held
    sore = replace(jumps[1], pain=5, pain_settled=True, note="right knee, gone by morning")
    return [sore if one is jumps[1] else one for one in held]


def with_fall(week: int, held: list[Session]) -> list[Session]:
    """In week 5 she fell on the way to her balance work; nothing is written down after it."""
    if week > _FALL_WEEK:
        return []
    balance = [one for one in held if one.modality is Modality.BALANCE]
    if week != _FALL_WEEK or not balance:
        return held
    fall = replace(balance[0], done="none", effort=None, pain=None, fell=True)
    fall = replace(fall, note="slipped on wet tiles at the back door, no injury")
    return [fall if one is balance[0] else one for one in held]
