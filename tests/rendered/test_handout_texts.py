"""What people type on paper: long names, other letters, hostile text. Nothing is fetched."""

import datetime as dt
import socket
import sys
import threading
import time
from collections.abc import Iterator
from typing import Any

import page as pdf_rules
import pytest

from programs.actions import printing
from programs.papers import ENGLISH, issue_of
from programs.papers.questionnaire import questionnaire
from programs.papers.summary import summary
from tests.gate.project import ROOT, run
from tests.programs.sample_papers import (
    CLINIC,
    DIGEST,
    OF_TODAY,
    SIGNER,
    WHO,
    handout_of,
    program_of,
    sheet_of,
    snapshot_of,
)
from tests.rendered import reading
from tests.rendered.reading import MM, squeezed
from tests.rendered.test_handout import FONTS, print_handout

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

SLOWEST_S = 60


def short(**more: Any) -> Any:
    """Return the snapshot of a week with nothing but the plate: few pages, every kind of text."""
    held = snapshot_of(**more)
    held["weeks"] = held["weeks"][:1]
    for modality in ("resistance", "impact", "balance", "posture"):
        held["weeks"][0][modality] = None
    return held


def print_summary(held: Any) -> bytes:
    issue = issue_of(program_of(held), ENGLISH, digest=DIGEST, zone=dt.UTC)
    how = {"language": "en", "paper": "A4", "type_pt": 10}
    return printing.pdf(
        "paper/summary.html", {"summary": summary(program_of(held))}, issue=issue, **how
    )


# --- Names ----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("given", "family"),
    [
        ("Simon", "O'Grady"),
        ("Núria", "Muñoz-Łukasiewicz"),
        ("Ελένη", "Παπαδοπούλου"),
        ("Ольга", "Достоевская"),
        ("Þórunn", "Ægisdóttir"),
        ("Nguyễn", "Thị Hồng"),
    ],
)
def test_names_stand_as_they_are(given: str, family: str) -> None:
    held = short(patient=WHO | {"given_name": given, "family_name": family})
    made = print_handout(held)
    for page in reading.pages_of(made):
        assert squeezed(f"{given} {family}") in squeezed(page.text)
    assert reading.missing_glyphs(made) == 0
    assert printing.unprintable(f"{given} {family}") == ()


@pytest.mark.parametrize(("given", "family"), [("שרה", "כהן"), ("فاطمة", "الزهراء")])
def test_names_written_from_the_right(given: str, family: str) -> None:
    """Their letters are all there; the order of a line is the reader's business."""
    made = print_handout(short(patient=WHO | {"given_name": given, "family_name": family}))
    assert reading.missing_glyphs(made) == 0
    assert set(reading.fonts_of(made)) <= FONTS
    assert printing.unprintable(given + family) == ()


def test_letters_that_no_typeface_has_are_named_and_reported() -> None:
    made = print_handout(short(patient=WHO | {"given_name": "王", "family_name": "芳"}))
    assert printing.unprintable("王 芳, 王") == ("王", "芳")
    assert squeezed("[U+738B] [U+82B3]") in reading.text_of(made)
    assert reading.missing_glyphs(made) == 0
    assert set(reading.fonts_of(made)) <= FONTS


@pytest.mark.parametrize("sign", ["\u202e", "\u200b", "\U0001f600", "\u2060"])
def test_signs_that_hide_or_turn_are_shown_by_their_number(sign: str) -> None:
    made = print_handout(short(patient=WHO | {"given_name": f"Or{sign}la"}))
    if printing.unprintable(sign):
        assert f"Or[U+{ord(sign):04X}]la" in reading.text_of(made)
    assert reading.missing_glyphs(made) == 0


@pytest.mark.parametrize("paper", printing.PAPERS)
@pytest.mark.parametrize("family", ["Long" * 30, "Wide Mouthed " * 9 + "End"])
def test_the_longest_name_is_printed_whole_and_covers_nothing(paper: str, family: str) -> None:
    """Case C05."""
    held = short(patient=WHO | {"given_name": "W" * 120, "family_name": family[:120]})
    made = print_handout(held, paper, 20)
    edge = 20 * MM
    for page in reading.pages_of(made):
        text = squeezed(page.text)
        assert squeezed("W" * 120 + family[:120] + ", born 14 August 1960") in text
        assert max(box[3] for box in page.drawn) <= page.height - edge
        assert max(box[2] for box in page.drawn) <= page.width - edge
    heads = [one for one in reading.letters_of(made) if one.sign == "W" and one.size_pt < 20.5]
    title = [one for one in reading.letters_of(made) if one.page == 1 and one.size_pt > 20.5]
    assert min(one.box[1] for one in heads if one.page == 1) > max(one.box[3] for one in title)


def test_a_long_note_is_printed_whole() -> None:
    """Case C05."""
    note = " ".join(f"word{n}" for n in range(400))
    assert len(note) > 2900
    edit = {
        "seq": 1,
        "by": SIGNER["name"],
        "at": SIGNER["at"],
        "week_from": 1,
        "week_to": 2,
        "path": "balance.minutes",
        "old": 60,
        "new": 50,
        "reason": note,
        "limit_passed": "",
    }
    assert squeezed(note) in reading.text_of(print_summary(snapshot_of(edits=[edit])))


# --- Hostile text ---------------------------------------------------------------------------


@pytest.fixture(scope="module")
def canary() -> Iterator[tuple[int, list[bytes]]]:
    """A server on this machine that notes every call and answers with a way to a local file."""
    calls: list[bytes] = []
    server = socket.create_server(("127.0.0.1", 0))
    server.settimeout(0.2)
    stop = threading.Event()

    def listen() -> None:
        while not stop.is_set():
            try:
                caller, _ = server.accept()
            except TimeoutError:
                continue
            with caller:
                calls.append(caller.recv(1000))
                caller.sendall(b"HTTP/1.1 302 Found\r\nLocation: file:///etc/hostname\r\n\r\n")

    thread = threading.Thread(target=listen)
    thread.start()
    yield server.getsockname()[1], calls
    stop.set()
    thread.join()
    server.close()


HOSTILE = (
    "<img src=file:///etc/passwd>",
    "<img src=http://127.0.0.1:PORT/r>",
    "<img src='ftp://127.0.0.1:PORT/r'>",
    "<link rel=attachment href=file:///etc/hostname>",
    "<link rel=stylesheet href=http://127.0.0.1:PORT/c.css>",
    "<a rel=attachment href=file:///etc/hostname>x</a>",
    "<a href='javascript:alert(1)'>x</a>",
    "<style>@import url(http://127.0.0.1:PORT/i.css);</style>",
    "</style><style>*{display:none}</style>",
    "<style>@font-face{font-family:x;src:url(http://127.0.0.1:PORT/f)}</style>",
    "<style>body{content:url(file:///etc/hostname)}</style>",
    "<svg><image href='http://127.0.0.1:PORT/s'/></svg>",
    "<img src='data:image/svg+xml,<svg><use href=\"file:///etc/passwd\"/></svg>'>",
    "<object data=http://127.0.0.1:PORT/o></object>",
    "<embed src=file:///dev/urandom>",
    "<iframe src=http://127.0.0.1:PORT/if></iframe>",
    "<script>alert(1)</script>",
    "<table bgcolor='url(http://127.0.0.1:PORT/b)'><td background=x>",
    "<div style='width:1e9px;height:1e9px'>wide</div>",
    "<base href=http://127.0.0.1:PORT/>",
    "<meta http-equiv=refresh content='0;url=http://127.0.0.1:PORT/'>",
    "{{ 7|add:7 }}{% debug %}",
    "&lt;b&gt; &amp; &#0; ]]> <!-- -->",
    "\"><p class='draft-mark'>DRAFT</p>",
    "' OR 1=1 -- \\a \\22",
)


def test_there_are_enough_of_them() -> None:
    assert len(set(HOSTILE)) == 25


@pytest.mark.parametrize("payload", HOSTILE)
def test_hostile_text_is_only_text(payload: str, canary: tuple[int, list[bytes]]) -> None:
    """Case F11 among them: a picture that is answered with the way to a local file."""
    port, calls = canary
    text = payload.replace("PORT", str(port))
    held = short(
        patient=WHO | {"given_name": text, "record_number": text},
        signer=SIGNER | {"name": text, "meaning": text},
        clinic={"name": text, "phone": text, "address": text},
        left_out={"balance": text},
        edits=[
            {
                "seq": 1,
                "by": text,
                "at": SIGNER["at"],
                "week_from": 1,
                "week_to": 1,
                "path": "plate.posture",
                "old": text,
                "new": text,
                "reason": text,
                "limit_passed": text,
            }
        ],
    )
    held["weeks"][0]["plate"] |= {"plate": text, "posture": text}
    begun = time.monotonic()
    for made in (print_handout(held), print_summary(held)):
        assert squeezed(text) in reading.text_of(made)
        assert reading.brings_along(made) == set()
        assert reading.missing_glyphs(made) == 0
    assert time.monotonic() - begun < SLOWEST_S
    assert calls == []


def test_the_canary_would_have_sung(canary: tuple[int, list[bytes]]) -> None:
    port, calls = canary
    with socket.create_connection(("127.0.0.1", port)) as caller:
        caller.sendall(b"hello")
        assert b"302" in caller.recv(100)
    assert calls.pop() == b"hello"


def test_a_very_long_note_ends() -> None:
    begun = time.monotonic()
    held = short(signer=SIGNER | {"meaning": "long words " * 18_000})
    made = print_summary(held)
    assert len(reading.text_of(made)) > 160_000
    assert time.monotonic() - begun < SLOWEST_S


@pytest.mark.parametrize(
    "address",
    [
        "file:///etc/hostname",
        "http://127.0.0.1:9/",
        "https://paper.invalid/static/../etc/hostname",
        "https://paper.invalid/static/%2e%2e/settings.py",
        "https://paper.invalid/static/calcar.css",
        "https://paper.invalid/static/fonts/",
        "https://paper.invalid.example/static/handout.css",
        "data:text/css,p{}",
        "//127.0.0.1:9/x",
    ],
)
def test_the_fetcher_stops_the_printing(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Even where a template of our own asked for it."""
    page = f'<html lang="en"><title>x</title><link rel="stylesheet" href="{address}"><p>x</p>'
    monkeypatch.setattr(printing, "render_to_string", lambda *_: page)
    with pytest.raises(printing.PaperRefused):
        printing.pdf("any", {}, issue=None, language="en", paper="A4", type_pt=16)


def test_the_readers_of_these_tests_would_notice(
    monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A letter without a glyph, a link out, a page without its language."""
    bad = "<html><title>x</title><p><a href='https://out.invalid/'>芳</a></p>"
    monkeypatch.setattr(printing, "render_to_string", lambda *_: bad)
    monkeypatch.setattr(printing, "printable", lambda text: text)
    made = printing.pdf("any", {}, issue=None, language="en", paper="A4", type_pt=16)
    assert reading.missing_glyphs(made) > 0 or not set(reading.fonts_of(made)) <= FONTS
    assert reading.brings_along(made) == {"/URI"}
    assert not pdf_rules.is_pdf_compliant_bytes(made, profile="ua1")
    assert "notdef" in caplog.text
    caplog.clear()


# --- Other papers, other machines -----------------------------------------------------------


@pytest.mark.parametrize("week", [0, 12, 25])
def test_a_week_for_the_fridge_door_is_a_sheet_of_its_own(week: int) -> None:
    """It names no page of an exercise; its table says again which week it is."""
    held = snapshot_of("vertebral_fracture")
    made = printing.pdf(
        "paper/sheets.html",
        {"sheets": (sheet_of(held, week + 1),)},
        issue=handout_of(held, last_week=1).issue,
        language="en",
        paper="Letter",
        type_pt=16,
    )
    front, *backs = reading.pages_of(made)
    assert len(backs) in (1, 2)
    assert squeezed(f"Week {week + 1}: from") in squeezed(front.text)
    assert all(squeezed(f"Week {week + 1}:") in squeezed(page.text) for page in backs)
    assert ",page" not in reading.text_of(made)
    assert min(letter.size_pt for letter in reading.letters_of(made)) >= 16 - 0.01
    assert pdf_rules.is_pdf_compliant_bytes(made, profile="ua1")


@pytest.mark.parametrize(("paper", "type_pt"), [("A4", 16), ("Letter", 20)])
def test_the_blank_form(paper: str, type_pt: int) -> None:
    form = questionnaire(ENGLISH, OF_TODAY)
    made = printing.pdf(
        "paper/questionnaire.html",
        {"form": form},
        issue=None,
        language="en",
        paper=paper,
        type_pt=type_pt,
    )
    text = reading.text_of(made)
    for table in (*form.tables, form.falls, form.help):
        for line in table.asked:
            assert squeezed(line.text) in text
    assert pdf_rules.is_pdf_compliant_bytes(made, profile="ua1")
    assert min(letter.size_pt for letter in reading.letters_of(made)) >= 14 - 0.01
    assert CLINIC["name"] not in text


def test_a_table_over_several_pages_has_its_head_on_each() -> None:
    """Case F05: the head is said again, and no row is parted."""
    form = questionnaire(ENGLISH, OF_TODAY)
    made = printing.pdf(
        "paper/questionnaire.html",
        {"form": form},
        issue=None,
        language="en",
        paper="Letter",
        type_pt=20,
    )
    texts = [squeezed(page.text) for page in reading.pages_of(made)]
    long = max(form.tables, key=lambda table: len(table.asked))
    lines = [squeezed(f"{line.text}{line.written}") for line in long.asked]
    held = [[text for text in texts if line in text] for line in lines]
    assert all(len(pages) == 1 for pages in held)
    over = {page for (page,) in held}
    assert len(over) > 1
    assert all("QuestionYesNoNotsure" in page for page in over)


ALONE = """
import os, sys
os.environ["DJANGO_SETTINGS_MODULE"] = "config.settings_test"
import django
django.setup()
from tests.programs.sample_papers import WHO
from tests.rendered.test_handout_texts import print_handout, short
held = short(patient=WHO | {"given_name": "Ελένη", "family_name": "芳"})
sys.stdout.buffer.write(print_handout(held).hex().encode())
"""


def test_a_machine_without_any_typeface(tmp_path: Any) -> None:
    """Case F01: where the system has none, ours are used, and no letter is a box."""
    (tmp_path / "fonts.conf").write_text(
        "<?xml version='1.0'?><!DOCTYPE fontconfig SYSTEM 'fonts.dtd'>"
        f"<fontconfig><dir>{tmp_path}</dir><cachedir>{tmp_path}</cachedir></fontconfig>"
    )
    done = run(
        sys.executable,
        "-c",
        ALONE,
        FONTCONFIG_FILE=str(tmp_path / "fonts.conf"),
        PYTHONPATH=str(ROOT),
        CALCAR_STATE=str(tmp_path),
    )
    made = bytes.fromhex(done.stdout.strip().splitlines()[-1])
    assert set(reading.fonts_of(made)) <= FONTS
    assert reading.missing_glyphs(made) == 0
    assert squeezed("Ελένη [U+82B3]") in reading.text_of(made)
