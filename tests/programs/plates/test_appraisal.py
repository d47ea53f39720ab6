"""Plates laid out beside the program without one: what each would ask and what is known."""

from __future__ import annotations

from dataclasses import replace

import pytest

from programs.draft.draft import draft
from programs.plates.appraisal import Appraisal, Minutes, appraise
from programs.plates.measured_motion import KnownPlate, known_plate
from programs.week.minutes import minutes_of
from safety.findings import Modality
from tests.people import steady
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL

PRICED = replace(VERTICAL, name="at home", price=690.0)


def known(*plates: object) -> list[KnownPlate]:
    return [known_plate(plate) for plate in plates]  # type: ignore[arg-type]


def laid_out(*plates: object, **changes: object) -> Appraisal:
    return appraise(steady(**changes), known(*plates))


def test_each_plate_stands_beside_a_draft_with_none() -> None:
    made = laid_out(PRICED, GENTLE)
    assert made.without.made.plate_fit is None
    assert made.without.minutes[Modality.PLATE].words == ""
    assert [case.program.made.plate_fit.plate.name for case in made.cases] == ["at home", "gentle"]  # type: ignore[union-attr]
    assert made.modalities == tuple(Modality)
    assert Modality.PLATE not in laid_out().modalities


def test_a_year_is_26_weeks_as_drafted_and_26_held() -> None:
    (case,) = laid_out(PRICED).cases
    resources = {"plates": steady_plates()}
    weeks = draft(steady(resources=resources)).weeks
    drafted = sum(minutes_of(week.plate) for week in weeks)
    held = 26 * minutes_of(weeks[-1].plate)
    assert len(weeks) == 26
    assert case.cost.planned_min == drafted + held
    # 3 sessions of 10 bouts of 60 s, held: 30 min of vibration a week, 57 with the rests.
    assert minutes_of(weeks[-1].plate) == 57
    assert case.cost.vibration_min < case.cost.planned_min
    assert case.cost.a_minute == pytest.approx(690 / (drafted + held))


def steady_plates() -> list[dict[str, object]]:
    return [
        {
            "name": "at home",
            "motion": "vertical",
            "frequency_hz": {"from": 20, "to": 50, "step": 1},
            "displacement_mm": {"settings": [1.0, 2.0, 4.0], "reads_as": "peak_to_peak"},
            "rail": "yes",
            "load_limit_kg": 120,
        }
    ]


def test_no_price_or_no_minutes_give_no_price_of_a_minute() -> None:
    assert laid_out(VERTICAL).cases[0].cost.a_minute is None
    barred = laid_out(PRICED, conditions={"bone_tumour": "yes"}).cases[0].cost
    assert (barred.price, barred.planned_min, barred.a_minute) == (690.0, 0, None)


def test_where_nothing_may_be_issued_nothing_is_planned() -> None:
    made = laid_out(PRICED, symptoms={"chest_pain": "yes"})
    assert made.modalities == ()
    assert made.without.whole.words == ""
    assert made.cases[0].cost.planned_min == 0
    assert [one.without for one in made.aims] == [()]


def test_minutes_in_words() -> None:
    assert Minutes(first=0, last=0).words == ""
    assert Minutes(first=15, last=57).words == "15 to 57"
    assert Minutes(first=58.2, last=57.9).words == "58"
    assert Minutes(first=0, last=20).words == "0 to 20"


def test_little_time_shows_what_a_plate_pushes_out() -> None:
    resources = {"days": ["mon", "wed", "fri"], "minutes_per_day": 20}
    made = laid_out(PRICED, aims=["strength"], resources=resources)
    assert made.week_min == 60
    assert made.without.left_out != made.cases[0].program.left_out
    assert made.cases[0].program.left_out[0].startswith("impact from week")


def test_time_that_was_not_recorded_is_not_known() -> None:
    assert laid_out(resources={"days": None}).week_min is None
    assert laid_out(resources={"minutes_per_day": None}).week_min is None
    assert laid_out(resources=None).week_min is None


def test_for_each_aim_both_ways_and_how_sure() -> None:
    hip, falls = laid_out(PRICED, aims=["hip", "falls"]).aims
    assert hip.name == "hip"
    assert hip.without[0].modality is Modality.RESISTANCE
    assert falls.without[0].modality is Modality.BALANCE
    rate = next(one for one in falls.effects if "0.67" in one.effect)
    # Jepsen 2017, BMJ Open 7:e018342
    assert (rate.interval, rate.certainty) == ("0.50 to 0.89", "moderate")
    assert all("fracture" not in one.effect for one in hip.effects)
    kemmler = hip.others[0]
    assert len(kemmler.effects) == 3
    assert kemmler.effects[0].startswith("resistance: total hip SMD 0.51 (0.28 to 0.74)")


def test_no_aim_recorded_takes_falls_and_says_so() -> None:
    made = laid_out(PRICED, aims=None)
    assert not made.asked
    assert [one.aim for one in made.aims] == ["falls"]
    assert laid_out(PRICED).asked


def test_both_sides_stand_once_with_the_aims_they_are_about() -> None:
    sides = laid_out(aims=["hip", "spine"]).sides
    low = [side for side in sides if "low magnitude" in side.said]
    assert len(low) == 2
    assert all(side.aims == "hip, spine" for side in low)
    assert len({side.said for side in sides}) == len(sides)


def test_trials_of_each_kind() -> None:
    vertical, tilting, gentle = laid_out(VERTICAL, TILTING, GENTLE).cases
    assert vertical.found("hip") == "2 found a gain, 6 none"
    assert gentle.found("spine") == "4 none, 1 mixed"
    assert tilting.found("wrist") == "none measured it"
    for case in (vertical, tilting, gentle):
        assert case.found("falls") != "none measured it"


def test_what_bars_or_limits_her() -> None:
    """Stones without their date are read as recent, and the date is asked for (rows 7 to 10)."""
    made = laid_out(PRICED, conditions={"stones": "yes"})
    assert [str(one.level) for one in made.bars] == ["needs_clearance", "missing"]
    assert made.who.cap_g is None
    assert laid_out(PRICED, person={"born": "1941-05-02"}).who.cap_g == 1.0
