"""The press that stays warm: the same papers as one of its own makes, and what ends it."""

from __future__ import annotations

import os
import select
import signal
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from programs.actions import pdf_process
from programs.actions.pdf_process import Order, PaperRefused
from programs.machine.warm_press import PressEnded, WarmPress
from tests.rendered import reading

pytestmark = pytest.mark.rendered


def order(words: str) -> Order:
    text = f"<html lang='en'><title>x</title><p>{words}</p></html>"
    return Order(text=text, sheet="", files={})


def on() -> bool:
    return True


@pytest.fixture
def press() -> Iterator[WarmPress]:
    made = WarmPress()
    yield made
    made.end()


def forks_of(press: WarmPress) -> list[int]:
    told = Path(f"/proc/{press.pid}/task/{press.pid}/children").read_text()
    return [int(one) for one in told.split()]


def test_the_same_papers_in_any_order_as_from_a_process_of_its_own(press: WarmPress) -> None:
    """A paper before it, refused or not, changes no byte of the next."""
    tall, slow = order("Stand tall."), order("Sit down slowly. " * 400)
    first = press.print_page(tall, wanted=on)
    longer = press.print_page(slow, wanted=on)
    with pytest.raises(PaperRefused, match="file:///etc/hostname"):
        press.print_page(order("<link rel=stylesheet href=file:///etc/hostname>"), wanted=on)
    assert press.print_page(tall, wanted=on) == first == pdf_process.apart(tall)
    assert longer == pdf_process.apart(slow)
    assert "Standtall." in reading.text_of(first)
    assert press.is_there


def test_warnings_come_through(press: WarmPress, caplog: pytest.LogCaptureFixture) -> None:
    press.print_page(Order(text=order("x").text, sheet="p { colour: red }", files={}), wanted=on)
    assert "colour" in caplog.text


def test_a_page_whose_process_is_killed_is_not_taken_for_printed(press: WarmPress) -> None:
    def kills() -> bool:
        for fork in forks_of(press):
            os.kill(fork, signal.SIGKILL)
        return True

    with pytest.raises(PressEnded, match="own process"):
        press.print_page(order("word " * 200_000), wanted=kills)
    assert press.is_there
    assert press.print_page(order("Stand"), wanted=on).startswith(b"%PDF")


def test_a_press_that_is_killed_says_so_and_takes_its_page_with_it(press: WarmPress) -> None:
    forks: list[int] = []

    def kills() -> bool:
        forks.extend(os.pidfd_open(fork) for fork in forks_of(press))
        os.kill(press.pid, signal.SIGKILL)
        return True

    with pytest.raises(PressEnded, match="The press ended"):
        press.print_page(order("word " * 200_000), wanted=kills)
    assert not press.is_there
    assert forks
    for fork in forks:
        assert _ended(fork)
    with pytest.raises((PressEnded, ValueError)):
        press.print_page(order("Stand"), wanted=on)


def _ended(process: int) -> bool:
    """Tell whether it ends. One that was killed may still have its memory to give back."""
    told, _, _ = select.select([process], [], [], 60)
    os.close(process)
    return bool(told)


def test_what_nobody_wants_any_more_or_takes_too_long_is_stopped(press: WarmPress) -> None:
    with pytest.raises(PressEnded, match="Another press has the page"):
        press.print_page(order("word " * 200_000), wanted=lambda: False)
    assert not press.is_there
    again = WarmPress()
    with pytest.raises(PaperRefused, match=r"more than 0\.5 seconds"):
        again.print_page(order("word " * 200_000), wanted=on, longest_s=0.5)
    assert not again.is_there


def test_it_ends_with_whoever_began_it_and_leaves_no_folder(
    press: WarmPress,
) -> None:
    folder = Path(press._folder.name)
    asked, _ = press._pipes()
    asked.close()
    assert press._process.wait(60) == 0
    assert not folder.exists()


def test_a_page_has_no_more_memory_than_before(press: WarmPress) -> None:
    greedy = (
        "import io, programs.actions.pdf_process as p, programs.machine.warm_press as w\n"
        "p.answer = lambda orders, made: made.write(bytearray(p.MOST_BYTES))\n"
        "print(w._apart(b''))"
    )
    told = subprocess.run(
        [sys.executable, "-c", greedy], capture_output=True, cwd=pdf_process.ROOT, check=True
    )
    assert told.stdout.startswith(b"(1, b''")
    assert b"MemoryError" in told.stdout
