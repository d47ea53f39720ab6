"""Looking the record over: is all that is kept as it was written?

Seen: a line or a signed program changed, moved or missing; a row of a person or of the clinic
that is not as the record last tells, that is gone or that no line tells of; a program or paper
that is not the one of its line; a person of whom no line tells, as after a record was emptied;
a record cut off before an anchor, the last look, or a seal that the caller knows.
Not seen: lines cut off after the last anchor, with all that they tell of; and what somebody
rewrote throughout who holds the secret key too.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from uuid import UUID

from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS
from django.db.models import (
    BigIntegerField,
    Case,
    CharField,
    Exists,
    Model,
    OuterRef,
    When,
)
from django.db.models.functions import Cast

from patients import audit, looks
from patients.actions.told_codes import why_codes_not_as_told
from patients.actions.told_passwords import why_not_as_told
from patients.actions.told_roles import roles_not_as_told
from patients.models.patient import Audit, Patient
from programs.actions.anchors import against_anchors
from programs.actions.as_signed import SIGN_PLAN
from programs.actions.kept_paper import MAKE_PAPER, kept_bytes
from programs.actions.person_check import broken_programs
from programs.actions.refusals import NotDone
from programs.actions.rows_against_record import of_clinic, of_lines, of_people
from programs.actions.sealing import seals_break
from programs.actions.signing import chain_break
from programs.models.program import Handout, SignedPlan
from programs.models.record_check import RecordCheck

#: Papers held in memory at once; one may have a megabyte.
_AT_ONCE = 4
#: People whose rows are read together.
_PEOPLE_AT_ONCE = 20
#: Lines and anchors that a start looks at: what was written last, whatever the record's length.
LAST_LINES, LAST_ANCHORS = 1_000, 100


@dataclass(frozen=True, kw_only=True)
class Look:
    """What was found: how much there is, the seal of the last line, what does not hold.

    broken   a sentence for the first of each kind that is not as it was written
    """

    lines: int
    seal: str
    programs: int
    papers: int
    broken: tuple[str, ...]


def look_over(using: str = DEFAULT_DB_ALIAS, *, seal: str = "", anchored: bool = True) -> Look:
    """Return how the record, the signed programs and the kept papers of a database stand.

    seal       of a line, noted before: where no line has it any more, that is told
    anchored   it is held against the anchors; not a copy, which may be older than the newest

    Nothing is written, no lock is taken: it may run while others work.
    """
    # Before the walk: a line that is written meanwhile is walked, but not promised.
    lines, last = audit.head(using)
    return Look(
        lines=lines,
        seal=last if lines else "",
        programs=SignedPlan.objects.using(using).count(),
        papers=Handout.objects.using(using).count(),
        broken=tuple(_broken(using, seal, anchored)),
    )


def look_at_the_end(using: str = DEFAULT_DB_ALIAS) -> tuple[str, ...]:
    """Return what does not hold of the last lines, of what they tell of, and of the anchors.

    It costs the same however long the record is, so each start does it.
    """
    return tuple(_broken_at_the_end(using))


def _broken_at_the_end(using: str) -> Iterator[str]:
    yield from against_anchors(using, last=LAST_ANCHORS)
    if (line := audit.verify_chain(using, last=LAST_LINES)) is not None:
        yield f"Line {line.seq} of the record: {line.why}."
        return
    newest = Audit.objects.using(using).order_by("-seq")[:LAST_LINES]
    lines = sorted(newest, key=lambda line: line.seq)
    if not lines and Patient.objects.using(using).exists():
        yield "The record is empty, though there are people. Was it emptied?"
    yield from of_lines(lines, using)
    yield from _accounts(using)
    people = {line.patient_id for line in lines if line.action == SIGN_PLAN and line.patient_id}
    yield from broken_programs(sorted(people), using)
    for action, model, name in (
        (SIGN_PLAN, SignedPlan, "signed program"),
        (MAKE_PAPER, Handout, "kept paper"),
    ):
        told = (line for line in lines if line.action == action and line.new != audit.EMPTIED)
        numbers = {line.object_id: line.seq for line in told}
        rows = model._base_manager.using(using).filter(pk__in=numbers)
        there = {str(pk) for pk in rows.values_list("pk", flat=True)}
        for number, seq in numbers.items():
            if number not in there:
                yield f"Line {seq} of the record tells of {name} {number}, which is gone."
    papers = [line.object_id for line in lines if line.action == MAKE_PAPER]
    kept = Handout.objects.using(using).filter(pk__in=papers).order_by("pk")
    for paper in kept.iterator(chunk_size=_AT_ONCE):
        try:
            kept_bytes(paper)
        except NotDone as refusal:
            yield f"Kept paper {paper.pk}: {refusal}"


def check_record(
    *, by: User | None, at: dt.datetime, token: UUID | None = None, seal: str = ""
) -> RecordCheck:
    """Look the record over and keep what was found; None for `by` where a command asks."""
    # Outside the transaction: it takes seconds, and nobody else could write meanwhile.
    found = look_over(seal=seal)
    with audit.writing():
        if (before := audit.done_before(token)) is not None:
            return audit.row_made(before, RecordCheck)
        row = RecordCheck.objects.create(
            lines=found.lines,
            seal=found.seal,
            programs=found.programs,
            papers=found.papers,
            broken="\n".join(found.broken),
            by=by,
            at=at,
        )
        audit.record(
            by=by, at=at, action="check record", on=row, new=audit.state_of(row), token=token
        )
    return row


def _broken(using: str, seal: str, anchored: bool) -> Iterator[str]:
    """Give a sentence for the first of each kind that does not hold."""
    record = list(_record(using))
    yield from record
    yield from _seals(using, seal)
    if anchored:
        yield from against_anchors(using)
    if (look := looks.verify_looks(using)) is not None:
        yield f"Line {look.seq} of the looks: {look.why}."
    yield from _accounts(using)
    yield from _signatures(using)
    yield from _gone(using, SIGN_PLAN, SignedPlan, "signed program")
    for paper in Handout.objects.using(using).order_by("pk").iterator(chunk_size=_AT_ONCE):
        try:
            kept_bytes(paper)
        except NotDone as refusal:
            yield f"Kept paper {paper.pk}: {refusal}"
            break
    yield from _gone(using, MAKE_PAPER, Handout, "kept paper")
    if not record:
        # Against a record that itself does not hold, rows would tell nothing.
        yield from _rows(using)


def _signatures(using: str) -> Iterator[str]:
    for broken in filter(None, (chain_break(using), seals_break(using))):
        yield f"Signed program {broken.row}: {broken.why}"
        return
    rows = SignedPlan.objects.using(using).values_list("patient", flat=True)
    for some in _parts(sorted(set(rows))):
        if first := next(broken_programs(some, using), ""):
            yield first
            return


def _rows(using: str) -> Iterator[str]:
    """Give the first row of anybody, and the first of the clinic, that is not as recorded."""
    everybody = Patient._base_manager.using(using)
    people = list(everybody.order_by("pk").values_list("pk", flat=True))
    for some in _parts(people):
        if first := next(of_people(some, using), ""):
            yield first
            break
    yield from islice(of_clinic(using), 1)


def _parts(people: Sequence[int]) -> Iterator[list[int]]:
    return (
        list(people[first : first + _PEOPLE_AT_ONCE])
        for first in range(0, len(people), _PEOPLE_AT_ONCE)
    )


def _accounts(using: str) -> Iterator[str]:
    for one in User.objects.using(using).order_by("pk"):
        yield from filter(None, (why_not_as_told(one, using), why_codes_not_as_told(one, using)))
    yield from roles_not_as_told(using)


def _record(using: str) -> Iterator[str]:
    if (line := audit.verify_chain(using)) is not None:
        yield f"Line {line.seq} of the record: {line.why}."
    # A chain that was emptied and begun anew holds by itself.
    lines = Audit.objects.using(using).filter(object_type=Patient._meta.label_lower)
    told = Exists(lines.filter(object_id=Cast(OuterRef("pk"), CharField())))
    if (person := Patient.objects.using(using).filter(~told).order_by("pk").first()) is not None:
        yield f"Person {person.pk}: no line of the record tells of this person. Was it emptied?"


def _seals(using: str, given: str) -> Iterator[str]:
    """Tell where a seal known from before is gone: what followed it may be gone too."""
    held = RecordCheck.objects.using(using).filter(broken="", lines__gt=0).last()
    known = {given: "that was noted"}
    if held is not None:
        known[held.seal] = f"that line {held.lines} had at the last look"
    for seal, what in known.items():
        if seal and not Audit.objects.using(using).filter(hash__startswith=seal).exists():
            yield f"No line of the record has the seal {what}: {seal}"


def _gone(using: str, action: str, model: type[Model], name: str) -> Iterator[str]:
    """Give a sentence for the first line whose row is gone."""
    # A changed line may name what is not a number, which PostgreSQL would refuse to read as one.
    number = When(object_id__regex=r"^[0-9]{1,18}$", then=Cast("object_id", BigIntegerField()))
    row = model._default_manager.using(using).filter(pk=OuterRef("row"))
    lines = Audit.objects.using(using).filter(action=action, object_type=model._meta.label_lower)
    lines = lines.exclude(new=audit.EMPTIED)
    gone = lines.annotate(row=Case(number)).filter(~Exists(row)).order_by("seq").first()
    if gone is not None:
        yield f"Line {gone.seq} of the record tells of {name} {gone.object_id}, which is gone."
