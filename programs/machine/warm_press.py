"""A press that stays warm: a process that has loaded all it needs, and forks one for each page.

The process that prints a page ends with it, as in pdf_process: it gives its memory back, is held
to the same bounds, and knows nothing of the page before, so that the same page gives the same
paper. The warm one waits for lines on its input, and ends when nobody holds the other end any more.
"""

from __future__ import annotations

import io
import json
import logging
import os
import selectors
import shutil
import signal
import subprocess
import sys
import tempfile
import traceback
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from time import monotonic
from typing import BinaryIO

from programs.actions import pdf_process
from programs.actions.pdf_process import Order, PaperRefused

_CHILD = f"import {__name__} as press; press.serve()"
#: Seconds that a page may take by the clock. No thread of the server is held meanwhile, and on a
#: busy machine those who read pages go first.
LONGEST_S = 300
#: How often whoever waits for a page is asked whether it is still wanted.
BEAT_S = 2.0
#: Pages that somebody reads go first.
_NICE = 5


class PressEnded(RuntimeError):
    """Raised where the press ended, or was ended, before the page was printed."""


class WarmPress:
    """A press of this process. Whoever has it prints one page at a time."""

    def __init__(self) -> None:
        self._ended = False
        self._folder = tempfile.TemporaryDirectory(prefix="calcar-press-")
        fixed = {
            "PYTHONHASHSEED": "0",
            **pdf_process.bundled_fonts_alone(Path(self._folder.name)),
        }
        self._process = subprocess.Popen(
            [sys.executable, "-c", _CHILD],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            cwd=pdf_process.ROOT,
            env=os.environ | fixed,
            # Its pages end with it.
            start_new_session=True,
        )

    @property
    def pid(self) -> int:
        """Return its process, which is that of its group too."""
        return self._process.pid

    def print_page(
        self, order: Order, *, wanted: Callable[[], bool], longest_s: float = LONGEST_S
    ) -> bytes:
        """Return the PDF of a page.

        wanted   asked every few seconds: whether to go on
        Raises PaperRefused and PaperUnavailable; PressEnded, and then another press is needed.
        """
        asked, made = self._pipes()
        try:
            asked.write(json.dumps(asdict(order)).encode() + b"\n")
            asked.flush()
            self._wait(wanted, longest_s)
            head = made.readline()
            if not head:
                raise BrokenPipeError
            told = json.loads(head)
            paper = made.read(told["length"])
        except OSError as error:
            self.end()
            raise PressEnded("The press ended.") from error
        if told["code"] < 0:
            raise PressEnded("The page's own process was ended.")
        return pdf_process.outcome(told["code"], paper, told["said"])

    @property
    def is_there(self) -> bool:
        """Tell whether it can print another page."""
        return self._process.poll() is None

    def end(self) -> None:
        """End it, and a page that it prints."""
        if self._ended:
            return
        self._ended = True
        with suppress(ProcessLookupError):
            os.killpg(self.pid, signal.SIGKILL)
        self._process.wait()
        for pipe in self._pipes():
            with suppress(OSError):
                pipe.close()
        self._folder.cleanup()

    def _pipes(self) -> tuple[BinaryIO, BinaryIO]:
        assert self._process.stdin is not None
        assert self._process.stdout is not None
        return self._process.stdin, self._process.stdout  # type: ignore[return-value]

    def _wait(self, wanted: Callable[[], bool], longest_s: float) -> None:
        """Wait until something is printed or the press has ended."""
        until = monotonic() + longest_s
        with selectors.DefaultSelector() as waiting:
            waiting.register(self._pipes()[1], selectors.EVENT_READ)
            while not waiting.select(min(BEAT_S, max(0.0, until - monotonic()))):
                if monotonic() >= until:
                    self.end()
                    raise PaperRefused(pdf_process.too_long(longest_s))
                if not wanted():
                    self.end()
                    raise PressEnded("Another press has the page.")


# --- In the process of its own ------------------------------------------------------------------


def serve() -> None:
    """Print what is asked for, page after page, until nobody asks any more."""
    os.nice(_NICE)
    with suppress(ImportError, OSError):
        # Missing libraries are told by the page's own process, as ever.
        import weasyprint  # noqa: F401
    answer_all(sys.stdin.buffer, sys.stdout.buffer)
    # Whoever began it was killed, and could not take its folder away.
    shutil.rmtree(Path(os.environ["FONTCONFIG_FILE"]).parent, ignore_errors=True)


def answer_all(orders: BinaryIO, made: BinaryIO) -> None:
    """Answer each line with how it went, in a line, and what was printed."""
    for line in orders:
        code, paper, said = _apart(line)
        head = {"code": code, "length": len(paper), "said": said}
        made.write(json.dumps(head).encode() + b"\n" + paper)
        made.flush()


def _apart(line: bytes) -> tuple[int, bytes, str]:
    """Return how it went, the paper and what was said, from a process that ends with the page."""
    with tempfile.TemporaryFile() as made, tempfile.TemporaryFile() as said:
        if (child := os.fork()) == 0:
            os._exit(_in_the_fork(line, made, said))
        _, status = os.waitpid(child, 0)
        made.seek(0)
        said.seek(0)
        words = said.read().decode(errors="replace")
        return os.waitstatus_to_exitcode(status), made.read(), words


def _in_the_fork(line: bytes, made: BinaryIO, said: BinaryIO) -> int:
    # The other end of this pipe is the warm one's: nothing of it is to be read here.
    # And none of its writers but the warm one, whose end is then seen at once.
    os.dup2(said.fileno(), sys.stdout.fileno())
    os.dup2(said.fileno(), sys.stderr.fileno())
    try:
        pdf_process.limit()
        code = pdf_process.answer(io.BytesIO(line), made)
    except BaseException:
        traceback.print_exc()
        code = 1
    sys.stderr.flush()
    logging.shutdown()
    made.flush()
    return code
