"""What is read from a text of format 2: could-lift, forces of leg and body, holds, until."""

import datetime as dt
import json
from pathlib import Path

import pytest

from patients.facts.declared import Facts
from patients.facts.document import read as facts_in
from programs.dose.could_lift import Effort
from programs.signed.program import SignedProgram
from programs.signed.snapshot import canonical, program_in, read
from programs.week.document import write_weeks
from programs.week.week import ImpactIndex, LiftDose, Week
from safety.findings import Modality

BODY = (Path(__file__).parents[2] / "snapshots" / "format-2.json").read_text(encoding="utf-8")


@pytest.fixture(scope="module")
def told() -> SignedProgram:
    return program_in(BODY)


def test_it_says_which_format_it_is() -> None:
    assert read(BODY)["format"] == 2
    assert json.loads(BODY)["rulebook"] == "2027.1"


def test_its_weeks_are_read_whole_and_written_as_they_stood(told: SignedProgram) -> None:
    held = json.loads(BODY)["weeks"]
    assert len(told.weeks) == 26
    assert canonical(write_weeks(told.weeks)) == canonical(held)


def test_a_load_is_told_by_could_lift_and_by_kilograms(told: SignedProgram) -> None:
    lifting = [week.resistance for week in told.weeks if week.resistance]
    assert (lifting[0].could_lift, lifting[9].could_lift) == (20, 17)
    for one in lifting:
        assert one.could_lift is not None
        effort = Effort(reps=one.reps, could_lift=one.could_lift)
        assert (one.percent_1rm, one.reps_in_reserve) == (
            effort.percent_1rm,
            effort.reps_in_reserve,
        )
    assert lifting[0].exercises[:2] == (
        LiftDose(exercise="leg_press", load_kg=46),
        LiftDose(exercise="bridge", load_kg=None, reps=8),
    )


def test_forces_of_body_and_leg_and_both_indices(told: SignedProgram) -> None:
    first = told.weeks[0].impact
    assert first is not None
    assert (first.peak_bw, first.leg_bw) == (2, 1)
    assert first.osteogenic_index == ImpactIndex(hip=7.2, spine=14.4)


def test_near_support_holds_and_repetitions(told: SignedProgram) -> None:
    def steady(week: Week) -> tuple[object, ...]:
        assert week.balance is not None
        assert week.posture is not None
        return week.balance.rung, week.balance.near_support, week.posture.hold_s, week.posture.reps

    assert steady(told.weeks[0]) == (4, True, 5, 5)
    assert steady(told.weeks[25]) == (4, True, 10, 10)


def test_a_clearance_that_ends_takes_its_modality_out_of_the_weeks(told: SignedProgram) -> None:
    assert told.standings[Modality.PLATE].until == dt.date(2026, 6, 10)
    assert told.standings[Modality.BALANCE].until is None
    assert [week.week for week in told.weeks if week.plate] == list(range(1, 16))


def test_how_she_was_assessed_and_what_a_finding_dosed(told: SignedProgram) -> None:
    assert (told.assessed.low_function, told.assessed.training_posture) == ("no", "standing")
    dosed = {one.rule for one in told.findings if one.dosed}
    assert dosed == {"vertigo.plate"}


def test_its_facts_are_facts_of_today() -> None:
    assert isinstance(facts_in(json.loads(BODY)["facts"]), Facts)
