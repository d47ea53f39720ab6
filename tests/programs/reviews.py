"""A signed program with its log, for the tests of reviews: through the actions, as served."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone

from patients.actions.patient_record import add_measured, save_section
from patients.facts.declared import Fracture
from patients.facts.document import read_part
from patients.facts.sections import SECTIONS
from patients.models.patient import FractureRow, Patient
from patients.rows_to_facts import newest_assessment
from programs.actions.drafting import draft_plan
from programs.actions.reviewing import Decision, Outlook, hold_review, outlook
from programs.actions.sessions import log_sessions
from programs.actions.signing import sign_plan
from programs.models.program import Review, SignedPlan
from programs.review.adherence import Planned, Session
from programs.review.next_steps import Next
from programs.signed import snapshot
from safety.findings import Modality
from tests.people import steady_document
from tests.programs import rows
from tests.programs.rows import AT, DAY

CLINIC = {"name": "Example bone clinic", "phone": "01 000 000", "address": "1 Example Street"}
DAYS = ["mon", "wed", "fri"]
FALLER = {
    "falls": {"last_12_months": 3, "injury": "no", "long_lie": "no", "blackout": "no"},
    "resources": {"supervised": "yes", "days": DAYS},
}


def after(weeks: int) -> dt.datetime:
    """Return the moment so many full weeks after the program's first day."""
    return AT + dt.timedelta(weeks=weeks)


def signed(by: User, document: dict[str, Any] | None = None) -> SignedPlan:
    """Return a program signed on its first day."""
    rows.reached(by)
    patient = rows.recorded(by, document or steady_document(resources={"days": DAYS}))
    plan = draft_plan(patient=patient, as_of=DAY, starts_on=DAY, by=by, at=AT)
    row = sign_plan(
        plan=plan, lock=plan.lock, by=by, at=AT, today=DAY, starts_on=DAY, clinic=CLINIC
    )
    return read_anew(row.pk)


def read_anew(number: int) -> SignedPlan:
    """Return a signed program as it stands in the database."""
    return SignedPlan.objects.select_related("plan", "patient").get(pk=number)


def planned(row: SignedPlan) -> Planned:
    """Return what was signed."""
    return Planned.of(snapshot.program_in(row.body))


def log_weeks(
    row: SignedPlan, by: User, *weeks: int, but: Mapping[Modality, Any] | None = None, **said: Any
) -> None:
    """Log every session of some weeks as done without trouble, but as said of a modality."""
    program = planned(row)
    told = {"done": "all", "effort": 5, "pain": 1, "fell": False} | said
    sessions = [
        Session(on=on, modality=m, **told | dict((but or {}).get(m, {})))
        for week in weeks
        for m in program.modalities
        for on in program.days(week, m)
    ]
    ends = program.first_day(max(weeks) + 1) - DAY
    at = AT + ends
    log_sessions(patient=row.patient, sessions=sessions, by=by, at=at)


def seen(row: SignedPlan, weeks: int = 4) -> Outlook:
    """Return the outlook after so many full weeks."""
    return outlook(row, after(weeks).date())


def all_as(chosen: Next, of: Outlook, reason: str = "", **other: Next) -> dict[Modality, Decision]:
    """Return one decision for all modalities, but for some."""
    return {
        one.modality: Decision(next=other.get(str(one.modality), chosen), reason=reason)
        for one in of.proposal.modalities
    }


def as_proposed(of: Outlook) -> dict[Modality, Decision]:
    """Return the decisions that follow the proposal."""
    return {one.modality: Decision(next=one.next) for one in of.proposal.modalities}


def held(row: SignedPlan, by: User, weeks: int = 4, **more: Any) -> Review:
    """Hold the review after so many full weeks, as proposed unless told otherwise."""
    of = more.pop("of", None) or seen(row, weeks)
    told: dict[str, Any] = {"decisions": as_proposed(of), "seal": of.seal}
    return hold_review(signed=row, by=by, at=after(weeks), **told | more)


def answer(patient: Patient, code: str, part: dict[str, Any], by: User, at: dt.datetime) -> None:
    """Save the answers of one section anew."""
    day = timezone.localdate(at)
    newest = newest_assessment(patient, day)
    assert newest is not None
    save_section(
        patient=patient,
        section=SECTIONS[code],
        answers=part,
        as_of=day,
        based_on=newest.pk,
        by=by,
        at=at,
    )


def broken(patient: Patient, fracture: dict[str, Any], by: User, at: dt.datetime) -> None:
    """Put a fracture on record."""
    fact = read_part(Fracture, fracture, "", timezone.localdate(at), patient.born)
    assert isinstance(fact, Fracture), fact
    add_measured(patient=patient, rows=[FractureRow.from_fact(fact)], by=by, at=at)
