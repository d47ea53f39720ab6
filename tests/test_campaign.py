"""The long runs count each breach by its property, show the first, and fail by any."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from hypothesis import strategies as st

from tests.campaign import Campaign, run
from tests.campaigns import CAMPAIGNS, main


def _odd_or_large(case: int) -> Iterator[str]:
    if case % 2:
        yield f"odd: {case}"
    if case > 90:
        yield f"large: {case} is over 90"


NUMBERS = Campaign(
    name="numbers", cases=st.integers(0, 99), breaches=_odd_or_large, many=60, few=10
)
SOUND = Campaign(name="sound", cases=st.integers(0, 99), breaches=lambda _: (), many=60, few=10)


def test_a_breach_is_counted_shown_and_fails() -> None:
    written: list[str] = []
    assert main((SOUND, NUMBERS), written.append) == 1
    assert written[0] == "sound: 60 tried, 0 breaches"
    outcome = run(NUMBERS, NUMBERS.many)
    assert set(outcome.breaches) == {"odd", "large"}
    assert written[1] == f"numbers: 60 tried, {outcome.breaches.total()} breaches"
    assert f"  odd: {outcome.breaches['odd']}" in written
    assert len([words for words in written if words.startswith("  odd: ")]) >= 2


def test_nothing_broken_passes() -> None:
    written: list[str] = []
    assert main((SOUND,), written.append) == 0
    assert written == ["sound: 60 tried, 0 breaches"]


def test_the_same_cases_come_each_time() -> None:
    assert run(NUMBERS, 40) == run(NUMBERS, 40)


@pytest.mark.slow
@pytest.mark.parametrize("campaign", CAMPAIGNS, ids=lambda one: one.name)
def test_a_thousand_people_break_nothing(campaign: Campaign) -> None:
    outcome = run(campaign, campaign.few)
    assert outcome.tried == campaign.few
    assert outcome.shown == []
