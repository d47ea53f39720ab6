"""The week on her phone is the paper's; today comes first; the slip says what it is for."""

from __future__ import annotations

import datetime as dt

import pytest

from programs.actions.papers import words_of
from programs.papers import ENGLISH, week_page
from programs.papers.phone_slip import CodeOnSlip, phone_slip
from programs.papers.phone_week import number_on, phone_week, shown_until
from programs.phone.qr import svg
from programs.week.week import part_of
from safety.findings import Modality
from tests.programs.sample_papers import program_of, snapshot_of

PROGRAM = program_of(snapshot_of())
MONDAY = PROGRAM.starts_on
DAY = dt.timedelta(days=1)
HELD = CodeOnSlip(
    picture="https://calcar.clinic.example/week/en/abc/",
    address="calcar.clinic.example/week/",
    code="abcde-fghij",
    until=dt.datetime(2026, 3, 5, 9, 5, tzinfo=dt.UTC),
    phone="01 000 000",
)


@pytest.mark.parametrize(
    ("days", "week"), [(-9, 1), (0, 1), (6, 1), (7, 2), (26 * 7 - 1, 26), (26 * 7, None)]
)
def test_the_week_of_a_day(days: int, week: int | None) -> None:
    assert number_on(PROGRAM, MONDAY + days * DAY) == week


def test_it_is_shown_to_the_end_of_the_day_after_its_last() -> None:
    assert shown_until(PROGRAM, 2) == MONDAY + 15 * DAY


@pytest.mark.parametrize("language", ["en", "es", "fr"])
def test_its_words_are_those_of_the_paper(language: str) -> None:
    words = words_of(language)
    shown = phone_week(PROGRAM, 3, MONDAY + 16 * DAY, words)
    assert shown.page == week_page(PROGRAM.weeks[2], PROGRAM, words)
    assert set(shown.today) <= set(shown.page.todos)


def test_each_day_has_the_kinds_of_its_timetable() -> None:
    shown = phone_week(PROGRAM, 1, MONDAY, ENGLISH)
    assert [one.on for one in shown.days] == [MONDAY + n * DAY for n in range(7)]
    assert shown.days[0].name == "Monday 2 March 2026"
    held = [m for m in Modality if part_of(PROGRAM.weeks[0], m)]
    named = dict(zip((todo.title for todo in shown.page.todos), held, strict=True))
    codes = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    for code, day in zip(codes, shown.days, strict=True):
        assert {named[kind] for kind in day.kinds} <= {*PROGRAM.timetable.get(code, ())}
    assert [todo.title for todo in shown.today] == list(shown.days[0].kinds) != []


def test_a_day_of_another_week_has_nothing_for_today() -> None:
    for day in (MONDAY - DAY, MONDAY + 7 * DAY):
        assert phone_week(PROGRAM, 1, day, ENGLISH).today == ()


def test_the_slip_says_what_for_and_how_long_and_names_nobody() -> None:
    slip = phone_slip(ENGLISH, HELD)
    told = " ".join((slip.title, *slip.do, *slip.tell, slip.typed, slip.then, slip.lost))
    assert "until 09:05 on Thursday 5 March 2026" in told
    assert "this week only" in told
    assert "call us on 01 000 000" in told
    assert (slip.address, slip.code) == (HELD.address, HELD.code)
    assert slip.qr == svg(HELD.picture, "Picture of an address for the camera of your phone")


def test_a_clinic_without_a_number_is_called_all_the_same() -> None:
    held = CodeOnSlip(**{**vars(HELD), "phone": ""})
    assert phone_slip(words_of("es"), held).lost == "Si la pierde, llámenos. Anulamos el código."
