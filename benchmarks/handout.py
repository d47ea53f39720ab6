"""How long a handout takes, beside the same page printed by headless Chromium, and its memory.

    python -m benchmarks.handout [papers for the memory run, 100 unless told]

Prints ratios, since seconds depend on the machine: WeasyPrint apart (a process for each paper,
as the app does it), warm (this process, paper after paper) and cold (all of the app anew),
Chromium cold (a new browser for each paper) and warm (one browser, page after page). Then the
memory that this process holds after paper upon paper, made apart and made here.
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
from pathlib import Path
from unittest import mock

import django
from django.template.loader import render_to_string
from playwright.sync_api import sync_playwright

from programs.actions import press, printing
from tests.programs.papers import handout_of, snapshot_of

ROOT = Path(__file__).resolve().parents[1]
ARGUMENTS = ["--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer"]
COLD = "import benchmarks.handout as b; b.ready(); b.make()"
TIMES = 5


def ready() -> None:
    """Set the framework up."""
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings_test")
    django.setup()


def make() -> bytes:
    """Make one handout as the app does."""
    told = handout_of(snapshot_of("vertebral_fracture"))
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
    with mock.patch.object(press, "apart", press.print_page):
        return make()


def page_in(folder: Path) -> Path:
    """Write the same page to a folder, with its sheet and letters beside it."""
    told = handout_of(snapshot_of("vertebral_fracture"))
    context = {"handout": told, "issue": told.issue, "language": "en"}
    text = render_to_string("handout.html", context | {"paper": "A4", "type_pt": 16})
    (folder / "handout.html").write_text(re.sub(r'href="/static/', 'href="static/', text))
    shutil.copytree(ROOT / "static", folder / "static")
    return folder / "handout.html"


def seconds(work: Callable[[], object]) -> float:
    """Return the median time of some runs."""
    taken = []
    for _ in range(TIMES):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return statistics.median(taken)


def weasyprint_cold() -> None:
    """Make one handout in a new process."""
    subprocess.run([sys.executable, "-c", COLD], cwd=ROOT, check=True)


def chromium() -> str:
    """Return where the browser is."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium")
    if not found:
        raise SystemExit("There is no chromium to compare with: set CHROMIUM.")
    return found


def times(folder: Path) -> dict[str, float]:
    """Return the median seconds of each way."""
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
    least = found["WeasyPrint, warm"]
    for name, taken in sorted(found.items(), key=lambda item: item[1]):
        sys.stdout.write(f"{name:18} {taken / least:5.2f} x  ({taken:.2f} s)\n")
    for where, work in (("made apart", make), ("made here", make_here)):
        for number, held in memory(papers, work):
            sys.stdout.write(f"after {number:4} papers {where} {held:6.1f} MB\n")


if __name__ == "__main__":
    main()
