"""Log and screen together: what is proposed, asked, and whether the program may stay (row 26)."""

from __future__ import annotations

import datetime as dt
import json
from dataclasses import replace
from typing import Any

import pytest

from programs.draft.resume import FRAGILE_CAP, Resume
from programs.review.adherence import Session
from programs.review.dates import Dates
from programs.review.ledger import InForce
from programs.review.next_steps import Next
from programs.review.proposal import ENDED, IN_FORCE, STOPPED, Proposal, written
from programs.review.proposing import Review
from programs.week.week import LiftDose, PlateWeek, part_of
from safety.findings import Modality
from tests.people import steady
from tests.programs.followups import FALLER, after, done, in_force, reviewed
from tests.programs.logs import START

pytestmark = pytest.mark.long

M = Modality
STEADY = in_force()
RANK = {m: place for place, m in enumerate(Modality, 1)}
NEVER: dict[str, dt.date] = {}


def at(weeks: int, log: list[Session] | None = None, **more: Any) -> Review:
    held = more.pop("held", STEADY)
    entries = done(held, range(1, weeks + 1)) if log is None else log
    return reviewed(held, entries, after(weeks), more.pop("facts", None), **more)


def told(review: Review) -> Proposal:
    return review.proposal(RANK)


def fallen(at_: int = 30, **said: Any) -> list[Session]:
    log, told = done(STEADY, range(1, 5)), {"fell": True} | said
    return [replace(one, **told) if n == at_ else one for n, one in enumerate(log)]


# --- Events ---------------------------------------------------------------------------------


@pytest.mark.counted
def test_four_perfect_weeks() -> None:
    found = told(at(4))
    assert {one.next for one in found.modalities} == {Next.ADVANCE}
    assert (found.state, found.ask, found.events) == (IN_FORCE, (), ())
    assert found.against_staying == ()
    assert (found.week, found.full_weeks) == (5, 4)
    assert found.modalities[0].recent == 100
    assert found.modalities[0].percent_shown == 100
    assert found.of(M.PLATE) == found.modalities[0]
    document = written(found)
    assert json.loads(json.dumps(document)) == document
    assert document["day"] == "2026-03-30"
    assert document["modalities"][0]["grounds"][0]["next"] == "advance"


def test_a_fall_nobody_asked_about_stops_everything() -> None:
    found = at(4, fallen(), asked={"falls": START})
    assert set(found.proposed.values()) == {Next.STOP}
    assert (found.state, found.ask) == (STOPPED, ("falls",))
    assert found.grounds[M.PLATE][0].text.startswith("A fall (")
    assert found.next_draft() is None
    assert found.facts.falls is not None
    assert found.facts.falls.last_12_months == 1


def test_asked_about_it_holds_and_never_advances() -> None:
    found = at(4, fallen())
    assert set(found.proposed.values()) == {Next.HOLD}
    assert (found.state, found.ask) == (IN_FORCE, ())
    assert "asked about" in found.grounds[M.PLATE][0].text


@pytest.mark.counted
def test_after_a_fracture_it_starts_again() -> None:
    found = at(4, fallen(fell=False, broke="a toe"))
    assert set(found.proposed.values()) == {Next.START_AGAIN}
    assert set(found.taken.places.values()) == {1}


def test_a_new_illness_holds_the_others() -> None:
    ill = steady(conditions={"epilepsy": "yes"})
    found = at(4, facts=ill)
    assert found.proposed[M.PLATE] is Next.STOP
    assert {found.proposed[m] for m in (M.BALANCE, M.POSTURE)} == {Next.HOLD}


def test_an_old_event_is_behind_her_after_the_next_review() -> None:
    early = fallen(0)
    assert at(4, early, last_review=after(1)).events == ()
    late = fallen(0, entered_on=after(2))
    assert len(at(4, late, last_review=after(1)).events) == 1


def test_falls_that_nobody_wrote_down() -> None:
    log = done(STEADY, range(1, 5), fell=None)
    found = at(4, log, asked=NEVER)
    assert found.ask == ("falls",)
    assert found.proposed[M.BALANCE] is Next.HOLD
    assert found.proposed[M.RESISTANCE] is Next.ADVANCE
    assert found.against_staying
    assert at(4, log).proposed[M.BALANCE] is Next.ADVANCE


# --- Today's screen -------------------------------------------------------------------------


def test_what_is_not_included_today_stops() -> None:
    found = at(4, facts=steady(tests={"resting_bp": [190, 112]}))
    stops = {m for m, one in found.proposed.items() if one is Next.STOP}
    assert stops == {M.PLATE, M.RESISTANCE, M.IMPACT}
    assert "Not included today. " in found.grounds[M.PLATE][0].text
    assert found.state == IN_FORCE
    made = found.next_draft()
    assert made is not None
    assert not [w for w in made.weeks if w.plate or w.resistance or w.impact]


def test_a_plate_that_is_gone_stops() -> None:
    found = at(4, facts=steady(resources={"plates": []}))
    assert found.proposed[M.PLATE] is Next.STOP
    assert "There is no plate" in found.grounds[M.PLATE][0].text


def test_pain_stops_one_and_the_next_draft_is_without_it() -> None:
    log = done(STEADY, range(1, 5))
    lifted = next(n for n, one in enumerate(log) if one.modality is M.RESISTANCE)
    log[lifted] = replace(log[lifted], pain=7)
    found = at(4, log)
    assert [m for m, one in found.proposed.items() if one is Next.STOP] == [M.RESISTANCE]
    made = found.next_draft()
    assert made is not None
    assert not any(week.resistance for week in made.weeks)
    assert "Stopped at the review" in made.standings[M.RESISTANCE].why[1]
    # Beside lifting that is not there impact is walking (row 10).
    assert {week.impact.peak_bw for week in made.weeks if week.impact} == {1.5}


def test_what_was_not_signed_and_is_included_today_begins() -> None:
    held = in_force(steady(tests={"resting_bp": [190, 112]}))
    found = at(4, held=held, facts=steady())
    assert found.proposed[M.PLATE] is Next.START_AGAIN
    assert found.taken.places[M.PLATE] == 1
    assert told(found).of(M.PLATE) is not None
    assert told(at(4, held=held, facts=held.facts)).of(M.PLATE) is None


# --- Lifted and capped ----------------------------------------------------------------------

OLD: dict[str, Any] = {"person": {"born": "1939-10-01"}, "resources": {"supervised": "yes"}}


@pytest.mark.counted
def test_the_cap_is_lifted_by_a_step_and_its_ramp_begins_anew() -> None:
    held = in_force(steady(**OLD))
    assert told(at(4, held=held)).plate_cap_g == 1.0
    asked = at(4, held=held).asking_for_a_step()
    assert told(asked).plate_cap_g == 1.5
    assert asked.proposed[M.PLATE] is Next.ADVANCE
    assert asked.taken.places[M.PLATE] == 1
    assert asked.resume.plate_cap_g == 1.5
    made = asked.next_draft()
    assert made is not None
    peaks = [week.plate.peak_g for week in made.weeks if week.plate]
    assert 1.0 < max(peaks) <= 1.5
    assert all(week.plate.supervised for week in made.weeks if week.plate)
    assert "The plate's cap is lifted" in asked.against_staying[0]
    assert told(at(4)).plate_cap_g is None


def test_a_fall_takes_back_what_was_lifted() -> None:
    held = in_force(steady(), Resume(lifted=frozenset({FRAGILE_CAP})))
    assert at(4, held=held).stays_lifted == {FRAGILE_CAP}
    assert at(4, fallen(), held=held).stays_lifted == frozenset()
    ill = steady(conditions={"chronic_back_pain": "yes"})
    assert at(4, held=held, facts=ill).stays_lifted == {FRAGILE_CAP}


def test_what_speaks_against_lifting() -> None:
    assert told(at(4)).against_lifting == ()
    assert told(at(3)).against_lifting == ("4 full weeks are not over yet.",)
    assert any("12 are needed" in one for one in told(at(4)).against_walking)


# --- Staying --------------------------------------------------------------------------------


def stays(review: Review) -> bool:
    return not review.against_staying


def edited(**to: Any) -> InForce:
    """Return the steady person's program with the plate changed by hand from week 5 on."""
    weeks = [
        replace(w, plate=w.plate and replace(w.plate, **to)) if w.week > 4 else w
        for w in STEADY.planned.weeks
    ]
    return replace(STEADY, planned=replace(STEADY.planned, weeks=weeks))


def test_only_where_all_advances_and_nothing_to_come_is_above_today() -> None:
    assert stays(at(4))
    assert not stays(at(4, done(STEADY, range(1, 4))))
    b = steady(scans=[{"date": "2026-01-20", "site": "total_hip", "t": -2.6}])
    found = at(4, facts=b)
    assert {found.proposed[m] for m in (M.PLATE, M.RESISTANCE)} == {Next.ADVANCE}
    assert "Resistance of week 7: it is above what today's rules draft." in found.against_staying


def test_a_week_that_was_raised_by_hand_is_above_today() -> None:
    assert stays(at(4, held=edited(bouts=3)))
    high = at(4, held=edited(peak_g=3.9), facts=steady())
    assert not stays(high)


@pytest.mark.counted
def test_watching_and_support_that_are_asked_today() -> None:
    unwatched = in_force(steady(conditions={"epilepsy": "no"}))
    today = steady(conditions={"hernia": "no"}, medicines={"anticoagulant": "yes"})
    assert stays(at(4, held=unwatched, facts=today))
    near = in_force(steady(falls=FALLER, resources={"watcher": "yes"}))
    weeks = [
        replace(
            week,
            balance=week.balance and replace(week.balance, near_support=False),
            plate=week.plate and replace(week.plate, supervised=False),
        )
        for week in near.planned.weeks
    ]
    loose = replace(near, planned=replace(near.planned, weeks=weeks))
    words = " ".join(at(4, held=loose).against_staying)
    assert "Plate of week 5: today it is watched, or near support." in words
    assert "Balance of week 5: today it is watched, or near support." in words


def with_lift(code: str) -> InForce:
    """Return the steady person's program with one lift from week 5 on, chosen by hand."""
    lift = (LiftDose(exercise=code, load_kg=None),)
    weeks = [
        replace(w, resistance=w.resistance and replace(w.resistance, exercises=lift))
        if w.week > 4
        else w
        for w in STEADY.planned.weeks
    ]
    return replace(STEADY, planned=replace(STEADY.planned, weeks=weeks))


@pytest.mark.counted
def test_an_exercise_that_is_barred_today() -> None:
    """A barbell at home, alone (row 19d); what the catalogue no longer has bars nothing."""
    assert stays(at(4, held=with_lift("leg_extension")))
    assert stays(at(4, held=with_lift("an exercise of an older catalogue")))
    found = at(4, held=with_lift("barbell_squat"))
    assert found.against_staying[0] == (
        "Resistance of week 5: it holds an exercise that is barred today."
    )


@pytest.mark.counted
def test_a_clearance_that_ends_before_weeks_to_come() -> None:
    leave = {"modalities": ["plate"], "by": "urologist", "on": "2026-02-01", "limits": "none"}

    def cleared(until: str) -> Any:
        stones = {"answer": "yes", "cleared": {**leave, "until": until}}
        return steady(conditions={"stones": stones})

    long, short = cleared("2027-02-01"), cleared("2026-05-03")
    held = in_force(long)
    assert stays(at(4, held=held))
    found = at(4, held=held, facts=short)
    assert found.against_staying[0] == "Plate of week 10: its clearance has ended by then."
    assert stays(at(4, held=in_force(short)))


@pytest.mark.counted
def test_a_week_to_come_of_what_is_not_included_today() -> None:
    """Without room until later: it was not planned so far, and may not come now."""
    weeks = [w if n > 6 else replace(w, plate=None) for n, w in enumerate(STEADY.planned.weeks, 1)]
    held = replace(STEADY, planned=replace(STEADY.planned, weeks=weeks))
    log = [one for one in done(STEADY, range(1, 5)) if one.modality is not M.PLATE]
    assert stays(at(4, log, held=held))
    gone = steady(resources={"plates": []})
    found = at(4, log, held=held, facts=gone)
    assert found.against_staying[0] == "Plate of week 7: it is not included today."


# --- State and dates ------------------------------------------------------------------------


@pytest.mark.parametrize(("weeks", "state"), [(29, IN_FORCE), (30, ENDED), (40, ENDED)])
def test_four_weeks_after_its_last_week_it_has_ended(weeks: int, state: str) -> None:
    found = at(weeks)
    assert found.state == state
    assert ("It has ended." in found.against_staying) is (state == ENDED)


def test_dates_are_reckoned_from_the_episode() -> None:
    assert told(at(4)).dates == Dates(
        review=dt.date(2026, 5, 25), tests=dt.date(2026, 5, 25), density=dt.date(2027, 3, 2)
    )
    earlier = at(4, episode=dt.date(2025, 12, 1))
    assert told(earlier).dates.density == dt.date(2026, 12, 1)
    stopped = at(4, facts=steady(resources={"plates": []}))
    assert told(stopped).dates.review == dt.date(2026, 4, 13)


def test_the_program_s_last_week_counts_where_it_stays() -> None:
    """Begun 20 weeks after the episode: its week 26 is the episode's 46, six before 52."""
    found = at(8, episode=START - dt.timedelta(weeks=20))
    assert found.state == IN_FORCE
    assert told(found).dates.review == START + dt.timedelta(weeks=25)


# --- What is worth saying --------------------------------------------------------------------


def test_lifting_less_than_twice_a_week_is_flagged() -> None:
    """1.5 sessions a week is under the floor of 2 (Kemmler 2013)."""
    log = [one for one in done(STEADY, range(1, 5)) if one.modality is M.RESISTANCE]
    lifting = told(at(4, [log[0], log[1], log[2], log[4], log[5], log[6]])).of(M.RESISTANCE)
    assert lifting is not None
    assert lifting.flags[0].startswith("1.5 lifting sessions a week on average")
    assert "Kemmler" in lifting.flags[0]
    assert "exercises" in lifting.simpler
    full = told(at(4, log)).of(M.RESISTANCE)
    assert full is not None
    assert full.flags == ()


def test_what_to_leave_out_first() -> None:
    found = {one.modality: one.simpler for one in told(at(4)).modalities}
    assert found[M.BALANCE].startswith("Leave posture out")
    assert found[M.POSTURE].startswith("Leave it out")


def test_effort_over_time_and_the_longest_gap() -> None:
    log = [*done(STEADY, (1, 2), M.PLATE, effort=3), *done(STEADY, (3, 4), M.PLATE, effort=6)]
    plate = told(at(4, log)).of(M.PLATE)
    assert plate is not None
    assert (plate.effort_before, plate.effort) == (3, 6)
    assert plate.longest_gap is None
    balance = told(at(4, log)).of(M.BALANCE)
    assert balance is not None
    assert balance.longest_gap is not None
    assert balance.longest_gap.days == 28
    assert told(at(0, [])).modalities[0].percent_shown is None


def test_every_plate_of_the_next_draft_is_hers() -> None:
    made = at(4).next_draft()
    assert made is not None
    parts = [part_of(week, M.PLATE) for week in made.weeks]
    assert all(isinstance(one, PlateWeek) and one.plate == "at home" for one in parts)
