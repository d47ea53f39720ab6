"""What papers say at the end: after the last week, in maintenance, and at a discharge."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from programs.papers import ENGLISH, Span, issue_of, pages, week_page
from programs.papers.discharge import Discharge, discharge
from programs.papers.last_week import holds_one_dose
from programs.papers.span import all_weeks
from programs.signed.ending import Ending, Kept
from programs.signed.program import SignedProgram
from safety.findings import Modality
from tests.each import each
from tests.plain_language import check_line, check_passage, grade
from tests.programs.sample_papers import (
    CLINIC,
    DIGEST,
    ENDED_ON,
    ENDING,
    PEOPLE,
    program_of,
    snapshot_of,
)

M = Modality
HELD = program_of(snapshot_of())
#: Week 26 begins on 24 August 2026; the four weeks after it end on 27 September.
LAST_DAY = "27 September 2026"


def titles(program: SignedProgram, last_week: int | None = None) -> list[str]:
    issue = issue_of(program, ENGLISH, digest=DIGEST, zone=dt.UTC)
    whole = all_weeks(program)
    span = Span(first=1, last=last_week or whole.last)
    return [one.title for one in pages(program, ENGLISH, issue, span).advice]


def expected(program: SignedProgram) -> str:
    issue = issue_of(program, ENGLISH, digest=DIGEST, zone=dt.UTC)
    found = pages(program, ENGLISH, issue, all_weeks(program)).advice
    return " ".join(next(one.tell for one in found if one.title == "What to expect"))


def test_the_last_week_s_paper_says_what_to_do_then() -> None:
    last, before = (week_page(HELD.weeks[n], HELD, ENGLISH) for n in (25, 24))
    assert before.after == ()
    assert last.after[0] == f"Go on as in week 26 for 4 more weeks at most, to {LAST_DAY}."
    assert last.after[2] == f"Stop after {LAST_DAY} without a new plan, and call us."


def test_the_handout_says_it_where_it_holds_the_last_week() -> None:
    assert "After the last week" in titles(HELD)
    assert "After the last week" not in titles(HELD, last_week=12)


def test_a_program_of_one_dose_says_that_it_holds() -> None:
    one = HELD.weeks[0]
    assert one.plate is not None
    first = replace(one, plate=replace(one.plate, supervised=True))
    rest = replace(one, plate=replace(one.plate, supervised=False))
    held = replace(HELD, weeks=(first, *(replace(rest, week=n) for n in range(2, 27))))
    assert holds_one_dose(held)
    assert "It keeps what you have reached." in expected(held)
    assert not holds_one_dose(HELD)
    assert "It keeps what you have reached." not in expected(HELD)
    assert not holds_one_dose(replace(HELD, weeks=HELD.weeks[:1]))


# --- Discharge ------------------------------------------------------------------------------


def page_of(
    ending: Ending = ENDING, program: SignedProgram = HELD, on: dt.date = ENDED_ON
) -> Discharge:
    return discharge(program, ending, on, ENGLISH)


def keeping(**kept: Kept) -> Ending:
    return Ending(keeps={M(name): one for name, one in kept.items()}, near_support=False)


PLAIN, EASIER = Kept(until=None, easier=False), Kept(until=None, easier=True)


def test_kinds_done_in_the_same_way_share_a_line() -> None:
    told = dict(page_of().keep)
    assert list(told) == ["Lifting", "Firm steps and landings", "Balance, Posture"]
    assert told["Balance, Posture"].endswith("Keep within a hand's reach of a worktop.")
    assert (
        "reach" not in dict(page_of(replace(ENDING, near_support=False)).keep)["Balance, Posture"]
    )


def test_an_easier_beginning_is_told() -> None:
    (_, lift), (_, land) = page_of(keeping(resistance=EASIER, impact=EASIER)).keep
    assert "less than before" in lift
    assert "fewer than before" in land
    (_, same), _ = page_of(keeping(resistance=PLAIN, impact=PLAIN)).keep
    assert "No more weight than you lifted last." in same


def test_what_ends_is_named_with_its_day_and_what_is_left_out() -> None:
    until = Kept(until=dt.date(2026, 12, 24), easier=False)
    leave = " ".join(page_of(keeping(resistance=until, balance=until, posture=PLAIN)).leave.tell)
    assert "Lifting, Balance: only until 24 December 2026, then stop." in leave
    assert "Leave out: Vibration plate, Firm steps and landings." in leave
    assert "Do not stop it on your own." in leave


def test_where_nothing_goes_on_nothing_is_to_be_kept_up() -> None:
    said = page_of(Ending(keeps={}, near_support=True))
    assert said.keep == ()
    assert not any("gained" in line or "Missed" in line for line in said.leave.tell)


def test_with_all_left_nothing_is_left_out() -> None:
    held = program_of(snapshot_of("no_plate"))
    assert not any("Leave out" in line for line in page_of(program=held).leave.tell)


def test_a_walker_walks_and_a_frame_is_held() -> None:
    walker, frame = (program_of(snapshot_of(one)) for one in ("vertebral_fracture", "frame"))
    assert "Brisk walking" in " ".join(dict(page_of(program=walker).keep))
    assert any("Keep hold of something fixed." in how for _, how in page_of(program=frame).keep)
    seated = program_of(snapshot_of("seated"))
    assert not any("worktop" in how for _, how in page_of(program=seated).keep)


def test_it_says_where_to_call_and_on_a_blood_thinner_what_a_knock_is() -> None:
    assert page_of().changes.title == "If something changes, call us on 01 000 000"
    silent = replace(HELD, clinic=replace(HELD.clinic, phone=""))
    assert "____" in page_of(program=silent).changes.title
    assert page_of(program=replace(HELD, anticoagulant=True)).alarm.knock


@each("person", PEOPLE)
def test_it_is_plain(person: str) -> None:
    program = program_of(snapshot_of(person, clinic=CLINIC | {"phone": "our number"}))
    said = page_of(program=program)
    text = [*said.leave.tell, *said.changes.tell]
    assert [one for line in text for one in check_line(line, instruction=False)] == []
    assert check_passage(text) == ()
    assert grade("\n".join(text)) <= 6
