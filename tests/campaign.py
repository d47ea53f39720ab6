"""A long run over people at random, and what came of it: breaches counted by property."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

#: Breaches shown in full; the others are only counted.
SHOWN = 3


@dataclass(frozen=True, kw_only=True)
class Campaign:
    """One long run.

    cases      what is drawn at random; the same cases in the same order every time
    breaches   yields what is wrong with one case, in words; those up to the first colon name
               the property, and are counted together
    many       cases of the long run
    few        cases of the tests
    """

    name: str
    cases: st.SearchStrategy[Any]
    breaches: Callable[[Any], Iterable[str]]
    many: int = 20_000
    few: int = 1_000


@dataclass(kw_only=True)
class Outcome:
    """What came of a run: cases tried, breaches by property, and the first of them in full."""

    tried: int = 0
    breaches: Counter[str] = field(default_factory=Counter)
    shown: list[str] = field(default_factory=list)


def run(campaign: Campaign, cases: int) -> Outcome:
    """Run so many cases of a campaign. A case may break several properties, each counted once."""
    outcome = Outcome()

    @settings(
        max_examples=cases,
        derandomize=True,
        database=None,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    @given(campaign.cases)
    def tried(case: Any) -> None:
        outcome.tried += 1
        found = {words.partition(":")[0]: words for words in campaign.breaches(case)}
        outcome.breaches.update(found.keys())
        for words in found.values() if len(outcome.shown) < SHOWN else ():
            outcome.shown.append(f"{words}\n    {json.dumps(case, default=str)}")

    tried()
    return outcome
