"""The presses of this machine: threads beside the server that print what waits in line.

Each machine prints as many pages at once as it has cores, but for one that is left for the pages
that people read. Whichever of its processes prints, the database holds them to that; a page whose
press or whole machine was killed is taken up by another.
"""

from __future__ import annotations

import logging
import os
import socket
import threading
from collections.abc import Callable, Sequence
from time import monotonic

from django.db import DatabaseError, close_old_connections, connections
from django.utils import timezone

from programs.actions import press_queue
from programs.actions.pdf_process import PaperRefused, PaperUnavailable
from programs.actions.press_queue import Job
from programs.machine.warm_press import PressEnded, WarmPress

#: How often the line is looked at; what this process put into it is taken at once.
LOOK_S = 0.5
#: How long to wait after the database did not answer.
AGAIN_S = 5.0
#: How often what nobody came for is thrown away.
TIDY_S = 3600.0
_log = logging.getLogger(__name__)


def presses_here() -> tuple[str, ...]:
    """Return the names of the presses of this machine."""
    count = max(1, (os.cpu_count() or 1) - 1)
    return tuple(f"{socket.gethostname()[:100]} {number}" for number in range(1, count + 1))


class PressRoom:
    """Threads of this process, each with a warm press."""

    def __init__(self, threads: int) -> None:
        self._stop, self._tidy_at = threading.Event(), 0.0
        self._threads = [
            threading.Thread(target=self._work, name=f"press {number}", daemon=True)
            for number in range(threads)
        ]

    def start(self) -> None:
        """Let pages wait in line from now on, and print them."""
        press_queue.serve_line(True)
        for thread in self._threads:
            thread.start()

    def stop(self) -> None:
        """Print at once again; what is being printed goes back into the line."""
        press_queue.serve_line(False)
        self._stop.set()
        for thread in self._threads:
            thread.join()

    def _work(self) -> None:
        desk = Desk(WarmPress, goes_on=lambda: not self._stop.is_set())
        try:
            while not self._stop.is_set():
                self._stop.wait(self._once(desk))
        finally:
            desk.close()
            connections.close_all()

    def _once(self, desk: Desk) -> float:
        """Print the next page; return for how long to wait before the line is looked at again."""
        close_old_connections()
        try:
            if monotonic() > self._tidy_at:
                self._tidy_at = monotonic() + TIDY_S
                press_queue.throw_away_old(timezone.now())
            return 0 if desk.print_next(presses_here()) else LOOK_S
        except DatabaseError as error:
            _log.warning("The line before the presses cannot be reached: %s", error)
            connections.close_all()
        except Exception:
            # The thread must not end: others wait for their papers.
            _log.exception("A paper was not printed.")
        return AGAIN_S


class Desk:
    """One press, and another in its place once it has ended.

    goes_on   asked while it prints: whether to go on
    """

    def __init__(self, make: Callable[[], WarmPress], *, goes_on: Callable[[], bool]) -> None:
        self._make, self._goes_on = make, goes_on
        self._press = make()

    def print_next(self, presses: Sequence[str]) -> bool:
        """Print the next page in line; tell whether there was one to take."""
        job = press_queue.take(presses, timezone.now())
        if job is None:
            return False
        done = False
        try:
            self._print(job)
            done = self._press.is_there
        finally:
            if not done:
                self.close()
                self._press = self._make()
        return True

    def _print(self, job: Job) -> None:
        def wanted() -> bool:
            return self._goes_on() and press_queue.still_at_it(job, timezone.now())

        try:
            paper = self._press.print_page(press_queue.order_of(job), wanted=wanted)
        except (PaperRefused, PaperUnavailable) as refusal:
            press_queue.keep_refused(job, str(refusal))
        except PressEnded as ended:
            _log.warning("%s The page goes back into the line.", ended)
            press_queue.put_back(job)
        else:
            press_queue.keep_printed(job, paper)

    def close(self) -> None:
        """End the press."""
        self._press.end()
