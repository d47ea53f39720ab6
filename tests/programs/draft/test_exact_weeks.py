"""Five hundred weeks solved exactly: what is worth most has the same minutes in the fit."""

from __future__ import annotations

from collections import Counter

import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from programs.dose import impact
from programs.draft.draft import draft
from programs.draft.fit_into_days import Fitted
from programs.draft.ramps import Course
from programs.draft.resume import FROM_THE_START
from programs.draft.share import Claims
from programs.edit.base_draft import Basis
from programs.week.week import WEEK
from safety.findings import Modality
from tests.people import facts, steady_document
from tests.programs.draft.exact_week import SESSIONS, Solved, solve

PLATE, LIFTING, IMPACT, BALANCE, POSTURE = Modality
WEEKS = 500


def _claims(course: Course, walking: bool = False) -> Claims:
    """Return what the first places ask, with the longest lifting session that is to come."""
    jump = (course.walk if walking else course.impact)[:1]
    lifts = course.lifting
    return Claims(
        lifting_min=(lambda n, sets: max(course.lifting_min(step, n, sets) for step in lifts))
        if lifts
        else None,
        lift_days=course.lift_days,
        plate_min=course.plate[0].session_min if course.plate else None,
        plate_days=course.plate_days,
        impact_min=impact.session_min(jump[0]) if jump else None,
        impact_days=course.impact_days[: jump[0].days] if jump else (),
        balance=course.balance_share(bool(course.balance)),
        posture=bool(course.posture),
    )


def _solved(course: Course) -> tuple[Claims, Solved]:
    """Solve the fullest week; without lifting in it impact is walking (rows 7 to 10)."""
    claims = _claims(course)
    found = solve(course.time, claims)
    if LIFTING in claims.asked - found.held and course.counts_impact(course.included):
        claims = _claims(course, walking=True)
        found = solve(course.time, claims)
    return claims, found


def _lifting_min(course: Course, exact: Solved, week: Fitted) -> float:
    """Return what the exact week's lifting takes at the place that this week stands on."""
    exercises, sets, sessions = exact.lifting
    if not sessions or week.lifting is None:
        return 0.0
    own = dict(week.lifting.own_reps)
    reps = [own.get(one.code, week.lifting.reps) for one in course.lifts[:exercises]]
    done = min(sets, week.lifting.sets)
    on = min(sessions, len(course.lift_days))
    return (2 + done * sum(4 * each + 60 for each in reps) / 60) * on


def _fit_lifting_min(course: Course, week: Fitted) -> float:
    if week.lifting is None:
        return 0.0
    minutes, on = course.session(week.lifting, week.shape)
    return minutes * len(on)


people = st.fixed_dictionaries(
    {
        "days": st.sets(st.sampled_from(WEEK), min_size=1).map(
            lambda found: sorted(found, key=WEEK.index)
        ),
        "minutes": st.one_of(st.integers(3, 40), st.integers(5, 90)),
        "aims": st.lists(
            st.sampled_from(["hip", "spine", "wrist", "falls", "strength"]),
            min_size=1,
            max_size=2,
            unique=True,
        ),
        "falls": st.sampled_from([0, 0, 1, 2]),
        "t": st.sampled_from([-1.9, -2.7, -3.2]),
        "plate": st.booleans(),
        "stands": st.sampled_from([15, 9, 4]),
    }
)


def _course(one: dict[str, object]) -> tuple[Course, tuple[Fitted, ...]]:
    resources = {"days": one["days"], "minutes_per_day": one["minutes"], "watcher": "yes"}
    known = facts(
        steady_document(
            aims=one["aims"],
            falls={"last_12_months": one["falls"], "injury": "no"},
            scans=[{"date": "2026-01-20", "site": "total_hip", "t": one["t"], "z": -1.0}],
            tests={"chair_stands_30s": one["stands"]},
            resources=resources if one["plate"] else {**resources, "plates": []},
        )
    )
    made = draft(known)
    return Basis(made=made, resume=FROM_THE_START).course, made.fitted


def _fullest(course: Course, weeks: tuple[Fitted, ...]) -> Fitted:
    """Return the last of the weeks with the longest lifting."""
    return max(reversed(weeks), key=lambda week: _fit_lifting_min(course, week))


@pytest.mark.slow
def test_the_fit_is_as_good_as_the_exact_week() -> None:
    """In each of 500 rank 1 has the same minutes; in 98 of 100 or more the same is in the week.

    Where it is not, the fit leaves out what would come in only by taking balance of higher rank
    down to its least. Balance that is worth less has no more than in the exact week, and 85 % of
    it or more: what is worth more has risen by then and takes its room.
    """
    found = Counter(exact=0, fit=0, same=0)

    @settings(max_examples=WEEKS, phases=[Phase.generate], suppress_health_check=list(HealthCheck))
    @given(people)
    def as_good(one: dict[str, object]) -> None:
        course, weeks = _course(one)
        claims, exact = _solved(course)
        full = _fullest(course, weeks)
        aimed = full.balance.minutes if full.balance else 0
        same = _same_in_it(claims, exact, full)
        found["same"] += same
        if course.rank[LIFTING] == 1:
            for week in weeks:
                wanted = _lifting_min(course, exact, week)
                assert _fit_lifting_min(course, week) == pytest.approx(wanted), exact
        if course.rank[BALANCE] == 1:
            assert full.balance_min == min(exact.balance_min, aimed), exact
        elif same and not claims.balance.first:
            assert full.balance_min <= exact.balance_min
            found.update(exact=min(exact.balance_min, aimed), fit=full.balance_min)

    as_good()
    assert found["same"] >= 0.98 * WEEKS
    assert found["fit"] >= 0.85 * found["exact"]


def _same_in_it(claims: Claims, exact: Solved, week: Fitted) -> bool:
    held = claims.asked - week.shape.dropped
    shape = (week.shape.exercises, week.shape.cut_sets or 3, week.shape.lifting_sessions)
    return (held, shape if LIFTING in held else SESSIONS[-1]) == (exact.held, exact.lifting)
