"""The press: a page of text becomes a PDF, in a process of its own that ends with the paper.

The library that lays out pages keeps some memory of each of them, and a text may ask for more
time or memory than there is. A process that ends gives its memory back and can be stopped.
It sees the bundled typefaces alone, so the same page gives the same paper on every machine.
"""

from __future__ import annotations

import json
import logging
import os
import resource
import subprocess
import sys
import tempfile
import threading
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any, BinaryIO
from xml.sax.saxutils import escape

from programs.actions.pdf_access import mended

#: An address that nothing answers (RFC 6761); the fetcher alone knows what is meant by it.
HERE = "https://paper.invalid"
#: What one paper may take: seconds by the clock, and bytes of memory.
LONGEST_S, MOST_BYTES = 60, 1 << 30
#: Papers made at once: fewer than the server has threads, so that one is left for the pages.
AT_ONCE = 3
BUSY = "Three papers are being made at the moment. Ask for this one again in a few seconds."

_presses = threading.BoundedSemaphore(AT_ONCE)
_DONE, _REFUSED, _UNAVAILABLE = 0, 3, 4
_CHILD = f"import {__name__} as press; press.limit(); press.serve()"
ROOT = Path(__file__).resolve().parents[2]
#: All that fontconfig reads: neither the machine's typefaces nor its taste in them.
_FONTS = """<?xml version="1.0"?>
<!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd">
<fontconfig><dir>{typefaces}</dir><cachedir>{cache}</cachedir></fontconfig>
"""


class PaperRefused(RuntimeError):
    """Raised for a paper that asks for anything but the project's own files, or for too much."""


class PaperUnavailable(RuntimeError):
    """Raised where the machine lacks a library that makes PDF files, or is busy with others."""


@dataclass(frozen=True, kw_only=True)
class Order:
    """A page to print.

    text    HTML
    sheet   a style sheet beside the one that the page names
    files   all that the page may use: where each file lies, by its name under /static/
    """

    text: str
    sheet: str
    files: Mapping[str, str]


def apart(order: Order, *, longest_s: float = LONGEST_S) -> bytes:
    """Return the PDF of a page, made in a process of its own.

    What the library warns of is logged here as it would be in this process. Raises PaperRefused,
    also where it takes more than its time or memory, and PaperUnavailable.
    """
    if not _presses.acquire(blocking=False):
        raise PaperUnavailable(BUSY)
    try:
        done = _child(json.dumps(asdict(order)).encode(), longest_s)
    except subprocess.TimeoutExpired as error:
        raise PaperRefused(too_long(longest_s)) from error
    finally:
        _presses.release()
    return outcome(done.returncode, done.stdout, done.stderr.decode(errors="replace"))


def too_long(longest_s: float) -> str:
    """Return what is said of a paper that was stopped."""
    return f"The paper took more than {longest_s:g} seconds. It was stopped."


def outcome(code: int, made: bytes, said: str) -> bytes:
    """Return what a process printed, by the code that it ended with and what it said.

    Raises PaperRefused and PaperUnavailable.
    """
    *warned, last = said.splitlines() or [""]
    if code in _RAISED:
        raise _RAISED[code](last)
    if code != _DONE:
        raise PaperRefused(f"The paper could not be made: {last or 'it needs too much memory'}.")
    for line in (*warned, last):
        if line:
            logging.getLogger("weasyprint").warning("%s", line)
    return made


def _child(order: bytes, longest_s: float) -> subprocess.CompletedProcess[bytes]:
    with tempfile.TemporaryDirectory(prefix="calcar-paper-") as folder:
        # Sets are gone through in one order, so that the same page gives the same bytes.
        fixed = {"PYTHONHASHSEED": "0", **bundled_fonts_alone(Path(folder))}
        return subprocess.run(
            [sys.executable, "-c", _CHILD],
            input=order,
            capture_output=True,
            cwd=ROOT,
            env=os.environ | fixed,
            timeout=longest_s,
            check=False,
        )


def bundled_fonts_alone(folder: Path) -> dict[str, str]:
    """Return the environment of a process that is to see no typeface but the bundled ones.

    folder   takes what fontconfig reads and keeps, for as long as the process runs; the project's
             own may be read-only
    """
    typefaces = ROOT / "static" / "fonts"
    held = folder / "fonts.conf"
    text = _FONTS.format(typefaces=escape(str(typefaces)), cache=escape(str(folder / "cache")))
    held.write_text(text, encoding="utf-8")
    return {"FONTCONFIG_FILE": str(held)}


_RAISED = {_REFUSED: PaperRefused, _UNAVAILABLE: PaperUnavailable}


# --- In the process of its own ----------------------------------------------------------------


def limit() -> None:
    """Let this process have no more memory than a paper may take."""
    resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def serve() -> None:
    """Read an order, write its PDF, and end by a code that says how it went."""
    sys.exit(answer(sys.stdin.buffer, sys.stdout.buffer))


def answer(orders: BinaryIO, made: BinaryIO) -> int:
    """Return how it went; what is to be told stands on the error stream, a line each."""
    _tell_warnings()
    try:
        made.write(print_page(Order(**json.load(orders))))
    except PaperRefused as error:
        sys.stderr.write(f"{error}\n")
        return _REFUSED
    except PaperUnavailable as error:
        sys.stderr.write(f"{error}\n")
        return _UNAVAILABLE
    return _DONE


def _tell_warnings() -> None:
    log = logging.getLogger("weasyprint")
    log.handlers = [logging.StreamHandler(sys.stderr)]
    log.setLevel(logging.WARNING)


def print_page(order: Order) -> bytes:
    """Return the PDF of a page, made in this process. Raises PaperRefused, PaperUnavailable."""
    try:
        from weasyprint import CSS, HTML
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import FatalURLFetchingError
    except OSError as error:
        raise PaperUnavailable(
            "This machine lacks a library that makes PDF files: ./run says which."
        ) from error
    fetcher, fonts = _fetcher(order.files), FontConfiguration()
    try:
        document = HTML(string=order.text, base_url=HERE, url_fetcher=fetcher)
        sheet = CSS(string=order.sheet, base_url=HERE, url_fetcher=fetcher, font_config=fonts)
        made: bytes = document.write_pdf(
            pdf_variant="pdf/ua-1", stylesheets=[sheet], font_config=fonts
        )
    except FatalURLFetchingError as error:
        # Not an Exception, so nothing further up would catch it.
        raise PaperRefused(str(error)) from error
    return mended(made)


def _fetcher(files: Mapping[str, str]) -> Any:
    """Return a fetcher that answers the papers' own files and refuses all else for good."""
    from weasyprint.urls import URLFetcher, URLFetcherResponse

    class OwnFilesOnly(URLFetcher):  # type: ignore[misc]
        def fetch(self, url: str, headers: object = None) -> Any:
            name = url.removeprefix(f"{HERE}/static/")
            if name not in files:
                raise ValueError(f"a paper asked for {url}")
            kind = "text/css" if name.endswith(".css") else "application/octet-stream"
            held = Path(files[name]).read_bytes()
            return URLFetcherResponse(url, held, {"Content-Type": kind})

    return OwnFilesOnly(fail_on_errors=True)
