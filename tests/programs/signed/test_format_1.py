"""What is read from a text of format 1: types, and the few things it says only in words."""

import datetime as dt
import json
from pathlib import Path
from typing import Any

import pytest

from patients.facts.document import read as facts_in
from programs.draft.document import finding_out
from programs.signed import format_1
from programs.signed.program import Clinic, PlannedReview, SignedEdit, SignedProgram
from programs.signed.snapshot import (
    FIRST_DIGEST,
    Unreadable,
    canonical,
    digest_of,
    freeze,
    program_in,
)
from programs.week.document import write_weeks
from programs.week.week import Stance
from safety.findings import Level, Modality
from safety.rules.all_rules import RULES
from safety.rules.rule import Unanswered
from safety.screen import screen
from tests.people import facts, steady_document
from tests.programs.sample_papers import PEOPLE, SIGNER, program_of, snapshot_of

SAMPLES = Path(__file__).parents[2] / "snapshots"
#: Digest of the text with answers that were not recorded, as it was written. Never edited.
NOT_RECORDED = "4b456bc12cec9de0ef120caf05bdd52fbdba8f59baf4bef0c48e9e1edcc15dd8"


def sample(name: str) -> tuple[str, dict[str, Any], SignedProgram]:
    """Return a kept text, what stands in it, and the program that is read from it."""
    body = (SAMPLES / name).read_text(encoding="utf-8").rstrip("\n")
    return body, json.loads(body), program_in(body)


def test_the_whole_of_a_kept_text_is_read() -> None:
    _, held, told = sample("format-1.json")
    assert (told.who.id, told.who.family_name, told.who.sex) == (1, "Muñoz-Testwick", "female")
    assert told.who.born == "1960-08-14"
    assert (told.version, told.replaces, told.rulebook) == (2, 1, held["rulebook"])
    assert told.starts_on == dt.date.fromisoformat(held["starts_on"])
    assert told.motions == {"at home": "vertical"}
    assert (told.assessed.age, told.assessed.fall_risk) == (65, "low")
    assert (told.assessed.density.score, told.assessed.density.site) == (-1.9, "femoral_neck")
    standing = told.standings[Modality.RESISTANCE]
    assert (standing.status, standing.rank, standing.until) == ("included", 1, None)
    assert standing.why[0].startswith("Number 1 of 5 in value for the aims")
    assert told.left_out == {Modality.PLATE: "She has sold the plate."}
    assert told.timetable["mon"] == (Modality.RESISTANCE, Modality.BALANCE, Modality.POSTURE)
    assert [one.week for one in told.reviews] == [4, 12, 26, 52]
    assert told.reviews[0] == PlannedReview(**held["reviews"][0])
    assert told.signer.name == "Marta Ferro"
    assert told.signer.at == dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
    assert told.edits[0] == SignedEdit(
        seq=1,
        week_from=1,
        week_to=4,
        path="balance.minutes",
        old=[75, 90, 105, 105],
        new=60,
        reason="Tires easily.",
        limit_passed="",
        by="Marta Ferro",
        at=dt.datetime(2026, 3, 2, 9, 20, tzinfo=dt.UTC),
    )


def test_a_text_from_before_the_clinic_had_its_own_words_has_none() -> None:
    _, _, told = sample("format-1.json")
    assert told.clinic == Clinic(
        name="Example bone clinic", phone="01 000 000", address="1 Example Street", emergency=""
    )
    _, _, later = sample("format-1-not-recorded.json")
    assert later.clinic.emergency == "Call 112, day and night."


@pytest.mark.parametrize("name", ["format-1.json", "format-1-not-recorded.json"])
def test_weeks_that_are_read_are_written_as_they_stood(name: str) -> None:
    """But for what this format did not tell: that is None, never a guess."""
    _, held, told = sample(name)
    written = [_as_in_format_1(week) for week in write_weeks(told.weeks)]
    assert canonical(written) == canonical(held["weeks"])


def _as_in_format_1(week: dict[str, Any]) -> dict[str, Any]:
    untold = {
        "resistance": ("could_lift",),
        "impact": ("leg_bw",),
        "balance": ("near_support",),
        "posture": ("hold_s", "reps"),
    }
    for name, keys in untold.items():
        for key in keys if week[name] else ():
            assert week[name].pop(key) is None
    if week["impact"] and (index := week["impact"]["osteogenic_index"]):
        assert index["hip"] is None
        week["impact"]["osteogenic_index"] = index["spine"]
    return week


def test_how_to_stand_on_the_plate_is_read_as_codes_and_written_as_words() -> None:
    held = snapshot_of("vertebral_fracture")
    told = program_of(held)
    assert told.weeks[0].plate is not None
    assert told.weeks[0].plate.posture == (
        *(Stance.KNEES_BENT, Stance.FOREFOOT, Stance.UPRIGHT),
        *(Stance.TWO_HANDS, Stance.STILL),
    )
    assert write_weeks(told.weeks) == held["weeks"]


# --- Dosed while the answer was missing -----------------------------------------------------


def test_the_kept_text_says_what_was_dosed_without_an_answer() -> None:
    body, _, told = sample("format-1-not-recorded.json")
    assert digest_of(body) == NOT_RECORDED
    dosed = {one.rule for one in told.findings if one.dosed}
    assert dosed == {
        *("aneurysm.balance", "aneurysm.posture", "epilepsy.resistance", "epilepsy.impact"),
        *("epilepsy.balance", "hernia.impact"),
    }
    held = {one.rule for one in told.findings if one.level is Level.MISSING} - dosed
    assert held == {
        *("aneurysm.plate", "aneurysm.resistance", "aneurysm.impact", "epilepsy.plate"),
        *("hernia.plate", "hernia.resistance"),
    }


def test_the_rulebook_of_today_says_it_in_the_words_that_are_read() -> None:
    """Other words need another format, which says it in a field."""
    assert Unanswered.DOSE.capitalize() == format_1.DOSED
    nothing = facts({**steady_document(), "conditions": {}, "falls": {}})
    missing = [one for one in screen(nothing).findings if one.level is Level.MISSING]
    asked = {one.rule: format_1.finding(finding_out(one)).dosed for one in missing}
    assert set(asked.values()) == {True, False}
    assert asked == {
        rule.code: rule.unanswered is Unanswered.DOSE for rule in RULES if rule.code in asked
    }


@pytest.mark.parametrize("person", PEOPLE)
def test_what_is_known_is_not_dosed_for_want_of_an_answer(person: str) -> None:
    """A cleared one is dosed with care (rulebook rows 7 to 10)."""
    told = program_of(snapshot_of(person))
    known = [one for one in told.findings if one.level is not Level.MISSING]
    assert not any(one.dosed for one in known if not one.cleared)


def test_the_subject_is_the_rule_without_its_modality() -> None:
    told = program_of(snapshot_of("vertebral_fracture"))
    subjects = {one.rule: one.subject for one in told.findings}
    assert subjects["fragile_spine.plate"] == "fragile_spine"
    assert subjects["pelvic_floor_symptoms.refer"] == "pelvic_floor_symptoms.refer"


# --- What is no program, and what is nearly one ---------------------------------------------


def test_of_two_plates_with_one_name_the_first_counts() -> None:
    held = snapshot_of()
    (plate,) = held["facts"]["resources"]["plates"]
    held["facts"]["resources"]["plates"] = [plate, {**plate, "motion": "side_alternating"}]
    assert program_of(held).motions == {plate["name"]: "vertical"}


@pytest.mark.parametrize("resources", [None, {}, {"plates": None}])
def test_without_plates_no_motions(resources: Any) -> None:
    held = snapshot_of()
    held["facts"]["resources"] = resources
    assert program_of(held).motions == {}


def test_a_draft_has_no_signer() -> None:
    told = program_of(snapshot_of(signer=dict.fromkeys(SIGNER, "")))
    assert (told.signer.name, told.signer.at) == ("", None)


@pytest.mark.parametrize(
    "lacking",
    [
        {"patient": {"id": 7}},
        {"starts_on": "soon"},
        {"weeks": [{"week": 1, "minutes": 105}]},
        {"timetable": {"mon": ["swimming"]}},
        {"clinic": None},
        {"facts": None},
        {"weeks": {"a": 1}},
    ],
)
def test_a_snapshot_that_holds_no_whole_program_is_told(lacking: dict[str, Any]) -> None:
    with pytest.raises(Unreadable, match="cannot be read"):
        program_of({**snapshot_of(), **lacking})


def test_facts_need_not_be_readable_by_the_rulebook_of_today() -> None:
    """A paper is printed from what was signed, whatever a later facts/1 asks."""
    held = snapshot_of()
    held["facts"]["once_asked"] = "yes"
    assert isinstance(facts_in(held["facts"]), tuple)
    assert program_of(held).motions


def test_what_is_frozen_is_what_is_read() -> None:
    """The typed program is read from the text alone."""
    held = snapshot_of()
    asked = {key: held[key] for key in ("patient", "version", "replaces", "starts_on", "facts")}
    asked |= {key: held[key] for key in ("draft", "edits", "left_out", "weeks", "timetable")}
    made = freeze(
        **asked, signer=held["signer"], clinic=held["clinic"], previous_digest=FIRST_DIGEST
    )
    assert program_in(made.body) == program_of(held)


def test_what_is_not_in_a_week_stays_out_of_it() -> None:
    empty = dict.fromkeys(("plate", "resistance", "impact", "balance", "posture"))
    assert format_1.week_as_now({"week": 1, **empty}) == {"week": 1, **empty}
