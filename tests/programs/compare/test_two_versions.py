"""Two versions side by side: what is gone, what came, and the days on which both would be done."""

import datetime as dt
from dataclasses import replace
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from programs.compare.two_versions import NONE, Version, beside
from programs.draft.resume import Resume
from programs.edit.base_draft import Basis
from programs.edit.changes import Edit, replay
from programs.week.week import Week
from safety.findings import Modality
from tests.people import steady

MONDAY = dt.date(2026, 3, 2)
STEADY = Basis.of(steady(), Resume())
WEEKS = STEADY.made.weeks
THERE = dict.fromkeys(Modality, "included")


def version(weeks: tuple[Week, ...] = WEEKS, **more: Any) -> Version:
    """Return a version of the steady person."""
    told: dict[str, Any] = {
        "name": "Version 1",
        "starts_on": MONDAY,
        "weeks": weeks,
        "standing": THERE,
        "days": {"Monday": "resistance"},
        "findings": (),
    }
    return Version(**told | more)


def without(modality: str, weeks: tuple[Week, ...] = WEEKS) -> tuple[Week, ...]:
    return tuple(replace(week, **{modality: None}) for week in weeks)


def test_a_version_beside_itself_differs_in_nothing() -> None:
    found = beside(version(), version(name="Version 2"))
    assert not found.differs
    assert (found.gone, found.came, found.week, found.beyond) == ((), (), 1, "")
    assert found.minutes == (WEEKS[0].minutes, WEEKS[0].minutes)


def test_a_kind_that_is_gone_is_never_no_difference() -> None:
    out = THERE | {Modality.IMPACT: "excluded"}
    found = beside(version(), version(without("impact"), standing=out))
    assert [kind.name for kind in found.gone] == ["Impact"]
    assert found.differs
    (impact,) = found.gone
    assert impact.standing == ("included", "excluded")
    assert impact.first[1] == impact.last[1] == NONE
    assert [span.weeks for span in impact.spans][-1].endswith("26")
    assert all(span.now == NONE for span in impact.spans)
    back = beside(version(without("impact"), standing=out), version())
    assert [kind.name for kind in back.came] == ["Impact"]
    assert back.gone == ()


def test_kinds_gone_count_though_all_other_words_are_the_same() -> None:
    found = beside(version(), version(without("plate")))
    assert [kind.name for kind in found.gone] == ["Vibration plate"]
    assert found.differs


def test_a_change_of_some_weeks_is_told_by_its_weeks() -> None:
    edit = Edit(path="balance.minutes", new=60, week_from=9, week_to=10)
    found = beside(version(), version(replay(WEEKS, [edit], STEADY)))
    (balance,) = [kind for kind in found.kinds if kind.differs]
    assert balance.name == "Balance"
    assert [span.weeks for span in balance.spans] == ["9 to 10"]
    assert "60 min a week" in balance.spans[0].now
    assert "60 min a week" not in balance.spans[0].was
    assert balance.first[0] == balance.first[1]


def test_a_later_version_is_laid_beside_the_same_days() -> None:
    later = MONDAY + dt.timedelta(weeks=12, days=2)
    found = beside(version(), version(WEEKS[12:] + WEEKS[:12], starts_on=later))
    assert found.week == 13
    assert found.beyond == "15 to 26"
    assert all(kind.spans == () for kind in found.kinds)
    assert found.minutes == (WEEKS[12].minutes, WEEKS[12].minutes)


def test_a_version_that_is_over_is_told_by_its_last_week() -> None:
    long_after = MONDAY + dt.timedelta(weeks=80)
    found = beside(version(), version(starts_on=long_after))
    assert found.week == 26
    assert found.beyond == "2 to 26"
    earlier = beside(version(), version(starts_on=MONDAY - dt.timedelta(weeks=2)))
    assert earlier.week == 1


def test_a_draft_that_nothing_may_be_drafted_for_has_nothing_beside_it() -> None:
    none = version((), standing=dict.fromkeys(Modality, "stopped"), days={})
    found = beside(version(), none)
    assert len(found.gone) == 5
    assert found.minutes[1] == 0
    assert found.days == (("Monday", "resistance", ""),)
    after = beside(none, version())
    assert (after.week, after.beyond, len(after.came)) == (1, "", 5)


def test_days_and_findings_that_differ_are_told() -> None:
    before = version(findings=("High fall risk.", "Long-standing back pain."))
    after = version(
        days={"Monday": "resistance", "Friday": "balance"},
        findings=("Long-standing back pain.", "Vertigo."),
    )
    found = beside(before, after)
    assert found.days == (("Friday", "", "balance"),)
    assert (found.new, found.no_more) == (("Vertigo.",), ("High fall risk.",))
    assert found.differs
    assert not any(kind.differs for kind in found.kinds)


@settings(max_examples=40, deadline=None)
@given(
    st.sets(st.sampled_from(tuple(Modality)), max_size=5), st.integers(0, 30), st.integers(0, 26)
)
def test_whatever_is_taken_out_is_named(gone: set[Modality], later: int, kept: int) -> None:
    after = WEEKS[:kept]
    for modality in gone:
        after = without(str(modality), after)
    found = beside(version(), version(after, starts_on=MONDAY + dt.timedelta(weeks=later)))
    named = {kind.modality for kind in found.gone}
    assert named == (set(Modality) if kept == 0 else gone)
    assert found.differs or not named
