"""The presses of a machine: what becomes of a page when its press ends, refuses or is stopped."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.db import OperationalError

from programs.actions import press_queue
from programs.actions.pdf_process import Order, PaperRefused
from programs.actions.press_queue import BeingMade, Line, paper_of
from programs.machine import press_room
from programs.machine.many import _with_presses
from programs.machine.press_room import Desk, PressRoom, presses_here
from programs.machine.warm_press import PressEnded
from programs.models.press import PressOrder

pytestmark = [pytest.mark.django_db, pytest.mark.database]
HERE = ("here 1",)


class Played:
    """A press that does what it is told to."""

    made: list[Played] = []  # each test begins with none

    def __init__(self) -> None:
        self.is_there, self.ended = True, 0
        self.made.append(self)

    does: Callable[[Played, Order, Callable[[], bool]], bytes]

    def print_page(self, order: Order, *, wanted: Callable[[], bool]) -> bytes:
        return Played.does(self, order, wanted)

    def end(self) -> None:
        self.ended += 1


def prints(press: Played, order: Order, wanted: Callable[[], bool]) -> bytes:
    return f"%PDF {order.text}".encode()


def ends(press: Played, order: Order, wanted: Callable[[], bool]) -> bytes:
    press.is_there, Played.does = False, prints
    raise PressEnded("The press ended.")


def refuses(press: Played, order: Order, wanted: Callable[[], bool]) -> bytes:
    raise PaperRefused("It asked for a file.")


@pytest.fixture(autouse=True)
def served() -> Iterator[None]:
    press_queue.serve_line(True)
    Played.made, Played.does = [], prints
    yield
    press_queue.serve_line(False)


@pytest.fixture
def desk() -> Desk:
    return Desk(Played, goes_on=lambda: True)  # type: ignore[arg-type]


def ask(text: str) -> None:
    with pytest.raises(BeingMade):
        given(text)


def given(text: str) -> bytes:
    return paper_of(Order(text=text, sheet="", files={}), anchor="", line=Line())


def test_it_prints_what_is_next(desk: Desk) -> None:
    ask("a"), ask("b")
    assert [desk.print_next(HERE) for _ in range(3)] == [True, True, False]
    assert (given("a"), given("b")) == (b"%PDF a", b"%PDF b")
    assert len(Played.made) == 1


def test_a_press_that_ended_has_its_page_taken_up_by_another(desk: Desk) -> None:
    Played.does = ends
    ask("a")
    assert desk.print_next(HERE)
    ask("a")
    assert desk.print_next(HERE)
    assert given("a") == b"%PDF a"
    assert [press.ended for press in Played.made] == [1, 0]


def test_what_is_refused_is_told_and_the_press_goes_on(desk: Desk) -> None:
    Played.does = refuses
    ask("a")
    desk.print_next(HERE)
    with pytest.raises(press_queue.PaperUnavailable, match="asked for a file"):
        given("a")
    assert len(Played.made) == 1


def test_whatever_goes_wrong_no_press_is_left_in_the_middle_of_a_page(desk: Desk) -> None:
    def fails(*_: Any) -> bytes:
        raise OperationalError("the server closed the connection")

    Played.does = fails
    ask("a")
    with pytest.raises(OperationalError):
        desk.print_next(HERE)
    assert [press.ended for press in Played.made] == [1, 0]
    # Its page is not lost: another takes it when nothing was heard of it for too long.
    assert PressOrder.objects.get().waiting


def test_it_stops_where_another_has_the_page_or_the_server_ends() -> None:
    going, told = [True], []

    def asks(press: Played, order: Order, wanted: Callable[[], bool]) -> bytes:
        told.append(wanted())
        PressOrder.objects.update(press="elsewhere 1")
        told.append(wanted())
        PressOrder.objects.update(press="here 1")
        going.clear()
        told.append(wanted())
        return b"%PDF"

    Played.does = asks
    ask("a")
    Desk(Played, goes_on=lambda: bool(going)).print_next(HERE)  # type: ignore[arg-type]
    assert told == [True, False, False]


def test_the_thread_lives_through_what_goes_wrong_and_tidies_up(
    monkeypatch: pytest.MonkeyPatch, desk: Desk, caplog: pytest.LogCaptureFixture
) -> None:
    room, tidied, wrong = PressRoom(0), [], [OperationalError("gone"), KeyError("x")]
    monkeypatch.setattr(press_room, "close_old_connections", lambda: None)
    monkeypatch.setattr(press_room.connections, "close_all", lambda: None)
    monkeypatch.setattr(press_queue, "throw_away_old", tidied.append)
    monkeypatch.setattr(desk, "print_next", lambda presses: False)
    assert room._once(desk) == press_room.LOOK_S
    assert room._once(desk) == press_room.LOOK_S
    assert len(tidied) == 1

    def fails(presses: object) -> bool:
        raise wrong.pop(0)

    monkeypatch.setattr(desk, "print_next", fails)
    assert [room._once(desk), room._once(desk)] == [press_room.AGAIN_S] * 2
    assert "cannot be reached: gone" in caplog.text
    assert "A paper was not printed" in caplog.text


def test_a_room_opens_the_line_and_closes_it_and_its_presses(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    press_queue.serve_line(False)
    looked = threading.Event()
    monkeypatch.setattr(press_room, "WarmPress", Played)
    monkeypatch.setattr(press_room.connections, "close_all", lambda: None)
    monkeypatch.setattr(PressRoom, "_once", lambda room, desk: looked.set() or 0.01)
    room = PressRoom(1)
    room.start()
    assert looked.wait(30)
    assert press_queue.is_served()
    room.stop()
    assert not press_queue.is_served()
    assert [press.ended for press in Played.made] == [1]


@pytest.mark.parametrize(("cores", "presses"), [(None, 1), (1, 1), (2, 1), (8, 7)])
def test_one_core_is_left_for_the_pages(
    monkeypatch: pytest.MonkeyPatch, cores: int | None, presses: int
) -> None:
    monkeypatch.setattr(press_room.os, "cpu_count", lambda: cores)
    assert len({*presses_here()}) == presses


def test_processes_share_the_presses_of_the_machine(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of seven presses three processes have three threads each, held by the database to seven."""
    threads: list[int] = []
    monkeypatch.setattr("programs.machine.many.presses_here", lambda: tuple("1234567"))
    monkeypatch.setattr("programs.machine.many.PressRoom", threads.append)
    assert {*_with_presses(3)} == {"post_worker_init", "worker_exit"}
    assert threads == [3]
