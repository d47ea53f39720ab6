"""The line before the presses: who comes next, what is kept of it, what another press takes up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.db import IntegrityError, transaction
from django.utils import timezone

from programs.actions import pdf_process, press_queue
from programs.actions.pdf_process import Order, PaperUnavailable
from programs.actions.press_queue import BeingMade, Job, Line, paper_of, place_of, take
from programs.models.press import PressOrder
from tests.programs import rows

pytestmark = [pytest.mark.django_db, pytest.mark.database]

CSS = str(Path(pdf_process.ROOT) / "static" / "handout.css")
NOW = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
LATE = NOW + press_queue.HELD + dt.timedelta(seconds=1)
ONE, TWO = ("here 1",), ("here 1", "here 2")


@pytest.fixture(autouse=True)
def served() -> Iterator[None]:
    press_queue.serve_line(True)
    yield
    press_queue.serve_line(False)


def order(text: str) -> Order:
    return Order(text=text, sheet="p { color: black }", files={"handout.css": CSS})


def ask(text: str, *, anchor: str = "", **line: object) -> int:
    """Ask for a paper that is not there yet; return its number in line."""
    with pytest.raises(BeingMade) as waits:
        paper_of(order(text), anchor=anchor, line=Line(**line))  # type: ignore[arg-type]
    return waits.value.order


def given(text: str, anchor: str = "") -> bytes:
    return paper_of(order(text), anchor=anchor, line=Line())


def taken(presses: tuple[str, ...] = ONE, at: dt.datetime = NOW) -> Job:
    job = take(presses, at)
    assert job is not None
    return job


def test_where_no_press_serves_it_a_paper_is_printed_at_once(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    press_queue.serve_line(False)
    monkeypatch.setattr(pdf_process, "apart", lambda order: f"%PDF {order.text}".encode())
    assert given("Stand") == b"%PDF Stand"
    assert not PressOrder.objects.exists()


def test_a_page_waits_is_printed_and_given() -> None:
    of = ask("Stand tall")
    assert ask("Stand tall") == of
    job = taken()
    assert press_queue.order_of(job) == order("Stand tall")
    assert ask("Stand tall") == of
    press_queue.keep_printed(job, b"%PDF 1")
    assert given("Stand tall") == b"%PDF 1"
    assert given("Stand tall") == b"%PDF 1"
    assert take(ONE, NOW) is None


def test_only_the_same_page_is_given_whatever_its_anchor() -> None:
    """The record has a new head with each line: what was printed before that says the same."""
    ask("Stand. Record 12-abc", anchor="12-abc")
    press_queue.keep_printed(taken(), b"%PDF with 12-abc")
    assert given("Stand. Record 13-def", anchor="13-def") == b"%PDF with 12-abc"
    ask("Sit. Record 13-def", anchor="13-def")
    with pytest.raises(BeingMade):
        paper_of(
            Order(text="Stand. Record 12-abc", sheet="", files={}), anchor="12-abc", line=Line()
        )
    assert PressOrder.objects.count() == 3


def test_a_style_sheet_of_another_release_makes_another_page(tmp_path: Path) -> None:
    sheet = tmp_path / "a.css"
    sheet.write_text("p { color: black }")
    asked = Order(text="Stand", sheet="", files={"a.css": str(sheet)})
    with pytest.raises(BeingMade) as first:
        paper_of(asked, anchor="", line=Line())
    sheet.write_text("p { color: navy }")
    with pytest.raises(BeingMade) as second:
        paper_of(asked, anchor="", line=Line())
    assert first.value.order != second.value.order


def test_whoever_waits_comes_before_what_is_printed_ahead() -> None:
    ahead, first, second = ask("ahead", wanted=False), ask("first"), ask("second")
    places = {one: place_of(one) for one in (ahead, first, second)}
    assert [places[one].before for one in (first, second, ahead)] == [0, 1, 2]
    job = taken()
    assert job.pk == first
    assert (place_of(first).printing, place_of(second).before) == (True, 1)
    # Now somebody waits for it: it is asked for later than the second, but began to wait before.
    assert ask("ahead") == ahead
    assert place_of(second).before == 2
    press_queue.keep_printed(job, b"%PDF")
    assert place_of(first).ready
    assert [taken(TWO).pk, taken(TWO).pk] == [ahead, second]


def test_each_press_has_one_page_and_the_database_holds_it_to_that() -> None:
    for text in ("a", "b", "c"):
        ask(text)
    first = taken(ONE)
    assert take(ONE, NOW) is None
    second = taken(TWO)
    assert (first.press, second.press) == TWO
    assert take(TWO, NOW) is None
    assert taken(("elsewhere 1",)).press == "elsewhere 1"
    with pytest.raises(IntegrityError), transaction.atomic():
        PressOrder.objects.filter(pk=second.pk).update(press=first.press)


def test_two_processes_that_reach_for_one_page_or_one_press(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Each read the line before the other had written: one gets the page, the other none."""
    ask("a"), ask("b")
    unread = [*PressOrder.objects.order_by("pk").values("pk", "press", "until", "tries")]
    job = taken()
    assert press_queue._taken(unread[0], "here 2", NOW) is None
    assert press_queue._taken(unread[1], "here 1", NOW) is None
    assert press_queue._taken(unread[1], "here 2", NOW) is not None
    assert job.press == "here 1"


def test_what_a_killed_press_had_is_taken_up_by_another_which_comes_first() -> None:
    of = ask("a")
    dead = taken(("dead 1",))
    ask("b")
    assert press_queue.still_at_it(dead, NOW)
    assert taken(ONE).pk != of
    job = taken(TWO, LATE)
    assert (job.pk, job.press) == (of, "here 2")
    # Was it only asleep: it prints nothing any more that would count.
    assert not press_queue.still_at_it(dead, LATE)
    press_queue.keep_printed(dead, b"%PDF late")
    press_queue.keep_refused(dead, "late")
    press_queue.put_back(dead)
    assert place_of(of).printing
    press_queue.keep_printed(job, b"%PDF")
    assert given("a") == b"%PDF"


def test_a_machine_that_comes_back_takes_up_its_own() -> None:
    ask("a"), ask("b")
    before = taken(ONE)
    again = taken(ONE, LATE)
    assert (again.pk, again.press) == (before.pk, before.press)


def test_a_page_that_ends_its_presses_is_refused_in_the_end() -> None:
    of, other = ask("a"), ask("b")
    for _ in range(press_queue.MOST_TRIES):
        press_queue.put_back(taken())
    assert taken().pk == other
    assert place_of(of).ready
    with pytest.raises(PaperUnavailable, match="again and again"):
        given("a")
    assert ask("a") != of


def test_a_refusal_is_told_once_and_then_it_is_tried_anew() -> None:
    ask("a")
    press_queue.keep_refused(taken(), "The paper asked for a file.")
    with pytest.raises(PaperUnavailable, match="asked for a file"):
        given("a")
    ask("a")


def test_nothing_of_a_page_can_be_read_in_the_database_or_changed_there() -> None:
    ask("Zwanziger, 16 kg"), ask("other")
    rows_held = [*PressOrder.objects.order_by("pk")]
    assert b"Zwanziger" not in bytes(rows_held[0].page)
    # Somebody puts another page in its place.
    PressOrder.objects.filter(pk=rows_held[0].pk).update(page=bytes(rows_held[1].page))
    job = taken()
    with pytest.raises(PaperUnavailable, match="not the one that was asked for"):
        press_queue.order_of(job)
    press_queue.keep_refused(job, "-")
    # Somebody puts another paper in the place of one that was printed.
    press_queue.keep_printed(taken(), b"%PDF other")
    ask("third")
    press_queue.keep_printed(taken(), b"%PDF third")
    third = PressOrder.objects.last()
    assert b"%PDF third" not in bytes(third.paper)
    PressOrder.objects.filter(pk=rows_held[1].pk).update(paper=bytes(third.paper))
    assert ask("other") != rows_held[1].pk
    assert given("third") == b"%PDF third"


def test_a_typeface_of_the_clinic_that_the_printing_machine_lacks(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    name = "fonts/clinic/0.ttf"
    (tmp_path / "a.ttf").write_bytes(b"letters")
    asked = Order(text="a", sheet="", files={name: str(tmp_path / "a.ttf")})
    with pytest.raises(BeingMade):
        paper_of(asked, anchor="", line=Line())
    job = taken()
    with pytest.raises(PaperUnavailable, match="CALCAR_FONTS"):
        press_queue.order_of(job)
    monkeypatch.setattr(press_queue.clinic_letters, "places", lambda: {name: "/there/b.ttf"})
    assert press_queue.order_of(job).files == {name: "/there/b.ttf"}


def test_after_a_day_it_is_gone(clinician: User) -> None:
    her = rows.patient(clinician)
    of = ask("a", patient=her.pk)
    assert PressOrder.objects.get(pk=of).patient == her
    asked = PressOrder.objects.get(pk=of).asked_at
    press_queue.throw_away_old(asked + press_queue.KEPT)
    assert PressOrder.objects.filter(pk=of).exists()
    press_queue.throw_away_old(asked + press_queue.KEPT + dt.timedelta(seconds=1))
    assert not PressOrder.objects.exists()
    assert timezone.is_aware(asked)
