"""The press: the same page as in this process, and an end to what takes too much."""

import io
import json
import os
import resource
import sys
import threading
from pathlib import Path
from typing import Any

import pytest

from programs.actions import press, printing
from tests.programs.papers import handout_of, snapshot_of
from tests.rendered import reading

pytestmark = pytest.mark.rendered

PAGE = "<html lang='en'><title>x</title><p>Stand tall.</p></html>"


@pytest.fixture
def pressed_here() -> None:
    """Leave the press as it is in the app."""


def order(text: str = PAGE, **more: Any) -> press.Order:
    return press.Order(**{"text": text, "sheet": "", "files": {}} | more)


def print_handout() -> bytes:
    held = snapshot_of()
    held["weeks"] = held["weeks"][:1]
    told = handout_of(held)
    how = {"language": "en", "paper": "A4", "type_pt": 16}
    return printing.pdf("handout.html", {"handout": told}, issue=told.issue, **how)


def test_it_is_the_page_that_this_process_would_make(monkeypatch: pytest.MonkeyPatch) -> None:
    apart = print_handout()
    assert "Week1:from" in reading.text_of(apart)
    monkeypatch.setattr(press, "apart", press.print_page)
    assert print_handout() == apart


def test_several_threads_print_at_once() -> None:
    made: list[bytes] = []
    threads = [threading.Thread(target=lambda: made.append(press.apart(order()))) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 1
    assert "Standtall." in reading.text_of(made[0])


def test_memory_does_not_grow() -> None:
    """All that a page takes is given back with its process; the pipe's buffers are small."""
    press.apart(order())
    before = resident_mb()
    for _ in range(15):
        press.apart(order())
    assert resident_mb() - before < 1


def resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def test_what_takes_too_long_is_stopped() -> None:
    endless = order("<p>word " * 200_000)
    with pytest.raises(press.PaperRefused, match=r"more than 0\.5 seconds"):
        press.apart(endless, longest_s=0.5)


def test_what_takes_too_much_memory_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    greedy = "from programs.actions import press; press.limit(); bytearray(press.MOST_BYTES)"
    monkeypatch.setattr(press, "_CHILD", greedy)
    with pytest.raises(press.PaperRefused, match="could not be made: MemoryError"):
        press.apart(order())


def test_a_process_that_dies_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(press, "_CHILD", "import os; os.abort()")
    with pytest.raises(press.PaperRefused, match="too much memory"):
        press.apart(order())


def test_what_is_asked_for_outside_is_refused() -> None:
    with pytest.raises(press.PaperRefused, match="file:///etc/hostname"):
        press.apart(order("<link rel=stylesheet href=file:///etc/hostname>"))


def test_warnings_come_through(caplog: pytest.LogCaptureFixture) -> None:
    press.apart(order("<html lang='en'><title>x</title><p>\u738b</p>", sheet="p { colour: red }"))
    assert "colour" in caplog.text


# --- What happens in the process of its own, seen in this one ---------------------------------


def answered(asked: press.Order) -> tuple[int, bytes]:
    text = json.dumps({"text": asked.text, "sheet": asked.sheet, "files": dict(asked.files)})
    made = io.BytesIO()
    return press.answer(io.BytesIO(text.encode()), made), made.getvalue()


@pytest.fixture
def log() -> Any:
    """Put the library's log back as it was."""
    import logging

    held = logging.getLogger("weasyprint")
    before = list(held.handlers), held.level
    yield
    held.handlers, held.level = before


@pytest.mark.usefixtures("log")
def test_an_order_is_answered(capsys: pytest.CaptureFixture[str]) -> None:
    code, made = answered(order())
    assert (code, made[:4]) == (0, b"%PDF")
    code, made = answered(order("<link rel=stylesheet href=http://127.0.0.1:9/>"))
    assert (code, made) == (3, b"")
    assert "http://127.0.0.1:9/" in capsys.readouterr().err


@pytest.mark.usefixtures("log")
def test_it_ends_by_its_code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(press, "answer", lambda *_: 7)
    with pytest.raises(SystemExit) as ended:
        press.serve()
    assert ended.value.code == 7


def test_its_memory_is_limited(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(resource, "setrlimit", lambda *of: asked.append(of))
    press.limit()
    assert asked == [(resource.RLIMIT_AS, (1 << 30, 1 << 30))]


@pytest.mark.usefixtures("log")
def test_a_machine_without_the_library_says_so(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    class Missing:
        def find_spec(self, name: str, path: Any = None, target: Any = None) -> None:
            if name == "weasyprint":
                raise OSError("cannot load library")

    for name in [name for name in sys.modules if name.partition(".")[0] == "weasyprint"]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setattr(sys, "meta_path", [Missing(), *sys.meta_path])
    assert answered(order()) == (4, b"")
    assert "./run says which" in capsys.readouterr().err


def test_that_it_lacks_is_told_by_its_own_kind(monkeypatch: pytest.MonkeyPatch) -> None:
    lacking = "import sys; sys.stderr.write('./run says which'); sys.exit(4)"
    monkeypatch.setattr(press, "_CHILD", lacking)
    with pytest.raises(press.PaperUnavailable, match=r"\./run says which"):
        press.apart(order())
