"""The figures of the clinic: each with its group, its people, and what it is counted of.

Each is a row of a tidy table; the page, its pictures and the file show the same rows.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from patients.facts.codes import SCAN_SITES
from patients.measured.density import SITES
from patients.measured.function_tests import CHANGE_THAT_COUNTS, LABELS
from programs.outcomes import intervals
from programs.outcomes.counted import Now, Person
from programs.outcomes.intervals import Estimate
from programs.outcomes.small_groups import (
    FEWER,
    KEPT_BACK,
    LEAST_OF_GROUP,
    is_small,
    of_all,
    split,
    with_another,
)
from safety.findings import Modality
from safety.modalities import MODALITIES

#: RMS-SD in g/cm2 by site, of each scanner by its name in small letters.
ClinicErrors = Mapping[str, Mapping[str, float]]
PER_SESSIONS = 1000
TODAY, ADHERENCE, HARMS, FUNCTION, DENSITY = (
    *("where they are today", "sessions done", "harms"),
    *("function tests", "bone density"),
)
DONE, MIDDLE = "of all planned, done", "of each person, done"
_UNITS = {"gait_m_s": "m/s", "sppb": "points", "up_and_go_s": "s", "chair_stands_30s": "stands"}
_UNITS["grip_kg"] = "kg"
VERDICTS = {
    "gain": "gain beyond the error",
    "within_error": "within the error",
    "loss": "loss beyond the error",
    "not_comparable": "not comparable",
}


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure of one group.

    people, of_people   how many, and of how many; as far as it may be told
    count, per          what was counted, and of how many it is counted; empty where nothing is
    estimate            None where it is not told, or there is nothing to tell
    range_is            what the ends of the range are
    better              1 where more is better, -1 where less is, 0 where neither
    scale               what one step of the picture is worth; 1 where it is the unit
    """

    topic: str
    group: str
    measure: str
    people: str
    of_people: str
    count: str = ""
    per: str = ""
    per_is: str = ""
    estimate: Estimate | None = None
    unit: str = ""
    range_is: str = ""
    decimals: int = 1
    better: int = 0
    scale: float = 1.0


Everybody = Sequence[Person]


def figures(people: Everybody, errors: ClinicErrors) -> tuple[Figure, ...]:
    """Return all figures of ten people or more."""
    return (
        *_today(people),
        *_adherence(people),
        *_harms(people),
        *_function(people),
        *_density(people, errors),
    )


def _today(people: Everybody) -> Iterator[Figure]:
    counted = Counter(one.standing for one in people)
    told = split({now: counted[now] for now in Now})
    for now in Now:
        yield Figure(
            topic=TODAY,
            group="everybody",
            measure=now,
            people=told[now],
            of_people=str(len(people)),
        )


def _adherence(people: Everybody) -> Iterator[Figure]:
    shares = {m: [s for one in people if (s := one.percent(m)) is not None] for m in Modality}
    told = with_another({m: len(held) for m, held in shares.items()})
    for modality, held in shares.items():
        if held and told[modality]:
            yield from _done(people, modality, held)
            continue
        size = len(held)
        yield Figure(
            topic=ADHERENCE,
            group=MODALITIES[modality].name,
            measure=DONE,
            people=of_all(size, len(people)) if is_small(size) or not size else KEPT_BACK,
            of_people=str(len(people)),
        )


def _done(people: Everybody, modality: Modality, shares: Sequence[float]) -> Iterator[Figure]:
    both = [one.sessions(modality) for one in people]
    planned, done = sum(p for p, _ in both), sum(d for _, d in both)
    name, size = MODALITIES[modality].name, of_all(len(shares), len(people))
    yield Figure(
        topic=ADHERENCE,
        group=name,
        measure=DONE,
        people=size,
        of_people=str(len(people)),
        count=f"{done:g}",
        per=str(planned),
        per_is="sessions planned",
        estimate=Estimate(value=100 * done / planned, low=None, high=None),
        unit="%",
    )
    yield Figure(
        topic=ADHERENCE,
        group=name,
        measure=MIDDLE,
        people=size,
        of_people=str(len(people)),
        estimate=intervals.middle_half(shares),
        unit="%",
        range_is="quartiles",
    )


_HARMS: Mapping[str, Callable[[Person], int]] = {
    "falls": lambda one: one.falls,
    "broken bones": lambda one: one.breaks,
    "warning signs": lambda one: one.flags,
    "pain that stops": lambda one: one.pain_stops,
}


def _harms(people: Everybody) -> Iterator[Figure]:
    sessions = sum(one.done for one in people)
    for name, of in _HARMS.items():
        days = [of(one) for one in people]
        met = sum(day > 0 for day in days)
        told = not is_small(met)
        rate = intervals.rate(sum(days), sessions, PER_SESSIONS) if told else None
        yield Figure(
            topic=HARMS,
            group="everybody",
            measure=name,
            people=of_all(met, len(people)),
            of_people=str(len(people)),
            count=str(sum(days)) if told else "",
            per=str(sessions),
            per_is="sessions done",
            estimate=rate,
            unit=f"days per {PER_SESSIONS} sessions",
            range_is="95 % interval, Poisson",
            decimals=2,
            better=-1,
        )


def _function(people: Everybody) -> Iterator[Figure]:
    for code, (counts_from, better) in CHANGE_THAT_COUNTS.items():
        changes = [change for one in people if (change := one.change(code)) is not None]
        yield Figure(
            topic=FUNCTION,
            group="tested before and after",
            measure=LABELS[code],
            people=of_all(len(changes), len(people)),
            of_people=str(len(people)),
            estimate=intervals.mean(changes) if len(changes) >= LEAST_OF_GROUP else None,
            unit=_UNITS[code],
            range_is="95 % interval, t",
            decimals=2,
            better=better,
            scale=counts_from,
        )


def _density(people: Everybody, errors: ClinicErrors) -> Iterator[Figure]:
    for site in SITES:
        looks = [change for one in people if (change := one.density_change(site, errors))]
        everybody, group = str(len(people)), SCAN_SITES[site].capitalize()
        told = of_all(len(looks), len(people))
        yield Figure(
            topic=DENSITY,
            group=group,
            measure="scanned before, and a year after",
            people=told,
            of_people=everybody,
        )
        if not looks or told == FEWER:
            continue
        counted = Counter(change.verdict for change in looks)
        cells = split({code: counted[code] for code in VERDICTS})
        for code, words in VERDICTS.items():
            yield Figure(
                topic=DENSITY, group=group, measure=words, people=cells[code], of_people=told
            )
