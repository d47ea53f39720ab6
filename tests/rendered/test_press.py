"""The press: the same page as in this process, and an end to what takes too much."""

import io
import json
import os
import resource
import sys
import tempfile
import threading
from pathlib import Path
from typing import Any

import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

from programs.actions import pdf_process, printing
from tests.gate.project import ROOT
from tests.programs.sample_papers import handout_of, snapshot_of
from tests.rendered import reading

pytestmark = pytest.mark.rendered

PAGE = "<html lang='en'><title>x</title><p>Stand tall.</p></html>"


@pytest.fixture
def pressed_here() -> None:
    """Leave the press as it is in the app."""


def order(text: str = PAGE, **more: Any) -> pdf_process.Order:
    return pdf_process.Order(**{"text": text, "sheet": "", "files": {}} | more)


def print_handout() -> bytes:
    held = snapshot_of()
    held["weeks"] = held["weeks"][:1]
    told = handout_of(held)
    how = {"language": "en", "paper": "A4", "type_pt": 16}
    return printing.pdf("handout.html", {"handout": told}, issue=told.issue, **how)


def test_it_is_the_page_that_this_process_would_make(monkeypatch: pytest.MonkeyPatch) -> None:
    apart = print_handout()
    assert "Week1:from" in reading.text_of(apart)
    monkeypatch.setattr(pdf_process, "apart", pdf_process.print_page)
    assert print_handout() == apart


def test_several_threads_print_at_once() -> None:
    made: list[bytes] = []
    threads = [
        threading.Thread(target=lambda: made.append(pdf_process.apart(order()))) for _ in range(3)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert len(set(made)) == 1
    assert "Standtall." in reading.text_of(made[0])


def test_memory_does_not_grow() -> None:
    """All that a page takes is given back with its process; the pipe's buffers are small."""
    pdf_process.apart(order())
    before = resident_mb()
    for _ in range(15):
        pdf_process.apart(order())
    assert resident_mb() - before < 1


def resident_mb() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


@pytest.mark.counted
def test_what_takes_too_long_is_stopped() -> None:
    endless = order("<p>word " * 200_000)
    with pytest.raises(pdf_process.PaperRefused, match=r"more than 0\.5 seconds"):
        pdf_process.apart(endless, longest_s=0.5)


def test_what_takes_too_much_memory_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    greedy = f"import {pdf_process.__name__} as press; press.limit(); bytearray(press.MOST_BYTES)"
    monkeypatch.setattr(pdf_process, "_CHILD", greedy)
    with pytest.raises(pdf_process.PaperRefused, match="could not be made: MemoryError"):
        pdf_process.apart(order())


@pytest.mark.counted
def test_a_process_that_dies_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf_process, "_CHILD", "import os; os.abort()")
    with pytest.raises(pdf_process.PaperRefused, match="too much memory"):
        pdf_process.apart(order())


def test_what_is_asked_for_outside_is_refused() -> None:
    with pytest.raises(pdf_process.PaperRefused, match="file:///etc/hostname"):
        pdf_process.apart(order("<link rel=stylesheet href=file:///etc/hostname>"))


@pytest.mark.counted
def test_warnings_come_through(caplog: pytest.LogCaptureFixture) -> None:
    pdf_process.apart(
        order("<html lang='en'><title>x</title><p>\u738b</p>", sheet="p { colour: red }")
    )
    assert "colour" in caplog.text


# --- Its typefaces ----------------------------------------------------------------------------

TYPEFACES = ROOT / "static" / "fonts"
MACHINES = "Letters of the Machine"
CHINESE = f"""<html lang="en"><title>x</title><p style="font-family: '{MACHINES}'">芳</p>
<p style="font-family: serif; font-style: italic">Stand</p>
<p style="font-family: monospace; font-weight: 700">芳 tall</p></html>"""


@pytest.fixture
def machine_with_chinese(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine whose only typeface has a Chinese letter."""
    pen = TTGlyphPen(None)
    pen.moveTo((0, 0))
    pen.lineTo((0, 500))
    pen.lineTo((500, 500))
    pen.closePath()
    glyphs = dict.fromkeys((".notdef", "fang"), pen.glyph())
    font = FontBuilder(1000, isTTF=True)
    font.setupGlyphOrder(list(glyphs))
    font.setupCharacterMap({ord("芳"): "fang"})
    font.setupGlyf(glyphs)
    font.setupHorizontalMetrics(dict.fromkeys(glyphs, (600, 0)))
    font.setupHorizontalHeader(ascent=800, descent=-200)
    font.setupNameTable({"familyName": MACHINES, "styleName": "Regular", "psName": "Machine"})
    font.setupOS2()
    font.setupPost()
    font.save(tmp_path / "machine.ttf")
    (tmp_path / "fonts.conf").write_text(
        "<?xml version='1.0'?><!DOCTYPE fontconfig SYSTEM 'fonts.dtd'>"
        f"<fontconfig><dir>{tmp_path}</dir><cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    monkeypatch.setenv("FONTCONFIG_FILE", str(tmp_path / "fonts.conf"))


@pytest.mark.usefixtures("machine_with_chinese")
def test_it_sees_no_typeface_of_the_machine(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """Neither where a page asks for it nor where it alone has the letter."""
    seen_here = reading.fonts_of(pdf_process.print_page(order(CHINESE)))
    assert set(seen_here) == {MACHINES.replace(" ", "-")}
    assert "U+82B3" not in caplog.text
    made = pdf_process.apart(order(CHINESE))
    assert "U+82B3" in caplog.text
    bundled = {TTFont(held)["name"].getDebugName(1) for held in TYPEFACES.glob("*.ttf")}
    for name in reading.fonts_of(made):
        assert any(name.replace("-", " ").startswith(family) for family in bundled)
    monkeypatch.delenv("FONTCONFIG_FILE")
    assert pdf_process.apart(order(CHINESE)) == made


def test_it_keeps_nothing_at_home_or_in_the_project(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture, tmp_path: Path
) -> None:
    """A folder that cannot be written would be told of as a warning."""
    for name in ("HOME", "XDG_CACHE_HOME"):
        monkeypatch.setenv(name, "/proc/nowhere")
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    pdf_process.apart(order())
    assert caplog.messages == []
    assert list(tmp_path.iterdir()) == []


# --- What happens in the process of its own, seen in this one ---------------------------------


def answered(asked: pdf_process.Order) -> tuple[int, bytes]:
    text = json.dumps({"text": asked.text, "sheet": asked.sheet, "files": dict(asked.files)})
    made = io.BytesIO()
    return pdf_process.answer(io.BytesIO(text.encode()), made), made.getvalue()


@pytest.fixture
def log() -> Any:
    """Put the library's log back as it was."""
    import logging

    held = logging.getLogger("weasyprint")
    before = list(held.handlers), held.level
    yield
    held.handlers, held.level = before


@pytest.mark.counted
@pytest.mark.usefixtures("log")
def test_an_order_is_answered(capsys: pytest.CaptureFixture[str]) -> None:
    code, made = answered(order())
    assert (code, made[:4]) == (0, b"%PDF")
    code, made = answered(order("<link rel=stylesheet href=http://127.0.0.1:9/>"))
    assert (code, made) == (3, b"")
    assert "http://127.0.0.1:9/" in capsys.readouterr().err


@pytest.mark.counted
@pytest.mark.usefixtures("log")
def test_it_ends_by_its_code(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pdf_process, "answer", lambda *_: 7)
    with pytest.raises(SystemExit) as ended:
        pdf_process.serve()
    assert ended.value.code == 7


@pytest.mark.counted
def test_its_memory_is_limited(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[Any] = []
    monkeypatch.setattr(resource, "setrlimit", lambda *of: asked.append(of))
    pdf_process.limit()
    assert asked == [(resource.RLIMIT_AS, (1 << 30, 1 << 30))]


@pytest.mark.counted
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


@pytest.mark.counted
def test_that_it_lacks_is_told_by_its_own_kind(monkeypatch: pytest.MonkeyPatch) -> None:
    lacking = "import sys; sys.stderr.write('./run says which'); sys.exit(4)"
    monkeypatch.setattr(pdf_process, "_CHILD", lacking)
    with pytest.raises(pdf_process.PaperUnavailable, match=r"\./run says which"):
        pdf_process.apart(order())
