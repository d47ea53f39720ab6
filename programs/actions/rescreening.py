"""Screening everybody anew whose rulebook or facts are newer than her last screen, in batches.

Each batch is kept whole, in one transaction; what is written of it tells how far the run came, so
that one that was killed goes on after it. Nobody is screened twice with the same facts.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from patients.facts.declared import Facts
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction, Entered, entered_by_many, facts_from
from programs.actions.as_signed import NotAsSigned, program_of
from programs.actions.clinic import limits_in_force
from programs.actions.decided_before import Decided, decided_before
from programs.actions.facts_versions import FactsVersion, facts_versions
from programs.actions.last_screens import Screens, SeenLast, screens_of
from programs.actions.people_counted import followed_people
from programs.actions.read_plan import asked_in, resume_of
from programs.actions.rescreens_to_look_at import keep_to_look_at, take_away_looked_at
from programs.actions.rulebook_check import papers_in_hand
from programs.actions.sessions import TELLS, session_of
from programs.dose.in_force import Clinic
from programs.draft.draft import draft
from programs.models.program import SessionLog, SignedPlan
from programs.models.rescreen import Rescreen, RescreenBatch
from programs.review.adherence import Session
from programs.review.against_rulebook import still_lifted, unreadable, week_on
from programs.review.facts_from_log import with_events
from programs.review.paper_in_hand import (
    Paper,
    Rank,
    paper_as_kept,
    paper_of,
    rank_of,
    unreadable_paper,
)
from safety.compared_screens import as_kept, change_as_kept, compared, said
from safety.facts_with_clearances import with_clearances
from safety.models import Clearance
from safety.rules.all_rules import RULEBOOK
from safety.screen import screen

#: What the record calls it.
RESCREEN = "rescreen"


@dataclass(frozen=True, kw_only=True)
class Batch:
    """What came of some people.

    last           the id of the last of them
    rows           those rescreened
    without_facts  nothing was ever answered or measured of them
    contradicting  what was entered of them cannot stand together, known before or found now
    meanwhile      how many changed while they were screened; the next run takes them
    """

    last: int
    looked_at: int = 0
    rows: Sequence[Rescreen] = ()
    without_facts: Sequence[Patient] = ()
    contradicting: Sequence[Patient] = ()
    meanwhile: int = 0


def where_it_stopped() -> int | None:
    """Return the last person of a run that did not come to its end; None where none is open."""
    newest = RescreenBatch.objects.filter(rulebook=RULEBOOK).last()
    return None if newest is None or newest.ended else newest.last_patient


def rescreen_all(*, at: dt.datetime, at_once: int, by: User | None = None) -> Iterator[Batch]:
    """Screen everybody anew who is due, batch by batch.

    It begins after the last person of a run that was stopped, and comes to those before her
    afterwards: they may have changed since.
    """
    take_away_looked_at()
    begin = where_it_stopped()
    wrote = begin is not None
    for batch in _batches(begin, at, at_once, by):
        wrote = wrote or bool(batch.rows)
        yield batch
    if wrote:
        with audit.writing():
            _keep_batch(last=0, ended=True, rows=(), at=at, by=by)


def _batches(begin: int | None, at: dt.datetime, at_once: int, by: User | None) -> Iterator[Batch]:
    parts = [(0, None)] if begin is None else [(begin, None), (0, begin)]
    for after, until in parts:
        while batch := rescreen_batch(after=after, until=until, at=at, most=at_once, by=by):
            yield batch
            after = batch.last


def rescreen_batch(
    *, after: int, until: int | None, at: dt.datetime, most: int, by: User | None = None
) -> Batch | None:
    """Screen so many people anew who follow on an id, as far as they are due; None: nobody.

    until   the last id, itself included; None: to the end

    Screened outside the transaction, since a draft takes its time; what changed meanwhile is
    left to the next run.
    """
    people = followed_people().filter(pk__gt=after)
    patients = list((people if until is None else people.filter(pk__lte=until))[:most])
    if not patients:
        return None
    day = timezone.localdate(at)
    versions, screens = facts_versions(patients, day), screens_of(patients)
    known = [one for one in patients if not versions[one.pk].is_empty]
    due = [one for one in known if _is_due(versions[one.pk], screens[one.pk])]
    found = _Screened(due, versions, screens, day).rows(at) if due else []
    kept = _kept(found, {one.pk: one for one in due}, patients[-1].pk, at, by)
    not_due = {one.pk for one in known} - {one.pk for one in due}
    cannot = {row.patient_id for row in kept if row.contradiction}
    cannot |= {of for of in not_due if screens[of].contradicts}
    return Batch(
        last=patients[-1].pk,
        looked_at=len(patients),
        rows=kept,
        without_facts=[one for one in patients if versions[one.pk].is_empty],
        contradicting=[one for one in known if one.pk in cannot],
        meanwhile=len(found) - len(kept),
    )


def _is_due(version: FactsVersion, screens: Screens) -> bool:
    """Tell whether the rulebook or the facts are newer than the last screen."""
    if screens.has(RULEBOOK, version.name):
        return False
    if screens.by_person is None or screens.by_person[1] != RULEBOOK:
        return True
    # A fact of that very moment may have come after the screen.
    return version.changed_at is not None and version.changed_at >= screens.by_person[0]


def _kept(
    found: Sequence[Rescreen],
    patients: dict[int, Patient],
    last: int,
    at: dt.datetime,
    by: User | None,
) -> list[Rescreen]:
    """Keep what nobody kept meanwhile and of what the facts are as they were; all of it or none."""
    if not found:
        return []
    with audit.writing():
        now = facts_versions(list(patients.values()), timezone.localdate(at))
        before = Rescreen.objects.filter(patient__in=patients, rulebook=RULEBOOK)
        taken = set(before.values_list("patient", "facts_version"))
        same = [
            row
            for row in found
            if now[row.patient_id].name == row.facts_version
            and (row.patient_id, row.facts_version) not in taken
        ]
        if same:
            batch = _keep_batch(last=last, ended=False, rows=same, at=at, by=by)
            for row in same:
                row.batch = batch
            # One line of the record stands for the whole batch.
            Rescreen.objects.bulk_create(same)
            keep_to_look_at(same)
    return same


def _keep_batch(
    *, last: int, ended: bool, rows: Sequence[Rescreen], at: dt.datetime, by: User | None
) -> RescreenBatch:
    batch = RescreenBatch.objects.create(
        rulebook=RULEBOOK, last_patient=last, screened=len(rows), ended=ended, at=at, by=by
    )
    told = {str(row.patient_id): row.facts_version for row in rows}
    new = {**audit.state_of(batch), "people": told}
    audit.record(by=by, at=at, action=RESCREEN, on=batch, new=new)
    return batch


@dataclass
class _Screened:
    """Some people who are due, screened with what is read for all of them at once."""

    patients: Collection[Patient]
    versions: dict[int, FactsVersion]
    screens: dict[int, Screens]
    day: dt.date
    known: dict[int, Entered] = field(init=False)
    cleared: dict[int, list[Clearance]] = field(init=False)
    told: dict[int, list[Session]] = field(init=False)
    papers: dict[int, SignedPlan] = field(init=False)
    limits: Clinic = field(init=False)
    seen: SeenLast = field(init=False)

    def __post_init__(self) -> None:
        self.known = entered_by_many(self.patients, self.day)
        self.papers = papers_in_hand(self.patients, self.day)
        self.limits = limits_in_force()
        due = {one.pk: self.screens[one.pk] for one in self.patients}
        self.seen = SeenLast(due, self.papers)
        cleared = Clearance.objects.filter(patient__in=self.patients, withdrawn_at=None)
        self.cleared = _by_patient(cleared.order_by("id"))
        told = SessionLog.objects.filter(TELLS, patient__in=self.patients, withdrawn_at=None)
        rows = _by_patient(told.order_by("on", "id"))
        self.told = {of: [session_of(row) for row in held] for of, held in rows.items()}

    def rows(self, at: dt.datetime) -> list[Rescreen]:
        """Return what came of each, not saved yet."""
        return [self._row(one, at) for one in self.patients]

    def _row(self, patient: Patient, at: dt.datetime) -> Rescreen:
        of, signed = patient.pk, self.papers.get(patient.pk)
        before = self.seen.of(of)
        row = Rescreen(
            patient=patient,
            rulebook=RULEBOOK,
            facts_version=self.versions[of].name,
            as_of=self.day,
            since=before.at if before else None,
            findings=[],
            changes=[],
            decided=[],
            signed=signed,
            at=at,
        )
        try:
            facts = self._facts(patient)
        except Contradiction as contradiction:
            return self._contradicting(row, str(contradiction))
        now = [said(finding) for finding in screen(facts).findings]
        changes = compared(before.findings, now) if before else ()
        paper, decided = self._paper(signed, facts), self._decided(of, signed)
        row.findings, row.changes = list(map(as_kept, now)), list(map(change_as_kept, changes))
        row.decided = list(decided_before(decided, self.day))
        row.paper, row.rank = paper and paper_as_kept(paper), rank_of(changes, paper)
        return row

    def _contradicting(self, row: Rescreen, why: str) -> Rescreen:
        row.contradiction = why
        row.rank = Rank.STOP if row.signed else None
        return row

    def _facts(self, patient: Patient) -> Facts:
        """Return her facts with what was cleared and logged, as programs.actions.read_plan does."""
        known, told = self.known[patient.pk], self.told.get(patient.pk, [])
        facts = with_clearances(facts_from(known), self.cleared.get(patient.pk, ()))
        return with_events(facts, told, asked_in(known.assessment), self.day) if told else facts

    def _decided(self, of: int, signed: SignedPlan | None) -> Decided:
        return Decided(signed=signed, clearances=self.cleared.get(of, ()))

    def _paper(self, signed: SignedPlan | None, facts: Facts) -> Paper | None:
        if signed is None:
            return None
        try:
            program = program_of(signed)
        except NotAsSigned as problem:
            return unreadable_paper(signed.version, unreadable(problem.why))
        resume = resume_of(signed.plan)
        made = draft(facts, still_lifted(resume), self.limits)
        return paper_of(program, made, week_on(program.starts_on, self.day), resume)


def _by_patient(rows: Iterable[Any]) -> dict[int, list[Any]]:
    found: dict[int, list[Any]] = {}
    for row in rows:
        found.setdefault(row.patient_id, []).append(row)
    return found
