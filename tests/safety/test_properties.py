"""What holds for everyone, over facts documents at random."""

from __future__ import annotations

import json
from itertools import combinations
from typing import Any

import pytest
from hypothesis import HealthCheck, assume, event, example, given, settings
from hypothesis import strategies as st

from programs.draft.days import gap_days
from programs.draft.document import answer
from tests.documents import Document, documents
from tests.people import laid_over, steady_document
from tests.programs.draft.campaigns import ENOUGH_TIME, never_looser
from tests.safety.worse import CHANGES, RIPE, made_worse

MODALITIES = ("plate", "resistance", "impact", "balance", "posture")
WALKING_BW = 1.5
#: The most of each group (rulebook rows 19 and 20).
PERCENT = {"A": 80, "B": 75, "B supervised": 80, "C": 70}
IMPACT_BW = {"A": 4.0, "B": 3.0, "C": WALKING_BW}


def drafted(document: Document) -> dict[str, Any]:
    """Return the draft/1 document, which must be one and must be JSON."""
    found = answer(document)
    assert "errors" not in found, found
    json.dumps(found, allow_nan=False)
    return found


def weeks_of(draft: dict[str, Any], modality: str) -> list[dict[str, Any]]:
    return [week[modality] for week in draft["weeks"] if week[modality]]


@pytest.mark.slow
@settings(max_examples=1000)
@given(documents)
@example(
    {"format": "facts/1", "as_of": "2026-03-02", "person": {"born": "1960-08-14", "sex": "male"}}
)
@example(steady_document())
@example(steady_document(resources={"days": []}))
@example(steady_document(resources={"minutes_per_day": 2, "plates": []}))
def test_everyone_is_drafted_within_the_limits(document: Document) -> None:
    draft = drafted(document)
    event("with weeks" if draft["weeks"] else "without weeks")
    assert len(draft["weeks"]) in (0, 26)
    assert draft["issuable"] == bool(draft["timetable"])
    _only_included_stand_in_weeks(draft)
    _plate_keeps_its_limits(draft)
    _lifting_keeps_its_limits(draft, document)
    _impact_keeps_its_limits(draft)
    _time_is_kept(draft, document.get("resources", {}))


def _only_included_stand_in_weeks(draft: dict[str, Any]) -> None:
    for modality in MODALITIES:
        if draft["modalities"][modality]["status"] != "included":
            assert not weeks_of(draft, modality)
    if any(f["level"] == "refer" and f["rule"].startswith("red_flag") for f in draft["findings"]):
        cleared = [f for f in draft["findings"] if f["rule"] == "red_flag.blackout"]
        assert not draft["weeks"] or all(f["cleared"] for f in cleared)


def _plate_keeps_its_limits(draft: dict[str, Any]) -> None:
    for week in weeks_of(draft, "plate"):
        gentle = week["displacement_mm"] is None
        assert week["peak_g"] <= 4.0
        assert week["vibration_min"] <= (20 if gentle else 15)
        assert week["sessions"] <= (5 if gentle else 3)
        assert week["rail"]
        if not gentle:
            assert week["frequency_hz"] <= 40
            assert week["displacement_mm"] <= 5
            assert week["displacement_mm"] <= 2.5 or week["frequency_hz"] <= 20
            assert _apart(days_of(draft, "plate"))
        if is_fragile(draft):
            assert week["peak_g"] <= 1.0
            assert week["supervised"]


def is_fragile(draft: dict[str, Any]) -> bool:
    """Read row 14 off the answer itself."""
    found = draft["assessment"]
    vertebra = any(
        "vertebra" in f["text"].casefold() and f["rule"] == "fragile_spine.plate"
        for f in draft["findings"]
    )
    faller = any(f["rule"] == "falls.high.impact" for f in draft["findings"])
    very_high = found["fracture_risk"] == "very_high"
    return faller or very_high or found["age"] >= 80 or (vertebra and _has_vertebral(draft))


def _has_vertebral(draft: dict[str, Any]) -> bool:
    return any(r["rule"] == "fracture_risk.two_vertebral" for r in draft["assessment"]["reasons"])


def _lifting_keeps_its_limits(draft: dict[str, Any], document: Document) -> None:
    supervised = document.get("resources", {}).get("supervised") == "yes"
    for week in weeks_of(draft, "resistance"):
        watched = " supervised" if week["group"] == "B" and supervised else ""
        # What has no load in kg has no share of a maximum either.
        assert (week["percent_1rm"] or 0) <= PERCENT[week["group"] + watched]
        assert week["percent_1rm"] is None or week["reps_in_reserve"] >= 2
        assert week["sessions"] <= 2
    assert _apart(days_of(draft, "resistance"))


def _impact_keeps_its_limits(draft: dict[str, Any]) -> None:
    groups = {week["group"] for week in weeks_of(draft, "resistance")}
    assert len(groups) <= 1
    for week in weeks_of(draft, "impact"):
        assert week["peak_bw"] <= max((IMPACT_BW[group] for group in groups), default=WALKING_BW)
        # Walking may be on every day she has (rulebook row 20).
        assert week["sessions"] <= 5 or week["peak_bw"] <= WALKING_BW
        assert (week["impacts"] or 0) <= 50
        assert (week["minutes"] or 0) <= 20


def _time_is_kept(draft: dict[str, Any], resources: Document) -> None:
    days = resources.get("days", ["mon", "wed", "fri"])
    minutes = len(days) * resources.get("minutes_per_day", 30)
    for week in draft["weeks"]:
        assert week["minutes"] <= minutes + 0.05
    assert set(draft["timetable"]) <= set(days)


def days_of(draft: dict[str, Any], modality: str) -> list[str]:
    return [day for day, held in draft["timetable"].items() if modality in held]


def _apart(days: list[str]) -> bool:
    """Two sessions are never on neighbouring days; the week's end counts."""
    return all(gap_days(a, b) >= 2 for a, b in combinations(days, 2))


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(CHANGES))
def test_a_worse_fact_never_loosens(name: str) -> None:
    """Each fact by some dozens; a thousand people at random are a campaign of tests/programs."""
    tried = 0

    @settings(max_examples=25, suppress_health_check=[HealthCheck.filter_too_much])
    @given(documents, st.data())
    def never(document: Document, data: st.DataObject) -> None:
        nonlocal tried
        better = laid_over(document, {**RIPE.get(name, {}), "symptoms": {"otherwise": "no"}})
        better = laid_over(better, {"resources": ENOUGH_TIME})
        worse = made_worse(better, name, data.draw)
        assume(worse is not None)
        tried += 1
        assert list(never_looser((name, better, worse))) == []

    never()
    assert tried >= 10
