"""Four nodes on one PostgreSQL under twenty people, a node and the rescreening killed each minute.

    .venv/bin/python -m benchmarks.nodes_under_load [minutes, 10 unless told]

Each person adds people, answers for them and drafts, at whichever node answers, and sends a form
again where no answer came. Meanwhile everybody is rescreened over and over. Once a minute a node is
killed without a word, and so is the rescreening; both come back. At the end each save that was
confirmed has to be there once, none twice, and the record and its seals have to hold. Exit status 1
where one of these does not.
"""

from __future__ import annotations

import http.cookiejar
import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import threading
import time
import urllib.error
import urllib.parse
import urllib.request
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from string import ascii_lowercase

import psycopg

import _setup

NODES, PEOPLE, MINUTES = 4, 20, 10.0
#: Seconds between two kills; of waiting for one answer; and how often a form is sent again.
EACH_S, ANSWER_S, AGAIN = 60.0, 60.0, 60
FIELD = re.compile(r'<input type="hidden" name="(\w+)" value="([^"]*)"')
SEED = 20261201


class NoAnswer(Exception):
    """Raised where no node answered, however often it was tried."""


class _NoRedirect(urllib.request.HTTPRedirectHandler):
    def redirect_request(self, *told: object) -> None:
        return None


@dataclass
class Person:
    """Somebody who is signed in, and asks whichever node answers."""

    ports: list[int]
    chance: random.Random
    counts: Counter[str]
    jar: http.cookiejar.CookieJar = field(default_factory=http.cookiejar.CookieJar)

    def ask(self, path: str, fields: dict[str, str] | None = None) -> tuple[int, str, str]:
        """Return status, where it leads to, and the page."""
        cookies = urllib.request.HTTPCookieProcessor(self.jar)
        opener = urllib.request.build_opener(cookies, _NoRedirect)
        data = urllib.parse.urlencode(fields).encode() if fields is not None else None
        for _ in range(AGAIN):
            at = f"http://127.0.0.1:{self.chance.choice(self.ports)}{path}"
            asked = urllib.request.Request(at, data, {"Referer": at})
            try:
                with opener.open(asked, timeout=ANSWER_S) as answer:
                    self.counts[f"{answer.status}"] += 1
                    return answer.status, "", answer.read().decode()
            except urllib.error.HTTPError as error:
                self.counts[f"{error.code}"] += 1
                if error.code != 503:
                    return error.code, error.headers.get("Location", ""), ""
            except OSError:
                self.counts["no answer"] += 1
            time.sleep(self.chance.uniform(0.1, 0.6))
        raise NoAnswer(path)

    def form(self, path: str) -> dict[str, str]:
        """Return the hidden fields of a page."""
        return dict(FIELD.findall(self.ask(path)[2]))

    def save(self, path: str, typed: dict[str, str]) -> str:
        """Send a form, the same one again where no answer came; return where it led to."""
        status, leads, _ = self.ask(path, self.form(path) | typed)
        return leads if status == 302 else ""


@dataclass
class Work:
    """What was confirmed: record numbers, and ids of those answered for and drafted."""

    added: list[str] = field(default_factory=list)
    answered: list[int] = field(default_factory=list)
    drafted: list[int] = field(default_factory=list)
    failed: list[str] = field(default_factory=list)

    def of(self, who: Person, number: int, until: float) -> None:
        """Work until a moment."""
        turn = 0
        while time.monotonic() < until:
            turn += 1
            with suppress(NoAnswer):
                self._once(who, f"LOAD-{number}-{turn}")

    def _once(self, who: Person, key: str) -> None:
        # Nobody looks like anybody else, or it would be asked whether they are one.
        given, family = ("".join(who.chance.choices(ascii_lowercase, k=9)) for _ in "12")
        born = date(1935, 1, 1) + timedelta(days=who.chance.randrange(10_000))
        typed = {"given_name": given, "family_name": family, "born": f"{born}", "sex": "female"}
        leads = who.save("/patients/new/", typed | {"record_number": key})
        found = re.search(r"/patients/(\d+)/", leads)
        if found is None:
            self.failed.append(key)
            return
        her = int(found[1])
        self.added.append(key)
        if who.save(f"/patients/{her}/facts/falls/", {"falls-last_12_months": "1"}):
            self.answered.append(her)
        who.ask(f"/patients/{her}/screen/")
        day = {"starts_on": time.strftime("%Y-%m-%d")}
        status, leads, _ = who.ask(
            f"/patients/{her}/plan/draft/", who.form(f"/patients/{her}/plan/") | day
        )
        if status == 302 and leads.endswith("/plan/"):
            self.drafted.append(her)


def free_ports(count: int) -> list[int]:
    """Return so many ports that nobody listens on."""
    with_ports = [socket.socket() for _ in range(count)]
    for one in with_ports:
        one.bind(("127.0.0.1", 0))
    found = [int(one.getsockname()[1]) for one in with_ports]
    for one in with_ports:
        one.close()
    return found


@dataclass
class Clinic:
    """The nodes of a clinic and the rescreening beside them."""

    told: dict[str, str]
    ports: list[int]
    nodes: list[subprocess.Popen[bytes]] = field(default_factory=list)
    stopped: threading.Event = field(default_factory=threading.Event)
    rescreening: subprocess.Popen[bytes] | None = None
    rescreens: Counter[int] = field(default_factory=Counter)

    def manage(self, *command: str, **more: int) -> subprocess.Popen[bytes]:
        """Start a command."""
        called = [sys.executable, "manage.py", *command]
        return subprocess.Popen(called, cwd=_setup.ROOT, env=self.told, stdout=-3, **more)  # type: ignore[call-overload,no-any-return]

    def serve(self, port: int) -> subprocess.Popen[bytes]:
        """Start a node."""
        return self.manage("serve", "--port", str(port))

    def begin(self) -> None:
        """Make the tables, invent people, start the nodes, and wait until each answers."""
        for command in (["migrate", "--noinput", "-v0"], ["demo"], ["first_account"]):
            if self.manage(*command).wait():
                raise SystemExit(f"{command} failed")
        self.nodes = [self.serve(port) for port in self.ports]
        for port in self.ports:
            for _ in range(600):
                with suppress(OSError):
                    urllib.request.urlopen(f"http://127.0.0.1:{port}/sign-in/", timeout=10).close()
                    break
                time.sleep(0.1)

    def keep_rescreening(self) -> None:
        """Rescreen over and over; one that was killed is begun again at once."""
        while not self.stopped.is_set():
            self.rescreening = self.manage("rescreen", stderr=subprocess.DEVNULL)
            self.rescreens[self.rescreening.wait()] += 1

    def kill_each_minute(self, chance: random.Random, until: float) -> int:
        """Kill a node and the rescreening once a minute; return how many nodes were killed."""
        killed = 0
        while time.monotonic() + EACH_S / 2 < until:
            time.sleep(EACH_S / 2)
            which = chance.randrange(len(self.nodes))
            self.nodes[which].send_signal(signal.SIGKILL)
            self.nodes[which].wait()
            if self.rescreening is not None:
                self.rescreening.send_signal(signal.SIGKILL)
            killed += 1
            time.sleep(EACH_S / 12)
            self.nodes[which] = self.serve(self.ports[which])
            time.sleep(max(0.0, min(EACH_S * 5 / 12, until - time.monotonic())))
        return killed

    def end(self) -> None:
        """Stop the rescreening, then the nodes."""
        self.stopped.set()
        for node in self.nodes:
            node.terminate()
            node.wait()


@contextmanager
def clinic() -> Iterator[tuple[Clinic, Path, str]]:
    """Give a clinic of four nodes on a PostgreSQL of its own, its folder, and the address."""
    folder = Path(tempfile.mkdtemp(prefix="calcar-nodes-"))
    base, state = folder / "postgres", folder / "state"
    base.mkdir()
    state.mkdir()
    if os.geteuid() == 0:
        folder.chmod(0o755)
        shutil.chown(base, "nobody")
    try:
        with _setup.throw_away_postgres(base) as server:
            any_database = f"{server.rpartition('/')[0]}/postgres"
            with psycopg.connect(any_database, autocommit=True) as connection:
                connection.execute("CREATE DATABASE calcar")
            told = os.environ | {"CALCAR_STATE": str(state), "DATABASE_URL": server}
            made = Clinic(told=told, ports=free_ports(NODES))
            made.begin()
            try:
                yield made, state, server
            finally:
                made.end()
    finally:
        shutil.rmtree(folder)


def twice_or_lost(address: str, work: Work) -> list[str]:
    """Return what was confirmed and is not there once."""
    wrong = []
    with psycopg.connect(address) as connection:
        rows = connection.execute(
            "SELECT record_number, count(*) FROM patients_patient "
            "WHERE record_number LIKE 'LOAD-%' GROUP BY 1"
        ).fetchall()
        there = {str(name): int(count) for name, count in rows}
        wrong += [f"lost: {name}" for name in work.added if name not in there]
        wrong += [f"twice: {name}" for name, count in there.items() if count > 1]
        for table, of in (("patients_assessment", work.answered), ("programs_plan", work.drafted)):
            asked = f"SELECT patient_id, count(*) FROM {table} GROUP BY 1"
            counted = dict(connection.execute(asked).fetchall())
            counts = ((her, counted.get(her, 0)) for her in of)
            wrong += [f"{table} of {her}: {count}" for her, count in counts if count != 1]
    return wrong


def main() -> None:
    minutes = float(sys.argv[1]) if len(sys.argv) > 1 else MINUTES
    chance = random.Random(SEED)
    with clinic() as (made, state, address):
        password = (state / "first_password").read_text().split()[-1]
        first = Person(ports=made.ports, chance=chance, counts=Counter())
        first.save("/sign-in/", {"username": "clinician", "password": password})
        until, work, counts = time.monotonic() + 60 * minutes, Work(), Counter[str]()
        threads = [threading.Thread(target=made.keep_rescreening)]
        for number in range(PEOPLE):
            who = Person(made.ports, random.Random(SEED + number), counts)
            for cookie in first.jar:
                who.jar.set_cookie(cookie)
            threads.append(threading.Thread(target=work.of, args=(who, number, until)))
        for thread in threads:
            thread.start()
        killed = made.kill_each_minute(chance, until)
        made.stopped.set()
        for thread in threads:
            thread.join()
        last = made.manage("rescreen").wait()
        held = made.manage("check_record").wait()
        wrong = twice_or_lost(address, work)
    sys.stdout.write(
        f"{minutes:g} minutes, {NODES} nodes, {PEOPLE} people: {len(work.added)} people added, "
        f"{len(work.answered)} answered for, {len(work.drafted)} drafted; {len(work.failed)} forms "
        f"refused\nanswers: {dict(sorted(counts.items()))}\nnodes killed: {killed}; rescreens by "
        f"their end: {dict(made.rescreens)}, the last one {last}\nlost or doubled: {len(wrong)} "
        f"{wrong[:5]}\nthe record holds: {held == 0}\n"
    )
    raise SystemExit(1 if wrong or held or last else 0)


if __name__ == "__main__":
    main()
