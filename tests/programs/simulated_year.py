"""A year of one person after another: programs signed, logged, reviewed, revised, from a seed.

How much is done is drawn around the 76.3 % of 36 pooled trials (Kelley 2013), between half and all
of it (Rodrigues 2017: 51.7 to 100 %); one in five stops training for good (Kelley 2013: 20.9 %).
Falls come once in two years (a third of older people fall in a year: common practice), illness of
two to eight weeks once a year and warning signs once in four (both from memory).
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from random import Random
from typing import Any

from django.contrib.auth.models import User

from patients.models.patient import Patient
from programs.actions.drafting import draft_plan
from programs.actions.may_hand_out import standing_of
from programs.actions.papers import make_paper
from programs.actions.refusals import NotDone
from programs.actions.reviewing import Outlook, hold_review, outlook
from programs.actions.sessions import log_sessions
from programs.actions.signing import sign_plan, why_not
from programs.models.program import Plan, SignedPlan
from programs.review.adherence import Session
from programs.review.next_steps import Next
from programs.week.week import part_of
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.review.above_done import above_done
from tests.programs.review.test_properties import CHANGES

REVIEWS = (4, 12, 26, 38, 52)
WEEK = dt.timedelta(weeks=1)


@dataclass
class Year:
    """What came of the simulated people; `wrong` should stay empty.

    counts   people, reviews, restarts, falls, signs, weeks ill, papers, papers refused, stops
    """

    counts: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)


@dataclass(frozen=True)
class Temper:
    """How one person keeps to a program: the share done, and the week of leaving it, if any."""

    does: float
    leaves: int


def simulate(by: User, people: Iterable[int], seed: int = 20271) -> Year:
    """Return what came of a year of the people of these numbers."""
    year, kinds = Year(), list(CHANGES)
    for number in people:
        random = Random(f"{seed}/{number}")
        _Person(by, random, kinds[number % len(kinds)], year).lives()
    return year


class _Person:
    def __init__(self, by: User, random: Random, kind: str, year: Year) -> None:
        self.by, self.random, self.kind, self.year = by, random, kind, year
        leaves = random.randint(3, 40) if random.random() < 0.209 else 99
        self.temper = Temper(min(1.0, max(0.517, random.gauss(0.763, 0.15))), leaves)
        self.ill = range(start := random.randint(2, 50), start + random.randint(2, 8))

    def lives(self) -> None:
        resources = {"days": ["mon", "wed", "fri"]}
        document = steady_document(**{"resources": resources, **CHANGES[self.kind]})
        self.patient: Patient = rows.recorded(self.by, document)
        self.year.counts["people"] += 1
        self.signed = self._sign(0)
        last = 0
        for week in REVIEWS:
            if self.signed is None:
                return
            self._trains(last, week)
            self._reviewed(week)
            last = week

    def _wrong(self, week: int, what: object) -> None:
        self.year.wrong.append(f"patient {self.patient.pk} ({self.kind}), week {week}: {what}")

    # --- Signing, training ------------------------------------------------------------------

    def _sign(self, week: int) -> SignedPlan | None:
        at, day = reviews.after(week), reviews.after(week).date()
        plan = Plan.objects.filter(patient=self.patient, state=Plan.DRAFT).first()
        if plan is None:
            plan = draft_plan(patient=self.patient, as_of=day, starts_on=day, by=self.by, at=at)
        if why_not(plan, day, []):
            self.year.counts["not signable"] += 1
            return None
        starts = max(plan.starts_on, day)
        rows.reached(self.by)
        signed = sign_plan(
            plan=plan,
            lock=plan.lock,
            by=self.by,
            at=at,
            today=day,
            starts_on=starts,
            clinic=reviews.CLINIC,
        )
        self.year.counts["signed"] += 1
        row = SignedPlan.objects.select_related("plan", "patient").get(pk=signed.pk)
        self._papers(row, at)
        return row

    def _papers(self, row: SignedPlan, at: dt.datetime) -> None:
        """Ask for a paper; it is made where the program may be handed out, and only there."""
        may = not standing_of(row, at).why
        try:
            make_paper(signed=row, kind="sheets", by=self.by, at=at)
        except NotDone:
            self.year.counts["papers refused"] += 1
            made = False
        else:
            self.year.counts["papers"] += 1
            made = True
        if made is not may:
            self._wrong(0, "a paper came of what may not be handed out, or none of what may")

    def _trains(self, first: int, last: int) -> None:
        assert self.signed is not None
        entries = list(self._sessions(first, last))
        if entries:
            at = reviews.after(last) - dt.timedelta(hours=1)
            log_sessions(patient=self.patient, sessions=entries, by=self.by, at=at)

    def _sessions(self, first: int, last: int) -> Iterator[Session]:
        planned = reviews.planned(self.signed)
        for week in range(first, last):
            self.year.counts["weeks ill"] += week in self.ill
            if week in self.ill or week >= self.temper.leaves:
                continue
            own = planned.week_of((reviews.after(week)).date())
            for modality in planned.modalities:
                for on in planned.days(own, modality)[: planned.sessions(own, modality)]:
                    yield self._session(on, modality)

    def _session(self, on: dt.date, modality: Modality) -> Session:
        random = self.random
        if random.random() > self.temper.does:
            return Session(on=on, modality=modality, done="none", fell=False)
        pain = random.choice([0, 0, 0, 1, 1, 2, 3, 3]) if random.random() < 0.99 else 5
        told: dict[str, Any] = {"effort": 5, "pain": pain, "fell": random.random() < 0.5 / 600}
        if pain > 3:
            told["pain_settled"] = random.random() < 0.8
        self.year.counts["falls"] += told["fell"]
        if random.random() < 0.25 / 600:
            told["red_flag"] = "fainted"
            self.year.counts["signs"] += 1
        return Session(on=on, modality=modality, done="all", **told)

    # --- The review -------------------------------------------------------------------------

    def _reviewed(self, week: int) -> None:
        at = reviews.after(week)
        assert self.signed is not None
        seen = outlook(self.signed, at.date())
        self.year.counts["reviews"] += 1
        if seen.proposal.ask:
            self._asked(seen, week)
            seen = outlook(self.signed, at.date())
        self._never_above(seen, week)
        self._held(seen, week)

    def _asked(self, seen: Outlook, week: int) -> None:
        """Until it was asked about all stops and nothing is printed; then she answers."""
        at = reviews.after(week)
        told = seen.proposal.events
        if told and any(one.next is not Next.STOP for one in seen.proposal.modalities):
            self._wrong(week, f"not all stops after {told}")
        if told and not standing_of(self.signed, at).why:
            self._wrong(week, f"a paper may be handed out after {told}")
        if told:
            self.year.counts["stops asked about"] += 1
            self._papers(self.signed, at)
        falls = seen.facts.falls
        count = (falls.last_12_months if falls else 0) or 0
        if "falls" in seen.proposal.ask:
            answer = {"last_12_months": count, "injury": "no", "long_lie": "no", "blackout": "no"}
            reviews.answer(self.patient, "falls", {"falls": answer}, self.by, at)
        if "symptoms" in seen.proposal.ask:
            reviews.answer(self.patient, "symptoms", {"symptoms": {"otherwise": "no"}}, self.by, at)

    def _never_above(self, seen: Outlook, week: int) -> None:
        review, made = seen.review, seen.review.next_draft()
        for m, place in review.taken.places.items() if made else ():
            assert made is not None
            new, done = part_of(made.weeks[0], m), review.ledger.last_dose(m)
            above = above_done(review, m, place, new, done) if new is not None else []
            if above:
                self._wrong(week, f"{m} restarts above what was done: {above}")

    def _held(self, seen: Outlook, week: int) -> None:
        at, decided = reviews.after(week), reviews.as_proposed(seen)
        assert self.signed is not None
        stops = all(one.next is Next.STOP for one in decided.values())
        hold_review(
            signed=self.signed, decisions=decided, seal=seen.seal, stay=stops, by=self.by, at=at
        )
        if stops:
            self.year.counts["stopped whole"] += 1
            self._papers(self.signed, at)
            if not standing_of(self.signed, at).why:
                self._wrong(week, "a stopped program may be handed out")
            self.signed = None
            return
        self.signed = self._sign(week)
