"""How long a handout takes, beside the same page printed by headless Chromium, and its memory.

    python -m benchmarks.handout [papers for the memory run, 100 unless told]

Prints ratios to warm Chromium of a paper of four weeks, by the clock and in seconds of processor
(with all processes that take part), since seconds depend on the machine: WeasyPrint apart (a
process for each paper, as the app does it), warm (this process, paper after paper) and cold (all of
the app anew), Chromium cold (a new browser for each paper) and warm (one browser, page after page).
Then the memory that this process holds after paper upon paper, made apart and made here.
"""

import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unittest import mock

import django
from django.template.loader import render_to_string
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[1]
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
COLD = "import benchmarks.handout as b; b.ready(); b.make()"
TIMES = 5
TICKS = os.sysconf("SC_CLK_TCK")


def ready() -> None:
    """Set the framework up; what needs it is read after that."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings_test")
    django.setup()


def _handout() -> Any:
    from tests.programs.sample_papers import handout_of, snapshot_of

    return handout_of(snapshot_of("vertebral_fracture"), last_week=4)


def make() -> bytes:
    """Make one handout as the app does."""
    from programs.actions import printing

    told = _handout()
    return printing.pdf(
        "handout.html",
        {"handout": told},
        issue=told.issue,
        language="en",
        paper="A4",
        type_pt=16,
    )


def make_here() -> bytes:
    """Make one handout without a process of its own."""
    from programs.actions import pdf_process

    with mock.patch.object(pdf_process, "apart", pdf_process.print_page):
        return make()


def page_in(folder: Path) -> Path:
    """Write the same page to a folder, with its sheet and letters beside it."""
    told = _handout()
    context = {"handout": told, "issue": told.issue, "language": "en"}
    text = render_to_string("handout.html", context | {"paper": "A4", "type_pt": 16})
    (folder / "handout.html").write_text(re.sub(r'href="/static/', 'href="static/', text))
    shutil.copytree(ROOT / "static", folder / "static")
    return folder / "handout.html"


@dataclass(frozen=True)
class Taken:
    """The median seconds of some runs, by the clock and of processor."""

    clock: float
    processor: float


def seconds(work: Callable[[], object]) -> Taken:
    """Return what some runs took."""
    taken = []
    for _ in range(TIMES):
        begun, spent = time.perf_counter(), processor()
        work()
        taken.append((time.perf_counter() - begun, processor() - spent))
    return Taken(*(statistics.median(one) for one in zip(*taken, strict=True)))


def processor() -> float:
    """Return the seconds of processor that this process and all begun by it have taken."""
    by_parent: dict[int, list[tuple[int, int]]] = {}
    for folder in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            told = (folder / "stat").read_text().rpartition(")")[2].split()
            # Time of its own and of those that ended, in user's and in system's code.
            ticks = sum(int(one) for one in told[11:15])
            by_parent.setdefault(int(told[1]), []).append((int(folder.name), ticks))
    times = os.times()
    whole = (times.user + times.system + times.children_user + times.children_system) * TICKS
    waiting = [os.getpid()]
    while waiting:
        for child, ticks in by_parent.get(waiting.pop(), ()):
            whole += ticks
            waiting.append(child)
    return whole / TICKS


def weasyprint_cold() -> None:
    """Make one handout in a new process."""
    subprocess.run([sys.executable, "-c", COLD], cwd=ROOT, check=True)


def chromium() -> str:
    """Return where the browser is."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if not found:
        raise SystemExit("There is no chromium to compare with: set CHROMIUM.")
    return found


def times(folder: Path) -> dict[str, Taken]:
    """Return what each way takes."""
    page, out = page_in(folder), folder / "out.pdf"
    command = [chromium(), *ARGUMENTS, f"--print-to-pdf={out}", page.as_uri()]
    make_here()
    found = {
        "WeasyPrint, apart": seconds(make),
        "WeasyPrint, warm": seconds(make_here),
        "WeasyPrint, cold": seconds(weasyprint_cold),
        "Chromium, cold": seconds(lambda: subprocess.run(command, check=True, capture_output=True)),
    }
    with sync_playwright() as player:
        browser = player.chromium.launch(executable_path=chromium(), args=ARGUMENTS[1:3])
        tab = browser.new_page()

        def printed() -> bytes:
            tab.goto(page.as_uri())
            return tab.pdf(format="A4", tagged=True)

        printed()
        found["Chromium, warm"] = seconds(printed)
        browser.close()
    return found


def resident_mb() -> float:
    """Return what this process holds in memory now, in MB."""
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


def memory(papers: int, work: Callable[[], object]) -> list[tuple[int, float]]:
    """Return the memory held after the first paper and after each tenth part of them."""
    told = []
    for number in range(1, papers + 1):
        work()
        if number == 1 or number % max(1, papers // 10) == 0:
            told.append((number, resident_mb()))
    return told


def main() -> None:
    ready()
    papers = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    with tempfile.TemporaryDirectory() as folder:
        found = times(Path(folder))
    to = found["Chromium, warm"]
    for name, one in sorted(found.items(), key=lambda item: item[1].clock):
        clock, spent = one.clock / to.clock, one.processor / to.processor
        told = f"{clock:5.2f} x ({one.clock:.2f} s) by the clock, "
        sys.stdout.write(f"{name:18} {told}{spent:5.2f} x ({one.processor:.2f} s) of processor\n")
    for where, work in (("made apart", make), ("made here", make_here)):
        for number, held in memory(papers, work):
            sys.stdout.write(f"after {number:4} papers {where} {held:6.1f} MB\n")


if __name__ == "__main__":
    main()
