"""A simulated clinic: forty people with programs, logs, tests and scans, drawn from a seed.

What it counts, it counts while it draws, from the text of the signed program, not by the app.
"""

from __future__ import annotations

import datetime as dt
import json
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from random import Random
from typing import Any

from django.contrib.auth.models import User

from patients.models.patient import FractureRow, FunctionTestDay, Patient, ScanRow
from programs.models.program import SessionLog, SignedPlan
from tests.programs import older, rows

SAMPLE = Path(__file__).parents[2] / "snapshots" / "format-2.json"
KINDS = ("plate", "resistance", "impact", "balance", "posture")
WEEK = dt.timedelta(weeks=1)
A_DAY = dt.timedelta(days=1)
#: How it goes with a person, drawn by turns, so that each group has its people.
STAYS, LEAVES, IS_STOPPED, HAS_TWO, IS_OVER = range(5)


@dataclass
class Told:
    """What the simulation counted itself."""

    planned: Counter[str] = field(default_factory=Counter)
    done: Counter[str] = field(default_factory=Counter)
    shares: dict[str, list[float]] = field(default_factory=lambda: {m: [] for m in KINDS})
    sessions: int = 0
    harms: Counter[str] = field(default_factory=Counter)
    met: Counter[str] = field(default_factory=Counter)
    now: Counter[str] = field(default_factory=Counter)
    up_and_go: list[float] = field(default_factory=list)
    verdicts: Counter[str] = field(default_factory=Counter)


class Clinic:
    """The people of a seed, as they are on a day."""

    def __init__(self, by: User, day: dt.date, people: int = 40, seed: int = 20270101) -> None:
        self.by, self.day, self.random = by, day, Random(seed)
        self.text = json.loads(SAMPLE.read_text(encoding="utf-8"))
        self.told = Told()
        self.log: list[SessionLog] = []
        for number in range(people):
            self._person(number)
        SessionLog.objects.bulk_create(self.log)

    # --- A person ---------------------------------------------------------------------------

    def _person(self, number: int) -> None:
        of, kind = rows.patient(self.by), number % 5
        weeks = self.random.randint(57, 90) if kind == IS_OVER else self.random.randint(9, 28)
        start = self.day - weeks * WEEK - self.random.randint(0, 6) * A_DAY
        end = min(self.day, start + 30 * WEEK)
        parts = [(start, end)]
        if kind == HAS_TWO:
            second = start + 5 * WEEK + 3 * A_DAY
            parts = [(start, second), (second, end)]
        if kind == IS_STOPPED:
            parts = [(start, start + 6 * WEEK + 2 * A_DAY)]
        planned, done = Counter[str](), Counter[str]()
        harmed: dict[str, set[dt.date]] = {name: set() for name in ("fall", "flag", "pain", "bone")}
        for version, (first, last) in enumerate(parts, start=1):
            signed = self._signed(of, first, version)
            left = first + 3 * WEEK if kind == LEAVES else last
            self._trains(signed, first, last, left, planned, done, harmed)
            if kind == IS_STOPPED:
                older.stopped(signed, self.by, held_on=last - A_DAY)
                self._log(signed, last, "balance", done="all", fell=True)
            self._log(signed, self.day, "impact", done="all", fell=True)
        self._bones(of, parts, harmed["bone"])
        self._tests(of, start)
        self._scans(of, start)
        self._counts(kind, planned, done, harmed)

    def _signed(self, of: Patient, starts_on: dt.date, version: int) -> SignedPlan:
        told = {"starts_on": starts_on.isoformat(), "version": version}
        plan = rows.plan(of, self.by, starts_on=starts_on, version=version)
        return rows.signed(plan, self.by, text=self.text | told)

    def _counts(
        self, kind: int, planned: Counter[str], done: Counter[str], harmed: dict[str, set[dt.date]]
    ) -> None:
        told = self.told
        told.planned += planned
        told.done += done
        for m in KINDS:
            if planned[m]:
                told.shares[m].append(100 * done[m] / planned[m])
        for name, days in harmed.items():
            told.harms[name] += len(days)
            told.met[name] += bool(days)
        names = {
            STAYS: "training",
            LEAVES: "dropped out",
            IS_STOPPED: "stopped at a review",
            HAS_TWO: "training",
            IS_OVER: "program over",
        }
        told.now[names[kind]] += 1

    # --- What she does ------------------------------------------------------------------------

    def _trains(
        self,
        signed: SignedPlan,
        first: dt.date,
        last: dt.date,
        left: dt.date,
        planned: Counter[str],
        done: Counter[str],
        harmed: dict[str, set[dt.date]],
    ) -> None:
        full, rest = divmod((last - first).days, 7)
        keen = self.random.uniform(0.3, 0.95)
        for week in range(full + (rest > 0)):
            begin, doses = first + week * WEEK, self.text["weeks"][min(week, 25)]
            days = [begin + n * A_DAY for n in range(7 if week < full else rest)]
            for m in KINDS:
                wanted = doses[m]["sessions"] if doses[m] else 0
                counted = self._weeks_sessions(signed, m, wanted, days, left, keen, harmed)
                if week < full:
                    planned[m] += wanted
                    done[m] += min(counted, wanted)

    def _weeks_sessions(
        self,
        signed: SignedPlan,
        m: str,
        wanted: int,
        days: list[dt.date],
        left: dt.date,
        keen: float,
        harmed: dict[str, set[dt.date]],
    ) -> float:
        """Log a week of a kind, now and then with a session too many; return what it counts."""
        extra = self.random.random() < 0.05
        counted = 0.0
        for on in self.random.sample(days, min(wanted + extra, len(days))):
            if on >= left or self.random.random() > keen:
                continue
            what = self.random.choices(("all", "part", "none"), (8, 2, 1))[0]
            counted += {"all": 1.0, "part": 0.5, "none": 0.0}[what]
            self.told.sessions += what != "none"
            self._log(signed, on, m, done=what, **self._harm(on, harmed))
        return counted

    def _harm(self, on: dt.date, harmed: dict[str, set[dt.date]]) -> dict[str, Any]:
        told: dict[str, Any] = {"pain": self.random.randint(0, 3), "fell": False}
        if self.random.random() < 0.004:
            told["fell"] = True
            harmed["fall"].add(on)
        if self.random.random() < 0.002:
            told["red_flag"] = "Dizzy, =1+1"
            harmed["flag"].add(on)
        if self.random.random() < 0.01:
            told |= {"pain": 7, "pain_settled": self.random.choice((True, False, None))}
            if not told["pain_settled"]:
                harmed["pain"].add(on)
        return told

    def _log(self, signed: SignedPlan, on: dt.date, m: str, **told: Any) -> None:
        held = {"entered_by": self.by, "entered_at": rows.AT, "on": on, "modality": m}
        self.log.append(SessionLog(patient=signed.patient, signed=signed, **held | told))

    # --- What is measured -----------------------------------------------------------------------

    def _bones(
        self, of: Patient, parts: list[tuple[dt.date, dt.date]], broken: set[dt.date]
    ) -> None:
        first, last = parts[0][0], parts[-1][1]
        entered = {"patient": of, "entered_by": self.by, "entered_at": rows.AT, "site": "wrist"}
        if self.random.random() < 0.25:
            on = first + self.random.randrange((last - first).days) * A_DAY
            broken.add(on)
            FractureRow.objects.create(date=on, **entered)
        FractureRow.objects.create(date=first - A_DAY, **entered)
        FractureRow.objects.create(date=first, date_is="month", **entered)
        FractureRow.objects.create(date=None, **entered)

    def _tests(self, of: Patient, start: dt.date) -> None:
        entered = {"patient": of, "entered_by": self.by, "entered_at": rows.AT}
        before = round(self.random.uniform(8, 16), 1)
        after = round(before + self.random.uniform(-3, 1), 1)
        FunctionTestDay.objects.create(date=start - 20 * A_DAY, up_and_go_s=before, **entered)
        if self.random.random() < 0.7:
            FunctionTestDay.objects.create(date=start + 60 * A_DAY, up_and_go_s=after, **entered)
            self.told.up_and_go.append(after - before)
        struck = {"withdrawn_by": self.by, "withdrawn_at": rows.AT, "withdrawn_reason": "Wrong"}
        FunctionTestDay.objects.create(date=start + 61 * A_DAY, up_and_go_s=60, **entered, **struck)

    def _scans(self, of: Patient, start: dt.date) -> None:
        """Scan those who began more than a year ago, by turns with each verdict."""
        if (self.day - start).days < 380:
            return
        entered = {"patient": of, "entered_by": self.by, "entered_at": rows.AT}
        verdicts = ("gain", "within_error", "loss", "not_comparable")
        verdict = verdicts[sum(self.told.verdicts.values()) % 4]
        after = {"gain": "0.780", "within_error": "0.705", "loss": "0.630"}.get(verdict, "0.700")
        scanner = "B" if verdict == "not_comparable" else "A"
        scan = {"site": "total_hip", "side": "left", **entered}
        ScanRow.objects.create(date=start, bmd_g_cm2="0.700", scanner="A", **scan)
        late = start + 370 * A_DAY
        ScanRow.objects.create(date=late, bmd_g_cm2=after, scanner=scanner, **scan)
        self.told.verdicts[verdict] += 1
