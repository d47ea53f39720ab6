"""The cap on the plate of a fragile person: one step a review, and what speaks against (row 14)."""

from __future__ import annotations

from typing import Any

import pytest

from programs.draft import person
from programs.draft.resume import FRAGILE_CAP, Resume
from programs.review.adherence import Session
from programs.review.ledger import InForce
from programs.review.plate_cap import Cap
from safety.screen import screen
from tests.people import steady
from tests.programs.followups import FALLER, after, done, in_force, reviewed

OLD: dict[str, Any] = {"person": {"born": "1939-10-01"}, "resources": {"supervised": "yes"}}
STANCES = {"side_by_side_s": 10, "semi_tandem_s": 10, "tandem_s": 10}


def old(**changes: Any) -> Any:
    return steady(**OLD | changes)


def held_to(cap_g: float | None, **changes: Any) -> InForce:
    return in_force(old(**changes), Resume(plate_cap_g=cap_g))


def cap(held: InForce, weeks: int, log: list[Session] | None = None, **more: Any) -> Cap:
    entries = done(held, range(1, weeks + 1)) if log is None else log
    told: dict[str, Any] = {"wanted_caps": (None,)}
    return reviewed(held, entries, after(weeks), **told | more).cap


@pytest.mark.parametrize(
    ("now", "wanted", "weeks", "then"),
    [
        (1.0, 1.5, 4, 1.5),
        (1.0, 1.5, 3, 1.0),
        (1.0, 2.0, 4, 1.5),  # one step a review whatever is asked
        (1.0, None, 4, 1.5),
        (1.5, 2.0, 4, 2.0),
        (2.0, None, 4, None),
        (2.0, 1.5, 4, 2.0),  # nothing is asked that is not had
        (None, None, 4, None),
    ],
)
def test_one_step_a_review_after_four_weeks_under_it(
    now: float | None, wanted: float | None, weeks: int, then: float | None
) -> None:
    found = cap(held_to(now), weeks, wanted_caps=(wanted,))
    assert found.g == then
    assert found.granted is (then != now)


def test_nothing_is_lifted_unasked() -> None:
    found = cap(held_to(1.0), 4, wanted_caps=())
    assert (found.g, found.granted, found.against) == (1.0, False, ())


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ({"pain": 4, "pain_settled": True}, "Pain above 3"),
        ({"pain": None}, "Pain was not recorded"),
        ({"fell": None}, "Falls were not asked about"),
    ],
)
def test_trouble_under_the_cap_speaks_against(said: dict[str, Any], words: str) -> None:
    held = held_to(1.0)
    log = done(held, range(1, 5))
    log[0] = Session(**vars(log[0]) | said)
    found = cap(held, 4, log)
    assert (found.g, found.granted) == (1.0, False)
    assert any(words in one for one in found.against)


def test_a_fall_takes_back_what_was_lifted() -> None:
    held = held_to(2.0)
    log = done(held, range(1, 5))
    log[0] = Session(**vars(log[0]) | {"fell": True})
    assert cap(held, 4, log).g == 1.0


def test_a_new_illness_takes_nothing_back() -> None:
    ill = old(conditions={"osteoarthritis": {"answer": "yes", "degree": "moderate"}})
    assert cap(held_to(1.5), 4, facts=ill, wanted_caps=()).g == 1.5


def test_reviews_of_an_older_rulebook_had_lifted_it_altogether() -> None:
    held = in_force(old(), Resume(lifted=frozenset({FRAGILE_CAP})))
    assert cap(held, 4).g is None


SPINE = [{"site": "vertebra", "date": "2020-01-01", "low_trauma": "yes", "healed": "yes"}]
LEAVE = {"modalities": ["plate"], "by": "clinic", "on": "2026-01-01", "until": "2027-01-01"}
LOW_T = [{"date": "2026-01-20", "site": "total_hip", "t": -3.5}]


@pytest.mark.parametrize(
    ("changes", "then"),
    [
        ({}, None),
        ({"fractures": SPINE, "clearances": [{"for": "vertebral_fracture", **LEAVE}]}, 2.0),
        ({"scans": LOW_T, "clearances": [{"for": "low_t", **LEAVE}]}, 2.0),
        ({"scans": None}, None),
    ],
)
def test_with_a_vertebral_fracture_or_a_very_low_t_never_above_2_g(
    changes: dict[str, Any], then: float | None
) -> None:
    assert cap(held_to(2.0, **changes), 4).g == then
    screened = screen(old(**changes))
    assert person.plate_cap_g(screened, Resume(plate_cap_g=None)) == then
    assert person.plate_cap_g(screened, Resume(plate_cap_g=1.5)) == 1.5


def faller(**tests: Any) -> Any:
    rows = [steady_tests(), {"date": "2026-05-10", **tests}]
    return old(as_of="2026-05-11", falls=FALLER, tests=rows)


def steady_tests() -> dict[str, Any]:
    return {"date": "2026-03-02", "resting_bp": [126, 76], "semi_tandem_s": 10, "tandem_s": 6}


@pytest.mark.parametrize(
    ("weeks", "tests", "then"),
    [
        (12, {"tandem_s": 6}, 1.5),
        (12, {"tandem_s": 8}, 1.5),
        (12, {"tandem_s": 5}, 1.0),
        (12, {"unable": ["tandem"]}, 1.0),
        (12, {"grip_kg": 20}, 1.0),  # the stances were not repeated
        (11, {"tandem_s": 6}, 1.0),
    ],
)
def test_a_faller_waits_twelve_weeks_and_stands_no_worse(
    weeks: int, tests: dict[str, Any], then: float
) -> None:
    held = in_force(old(falls=FALLER, tests=[steady_tests()]))
    assert cap(held, weeks, facts=faller(**tests)).g == then


def test_who_is_not_fragile_has_nothing_to_lift() -> None:
    found = cap(in_force(steady()), 4)
    assert not found.granted
    assert "Nothing caps the plate's peak." in found.against
