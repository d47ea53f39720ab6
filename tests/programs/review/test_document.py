"""followup/1 in, proposal/1 out: the short form, the keys, and what is refused."""

from __future__ import annotations

import datetime as dt
from itertools import pairwise
from typing import Any

import pytest

from programs.review.document import answer
from programs.review.followup import FollowUp, read_followup
from programs.review.ledger import Ledger
from safety.findings import Modality
from tests.each import each
from tests.people import laid_over, steady_document

ADHERENT = {"weeks": "1-4", "share": 1.0, "pain": 0, "effort": "as_planned"}
DOCUMENT: dict[str, Any] = {
    "format": "followup/1",
    "as_of": "2026-03-30",
    "facts": steady_document(as_of="2026-03-30"),
    "signed": {
        "facts": steady_document(),
        "signed_on": "2026-03-02",
        "starts_on": "2026-03-02",
    },
    "log": [],
    "adherent": {str(m): ADHERENT for m in Modality},
}


def document(**changes: Any) -> dict[str, Any]:
    return laid_over(DOCUMENT, changes)


def read(**changes: Any) -> FollowUp:
    found = read_followup(document(**changes))
    assert isinstance(found, FollowUp), found
    return found


def test_a_whole_answer() -> None:
    found = answer(document())
    assert list(found) == [
        *("format", "state", "plate_cap_g", "events", "reached", "proposals", "ask"),
        *("may_stay_in_force", "next", "dates"),
    ]
    assert found["format"] == "proposal/1"
    assert found["reached"]["resistance"] == 4
    plate = found["proposals"]["plate"]
    assert (plate["do"], plate["restart_week"]) == ("advance", 3)
    assert plate["because"]
    assert plate["sources"]
    assert found["next"]["format"] == "draft/1"
    assert found["next"]["weeks"][0]["plate"]["bout_s"] == 45
    assert found["may_stay_in_force"] is True
    assert found["dates"]["density"] == "2027-03-02"


def test_what_stops_has_no_place_and_two_steps_are_a_step_back() -> None:
    stopped = answer(document(facts={"symptoms": {"chest_pain": "yes"}}))
    assert stopped["proposals"]["plate"] | {"because": [], "sources": []} == {
        "do": "stop",
        "restart_week": None,
        "because": [],
        "sources": [],
    }
    assert stopped["next"] is None
    assert stopped["events"] == [{"on": "2026-03-30", "what": "red_flag", "source": "facts"}]
    ill = answer(document(as_of="2026-05-04", facts={"as_of": "2026-05-04"}))
    assert ill["proposals"]["resistance"]["do"] == "step_back"


def test_a_modality_neither_signed_nor_included() -> None:
    bare = steady_document(resources={"plates": []})
    found = answer(document(facts=bare | {"as_of": "2026-03-30"}, signed={"facts": bare}))
    assert found["reached"]["plate"] == 0
    assert found["proposals"]["plate"]["do"] == "stop"
    assert found["state"] == "in_force"


def test_without_a_day_nothing_finds_room() -> None:
    found = answer(document(facts={"resources": {"days": []}}))
    assert found["next"]["issuable"] is False
    assert {one["restart_week"] for one in found["proposals"].values()} == {1}
    assert found["may_stay_in_force"] is False


# --- The short form --------------------------------------------------------------------------


def days(share: float, weeks: str = "1-4", m: Modality = Modality.PLATE) -> list[dt.date]:
    adherent = dict.fromkeys(map(str, Modality)) | {str(m): {"weeks": weeks, "share": share}}
    held = {name: one for name, one in adherent.items() if one}
    return [one.on for one in read_followup_log(held)]


def read_followup_log(adherent: dict[str, Any], **changes: Any) -> tuple[Any, ...]:
    found = read_followup({**document(**changes), "adherent": adherent})
    assert isinstance(found, FollowUp), found
    return found.log


@pytest.mark.parametrize(
    ("share", "sessions"), [(1.0, 12), (0.75, 9), (2 / 3, 8), (0.5, 6), (0.1, 1), (0, 0)]
)
def test_a_share_is_spread_evenly(share: float, sessions: int) -> None:
    held = days(share)
    assert len(held) == sessions
    gaps = {(b - a).days for a, b in pairwise(held)}
    assert max(gaps, default=0) - min(gaps, default=0) <= 7


def test_one_week_and_as_many_sessions_as_planned() -> None:
    assert days(1.0, "2") == [dt.date(2026, 3, n) for n in (10, 12, 14)]
    assert len(days(1.0, "1", Modality.POSTURE)) == 6


def test_what_a_filled_session_says() -> None:
    plate, *_ = read_followup_log({"plate": ADHERENT})
    assert (plate.done, plate.pain, plate.fell, plate.ill) == ("all", 0, False, False)
    assert (plate.plate, plate.watched, plate.effort) == ("at home", True, None)
    assert plate.entered_on == plate.on
    lifting, *_ = read_followup_log({"resistance": ADHERENT})
    assert (lifting.effort, lifting.plate, lifting.watched) == (5, "", None)
    hard, *_ = read_followup_log({"resistance": ADHERENT | {"effort": 8}})
    assert hard.effort == 8
    bare, *_ = read_followup_log({"resistance": {"weeks": "1"}})
    assert (bare.effort, bare.pain) == (None, None)


def test_an_entry_takes_the_place_of_the_filled_one() -> None:
    entry = {"on": "2026-03-03", "modality": "plate", "done": "part", "pain": None}
    log = read_followup_log({"plate": ADHERENT}, log=[entry])
    assert len(log) == 12
    assert [one.done for one in log if one.on == dt.date(2026, 3, 3)] == ["part"]


def test_every_key_of_an_entry() -> None:
    entry = {
        "on": "2026-03-02",
        "modality": "resistance",
        "done": "all",
        "effort": 4,
        "pain": 5,
        "pain_settled": "no",
        "fell": "yes",
        "near_fall": "no",
        "ill": "yes",
        "watched": "yes",
        "red_flag": "chest pain",
        "broke": "wrist",
        "plate": "x",
        "note": "y",
        "entered_on": "2026-03-05",
        "sets": [{"lift": "leg_press", "kg": 46, "reps": 15}],
    }
    (one,) = read_followup_log({}, log=[entry])
    assert (one.pain_settled, one.fell, one.near_fall, one.ill) == (False, True, False, True)
    assert (one.red_flag, one.broke, one.plate, one.note) == ("chest pain", "wrist", "x", "y")
    assert one.known_on == dt.date(2026, 3, 5)
    assert (one.sets[0].kg, one.sets[0].left) == (46, None)


def test_entries_after_the_day_are_not_read() -> None:
    late = {"on": "2026-04-02", "modality": "plate", "done": "all", "fell": "yes"}
    assert answer(document(log=[late]))["events"] == []


def test_where_it_took_up_and_what_was_lifted() -> None:
    found = read(
        signed={"resume": {"plate": 6}, "lifted": ["falls.high.impact"], "plate_cap_g": 2},
        episode_starts_on="2025-12-01",
        last_review_on="2026-03-02",
        wants={"plate_cap_g": None},
    )
    resume = found.held.resume
    assert resume.done(Modality.PLATE) == 6
    assert (resume.plate_cap_g, resume.lifted) == (2.0, {"falls.high.impact"})
    assert found.reading.wanted_caps == (None,)
    assert found.reading.episode == dt.date(2025, 12, 1)
    assert read().held.resume.plate_cap_g == 1.0
    assert read(wants={}).reading.wanted_caps == ()
    lifted = {**document(), "signed": {**DOCUMENT["signed"], "plate_cap_g": None}}
    altogether = read_followup(lifted)
    assert isinstance(altogether, FollowUp)
    assert altogether.held.resume.plate_cap_g is None
    ledger = Ledger(found.held, found.log, found.reading.day)
    assert ledger.reached(Modality.PLATE) == 8


# --- What is refused --------------------------------------------------------------------------


def errors(given: object) -> list[str]:
    return [one["at"] for one in answer(given)["errors"]]


@each(
    ("changes", "at"),
    [
        ({"format": "followup/2"}, "format"),
        ({"more": 1}, "more"),
        ({"as_of": "30 March"}, "as_of"),
        ({"facts": {"person": {"born": "x"}}}, "facts.person.born"),
        ({"facts": {"as_of": "2026-03-31"}}, "facts.as_of"),
        ({"signed": {"facts": {"as_of": "x"}}}, "signed.facts.as_of"),
        ({"signed": {"more": 1}}, "signed.more"),
        ({"signed": {"signed_on": None}}, "signed.signed_on"),
        ({"signed": {"signed_on": "2026-04-01"}}, "signed.signed_on"),
        ({"signed": {"starts_on": "soon"}}, "signed.starts_on"),
        ({"signed": {"resume": {"swimming": 1}}}, "signed.resume.swimming"),
        ({"signed": {"resume": {"plate": -1}}}, "signed.resume.plate"),
        ({"signed": {"resume": {"plate": True}}}, "signed.resume.plate"),
        ({"signed": {"resume": []}}, "signed.resume"),
        ({"signed": {"lifted": "x"}}, "signed.lifted"),
        ({"signed": {"lifted": [1]}}, "signed.lifted"),
        ({"signed": {"plate_cap_g": 3}}, "signed.plate_cap_g"),
        ({"signed": {"facts": {"symptoms": {"fever": "yes"}}}}, "signed.facts"),
        ({"wants": {"plate_cap_g": True}}, "wants.plate_cap_g"),
        ({"wants": {"more": 1}}, "wants.more"),
        ({"last_review_on": "2026-03-31"}, "last_review_on"),
        ({"episode_starts_on": "2026-03-31"}, "episode_starts_on"),
        ({"log": [{"on": "2026-03-02", "modality": "plate"}]}, "log[0].done"),
        ({"log": [{"on": "2026-03-02", "modality": "plate", "done": "all", "x": 1}]}, "log[0].x"),
        ({"log": "none"}, "log"),
        ({"adherent": {"swimming": ADHERENT}}, "adherent.swimming"),
        ({"adherent": {"plate": {"weeks": "4 to 6"}}}, "adherent.plate.weeks"),
        ({"adherent": {"plate": {"weeks": 4}}}, "adherent.plate.weeks"),
        ({"adherent": {"plate": {"share": 1.1}}}, "adherent.plate.share"),
        ({"adherent": {"plate": {"share": "all"}}}, "adherent.plate.share"),
        ({"adherent": {"plate": {"pain": 11}}}, "adherent.plate.pain"),
        ({"adherent": {"plate": {"effort": "hard"}}}, "adherent.plate.effort"),
        ({"adherent": {"plate": {"more": 1}}}, "adherent.plate.more"),
        ({"adherent": {"plate": 1.0}}, "adherent.plate"),
    ],
)
def test_what_is_no_follow_up_is_told_where(changes: dict[str, Any], at: str) -> None:
    assert errors(document(**changes))[0] == at


def test_what_is_no_object() -> None:
    assert errors([]) == [""]
    assert "as_of" in errors({"format": "followup/1"})
    assert {"facts", "signed"} <= set(errors({"format": "followup/1"}))
    assert answer(None)["format"] == "proposal/1"
