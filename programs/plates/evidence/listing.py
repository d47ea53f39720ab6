"""Trials and pooled analyses as one list that is filtered and sorted."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from programs.plates.evidence.balance import TRIALS
from programs.plates.evidence.pooled import POOLED
from programs.plates.evidence.trial import Checked, Direction, Measure, Pooled, Trial

TRIAL_CERTAINTY = "one trial"
#: What may be asked for, by the word that stands in an address.
CERTAINTIES: Mapping[str, str] = {
    "high": "high",
    "moderate": "moderate",
    "low": "low",
    "not_graded": "no grade read",
    "trial": TRIAL_CERTAINTY,
}
CHECKS: Mapping[str, Checked] = {
    "checked": Checked.CHECKED,
    "abstract": Checked.ABSTRACT,
    "second_hand": Checked.SECOND_HAND,
    "memory": Checked.MEMORY,
}


@dataclass(frozen=True, kw_only=True)
class Result:
    """One result of a trial or of a pooled analysis, and how it is known."""

    aims: tuple[str, ...]
    measure: Measure
    direction: Direction
    effect: str
    interval: str
    certainty: str
    checked: Checked


@dataclass(frozen=True, kw_only=True)
class Listed:
    """One trial or pooled analysis.

    pooled         a meta-analysis or a systematic review
    counted        what the studies of a pooled analysis are
    motions        kinds of plate; empty where several were pooled or none was read
    off            printed against computed motion, where the printed g follows from neither
    retracted_on   it is listed, and no result of it is used
    """

    citation: str
    identifier: str
    pooled: bool
    year: int
    people: int | None
    studies: int | None
    counted: str
    who: str
    motions: tuple[str, ...]
    motion_sure: bool
    dose: str
    months: float | None
    results: tuple[Result, ...]
    checked: frozenset[Checked]
    off: tuple[str, ...]
    harms: str
    note: str
    retracted_on: dt.date | None


@dataclass(frozen=True, kw_only=True)
class Choice:
    """What is asked for; an empty word asks for all. Order is a key of ORDERS."""

    aim: str = ""
    motion: str = ""
    certainty: str = ""
    checked: str = ""
    order: str = "author"


def listed(choice: Choice) -> tuple[Listed, ...]:
    """Return what is asked for, each with only those of its results that are.

    A retracted trial has no result that could be asked for, so that it stays in every list of
    its kind. A pooled analysis holds several kinds and is in no list of one kind.
    """
    rows = (*map(_trial, TRIALS), *map(_pooled, POOLED))
    kept = (_with_results(row, choice) for row in rows if _of_kind(row, choice))
    shown = [row for row in kept if row.results or row.retracted_on]
    return tuple(sorted(shown, key=ORDERS[choice.order]))


def _of_kind(row: Listed, choice: Choice) -> bool:
    kind = not choice.motion or choice.motion in row.motions
    return kind and (not choice.checked or CHECKS[choice.checked] in row.checked)


def _with_results(row: Listed, choice: Choice) -> Listed:
    return replace(row, results=tuple(r for r in row.results if _asked_for(r, choice)))


def _asked_for(result: Result, choice: Choice) -> bool:
    graded = result.certainty.startswith(CERTAINTIES.get(choice.certainty, ""))
    known = not choice.checked or result.checked is CHECKS[choice.checked]
    return graded and known and (not choice.aim or choice.aim in result.aims)


def _author(row: Listed) -> tuple[str, int]:
    return row.citation.partition(",")[0].casefold(), row.year


ORDERS: Mapping[str, Callable[[Listed], tuple[object, ...]]] = {
    "author": _author,
    "year": lambda row: (-row.year, *_author(row)),
    "people": lambda row: (-(row.people or 0), *_author(row)),
    "months": lambda row: (-(row.months or 0), *_author(row)),
}


def _year(citation: str) -> int:
    found = re.search(r"\b(?:19|20)\d\d\b", citation)
    assert found is not None
    return int(found[0])


def _trial(trial: Trial) -> Listed:
    results = tuple(
        Result(
            aims=one.aims,
            measure=one.measure,
            direction=one.direction,
            effect=one.effect,
            interval="",
            certainty=TRIAL_CERTAINTY,
            checked=one.checked,
        )
        for one in trial.outcomes
    )
    return Listed(
        citation=trial.citation,
        identifier=trial.identifier,
        pooled=False,
        year=_year(trial.citation),
        people=trial.people,
        studies=None,
        counted="",
        who=trial.who,
        motions=trial.motions,
        motion_sure=trial.motion_sure,
        dose=trial.dose,
        months=trial.months,
        results=results,
        checked=frozenset({trial.checked, *(one.checked for one in results)}),
        off=tuple(printed.comparison for printed in trial.disagreements),
        harms=trial.harms,
        note=trial.note,
        retracted_on=trial.retracted_on,
    )


def _pooled(pooled: Pooled) -> Listed:
    results = tuple(
        Result(
            aims=one.aims,
            measure=one.measure,
            direction=one.direction,
            effect=one.effect,
            interval=one.interval,
            certainty=one.certainty,
            checked=one.checked,
        )
        for one in pooled.outcomes
    )
    return Listed(
        citation=pooled.citation,
        identifier=pooled.identifier,
        pooled=True,
        year=_year(pooled.citation),
        people=pooled.people,
        studies=pooled.studies,
        counted=pooled.counted,
        who="",
        motions=(),
        motion_sure=True,
        dose="",
        months=None,
        results=results,
        checked=frozenset(one.checked for one in results),
        off=(),
        harms="",
        note=pooled.note,
        retracted_on=None,
    )
