"""The page of whoever watches: who gets one, for which weeks, with what to look at."""

from __future__ import annotations

from dataclasses import replace

from programs.papers import ENGLISH
from programs.papers.paper_parts import WatchPage
from programs.papers.watching import for_who_watches
from programs.signed.program import SignedFinding, SignedProgram
from safety.findings import Level, Modality
from tests.programs.sample_papers import program_of, snapshot_of


def page(program: SignedProgram) -> WatchPage | None:
    return for_who_watches(program.weeks, program, ENGLISH)


def watched() -> SignedProgram:
    return replace(program_of(snapshot_of("faller")), watcher=True, supervised=None)


def of_memory(program: SignedProgram) -> SignedProgram:
    told = SignedFinding(
        rule="cognitive_impairment.balance",
        subject="cognitive_impairment",
        about=Modality.BALANCE,
        level=Level.PRECAUTION,
        text="",
        cleared=False,
        dosed=False,
    )
    return replace(program, findings=(*program.findings, told))


def test_it_names_the_weeks_and_leaves_room_for_who_showed_it() -> None:
    program = watched()
    weeks = [week.week for week in program.weeks if week.plate and week.plate.supervised]
    found = page(program)
    assert found is not None
    assert weeks == list(range(1, len(weeks) + 1))
    span = f"Weeks 1 to {len(weeks)}" if len(weeks) > 1 else "Week 1"
    assert found.when == (f"{span}: be there each time the plate is used.",)
    assert found.shown == ("Shown by", "To", "On this day")
    assert "Look at the hands: both must hold the rail." in found.look
    assert found.stopped[0] == "Press stop on the plate. Help to step off slowly."


def test_where_staff_or_nobody_is_there_it_has_no_page() -> None:
    assert page(replace(watched(), supervised=True)) is None
    for nobody in (False, None):
        assert page(replace(watched(), watcher=nobody)) is None


def test_where_nothing_has_to_be_watched_it_has_no_page() -> None:
    program = watched()
    weeks = tuple(replace(week, plate=None) for week in program.weeks)
    assert page(replace(program, weeks=weeks)) is None


def test_somebody_who_forgets_is_watched_in_all_of_it() -> None:
    program = watched()
    bare = tuple(replace(week, plate=None) for week in program.weeks)
    found = page(of_memory(replace(program, weeks=bare)))
    assert found is not None
    assert found.when == ("Be there each time, for all exercises.",)
    assert not any("panel" in line or "rail" in line for line in found.look)
    assert found.stopped[0] == "Help to sit down. Stay there."


def test_with_a_plate_it_says_of_the_plate_too() -> None:
    found = page(of_memory(watched()))
    assert found is not None
    assert found.when == ("Be there each time, for all exercises.",)
    assert "Look at the head: it must not shake." in found.look


def test_hands_are_looked_at_only_where_they_hold_the_rail() -> None:
    program = watched()
    free = tuple(
        replace(week, plate=replace(week.plate, posture=())) if week.plate else week
        for week in program.weeks
    )
    found = page(replace(program, weeks=free))
    assert found is not None
    assert not any("hands" in line for line in found.look)
