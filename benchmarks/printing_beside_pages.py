"""What a page takes while ten people print, beside what it takes at rest.

    python -m benchmarks.printing_beside_pages [people who print at once, 10 unless told]

Serves a demo clinic of its own in a new folder, signs in, and asks for one page of a patient again
and again: first at rest, then while each of so many people asks for a paper that nobody printed
before, as a browser does (how far is it; then ask again). Prints the page's times as ratios to its
median at rest, and to a fixed loop of plain Python in the same run; then when the papers came.
"""

from __future__ import annotations

import http.cookiejar
import json
import os
import re
import shutil
import socket
import statistics
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
PAGES, LONGEST_S = 30, 600
FIELD = re.compile(r'<input type="hidden" name="(\w+)" value="([^"]*)"')
HOW_FAR = re.compile(r'data-how-far="([^"]+)"')


class Browser:
    """Somebody who is signed in."""

    def __init__(self, at: str) -> None:
        self.at, self.jar = at, http.cookiejar.CookieJar()
        self.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(self.jar))

    def ask(self, path: str, fields: dict[str, str] | None = None) -> tuple[int, bytes]:
        """Return the status and what came."""
        data = urllib.parse.urlencode(fields).encode() if fields else None
        asked = urllib.request.Request(self.at + path, data, {"Referer": self.at + path})
        try:
            with self.opener.open(asked, timeout=LONGEST_S) as answer:
                return answer.status, answer.read()
        except urllib.error.HTTPError as error:
            return error.code, error.read()

    def form(self, path: str) -> dict[str, str]:
        """Return the hidden fields of a page."""
        return dict(FIELD.findall(self.ask(path)[1].decode()))

    def sign_in(self, password: str) -> None:
        path = "/sign-in/"
        self.ask(path, self.form(path) | {"username": "clinician", "password": password})

    def paper(self, patient: int, first: int) -> tuple[float, float]:
        """Ask for six weeks; return after how many seconds it is told of, and when it is there."""
        path = f"/patients/{patient}/handout/"
        fields = self.form(path) | {"kind": "sheets", "language": "en", "paper": "A4"}
        fields |= {"type_pt": "16", "first_week": str(first), "last_week": str(first + 5)}
        begun, told = time.perf_counter(), 0.0
        while True:
            came = self.ask(path, fields)[1]
            told = told or time.perf_counter() - begun
            if came.startswith(b"%PDF"):
                return told, time.perf_counter() - begun
            if (found := HOW_FAR.search(came.decode())) is None:
                # Not in line yet.
                time.sleep(0.7)
                continue
            while not json.loads(self.ask(found[1])[1])["ready"]:
                time.sleep(0.7)


def served(folder: Path) -> tuple[subprocess.Popen[bytes], str]:
    """Serve a demo clinic, and return where."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        port = one.getsockname()[1]
    told = os.environ | {"CALCAR_STATE": str(folder)}
    for command in (["migrate", "--noinput", "-v0"], ["demo"], ["first_account"]):
        subprocess.run(
            [sys.executable, "manage.py", *command],
            cwd=ROOT, env=told, check=True, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL,
        )  # fmt: skip
    command = [sys.executable, "manage.py", "serve", "--port", str(port)]
    server = subprocess.Popen(command, cwd=ROOT, env=told, stdout=subprocess.DEVNULL)
    for _ in range(600):
        try:
            urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=10).close()
            return server, f"http://127.0.0.1:{port}"
        except OSError:
            time.sleep(0.1)
    raise SystemExit("It does not answer.")


def timed(work: Callable[[], object]) -> float:
    """Return the seconds of some work by the clock."""
    begun = time.perf_counter()
    work()
    return time.perf_counter() - begun


def loop() -> int:
    """Do a fixed piece of plain Python."""
    return sum(number * number % 7 for number in range(100_000))


def signed_people(browser: Browser) -> list[int]:
    """Return patients who have a program that may be printed."""
    found = []
    for number in range(1, 40):
        status, page = browser.ask(f"/patients/{number}/handout/")
        if status == 200 and b'name="first_week"' in page:
            found.append(number)
    return found


def main() -> None:
    people = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    folder = Path(tempfile.mkdtemp(prefix="calcar-printing-"))
    server, at = served(folder)
    try:
        measure(people, at, (folder / "first_password").read_text().split()[-1])
    finally:
        server.terminate()
        server.wait()
        shutil.rmtree(folder)


def measure(people: int, at: str, password: str) -> None:
    """Print what a page takes at rest and while so many print."""
    reader = Browser(at)
    reader.sign_in(password)
    those = signed_people(reader)
    page = f"/patients/{those[0]}/facts/"
    reader.ask(page)
    rest = [timed(lambda: reader.ask(page)) for _ in range(PAGES)]
    loops = statistics.median(timed(loop) for _ in range(PAGES))
    came: list[tuple[float, float]] = []

    def print_one(number: int) -> None:
        browser = Browser(at)
        browser.jar = reader.jar
        browser.opener = urllib.request.build_opener(urllib.request.HTTPCookieProcessor(reader.jar))
        came.append(browser.paper(those[number % len(those)], 1 + number // len(those)))

    threads = [threading.Thread(target=print_one, args=(number,)) for number in range(people)]
    for thread in threads:
        thread.start()
    busy = []
    while any(thread.is_alive() for thread in threads):
        busy.append(timed(lambda: reader.ask(page)))
        time.sleep(0.1)
    quiet = statistics.median(rest)
    for name, times in (("at rest", rest), (f"while {people} print", busy)):
        marks = statistics.median(times), sorted(times)[int(0.95 * len(times))], max(times)
        ratios = ", ".join(f"{one / quiet:.2f} x ({one * 1e3:.0f} ms)" for one in marks)
        loop_s = ", ".join(f"{one / loops:.1f}" for one in marks)
        sys.stdout.write(
            f"{name}, {len(times)} pages: median, 95 of 100 and longest {ratios} of its rest; "
            f"in fixed loops {loop_s}\n"
        )
    told, there = (sorted(one) for one in zip(*came, strict=True))
    sys.stdout.write(
        f"papers: told of after {told[0]:.2f} to {told[-1]:.2f} s, "
        f"there after {there[0]:.1f} to {there[-1]:.1f} s\n"
    )


if __name__ == "__main__":
    main()
