"""The lists of the Caseload: whom each names, and why."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Any

from django.db.models import Exists, F, Max, OuterRef, Q, QuerySet, Subquery
from django.utils import timezone

from patients import audit
from patients.facts.ages import add_months
from patients.facts.in_words import day_text
from patients.facts.partial_dates import FIRST, parse_span, told_day, told_words
from patients.models.patient import Assessment, Patient
from patients.standing import in_lists
from programs.actions.program_state import (
    in_force,
    stops_not_replaced,
    stops_not_told,
    taken_out,
)
from programs.actions.rescreens_to_look_at import not_looked_at, sentence_of
from programs.actions.rulebook_check import that_differ
from programs.actions.sessions import TELLS, with_words
from programs.models.program import Plan, Review, SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.models.rescreen import Rescreen, RescreenToLookAt
from programs.models.rulebook_check import RulebookCheck
from programs.review.against_rulebook import read
from programs.review.due import REVIEWS_OF_EPISODE, due_of
from programs.review.paper_in_hand import Rank
from programs.review.proposing import EPISODE_DAYS
from programs.views.case_list import PAGE, CaseList, Line, first_of, line_of
from programs.views.caseload_asked import asked_doctors, asked_lines
from programs.views.caseload_by_herself import by_herself, lines_of
from safety.fracture_history import NEXT_DOSE_MONTHS
from safety.models import Clearance

#: A program of which nothing is logged for so many days is silent.
SILENT_DAYS = 14
#: A clearance is listed so many days before its last day and after it; a dose before it is due.
ENDS_WITHIN_DAYS, ENDED_DAYS, DOSE_DAYS = 14, 28, 28

#: An entry of a log after which someone speaks to the person: a fall, a warning sign, a broken
#: bone, pain of 6 or more; of 4 or 5 where it did not settle, or nobody wrote whether it did.
ALARMING = TELLS | Q(pain__gte=6) | (Q(pain__gte=4) & ~Q(pain_settled=True))


# --- Needs a call -----------------------------------------------------------------------------


def _last_review(field: str) -> Subquery:
    """Return the last review of the patient of the outer row."""
    held = Review.objects.filter(patient=OuterRef("patient")).values("patient")
    return Subquery(held.annotate(last=Max(field)).values("last"))


def _alarming() -> QuerySet[SessionLog]:
    """Return the entries that do not wait and that no review has seen."""
    rows = SessionLog.objects.filter(ALARMING, in_lists(), withdrawn_at=None)
    unseen = Q(reviewed=None) | Q(entered_at__gt=F("reviewed"))
    return rows.annotate(reviewed=_last_review("at")).filter(unseen)


def speak_to(day: dt.date) -> QuerySet[Any]:
    """Return who told of a fall, a red flag or pain since the last review, the newest first."""
    told = _alarming().values("patient").annotate(last=Max("on"))
    return told.order_by("-last", "-patient")


def _speak_to_lines(rows: Sequence[Any], day: dt.date) -> list[Line]:
    people = Patient.objects.in_bulk([row["patient"] for row in rows])
    entries: dict[int, list[str]] = {}
    for one in _alarming().filter(patient__in=people).order_by("-on", "-id"):
        entries.setdefault(one.patient_id, []).append(_entry(one))
    return [
        line_of(people[pk], "programs:log", "Log", *first_of(entries[pk]))
        for pk in (row["patient"] for row in rows)
    ]


def _entry(row: SessionLog) -> str:
    """Return what an entry tells that does not wait."""
    told = ["a fall"] if row.fell else []
    told += [f"warning sign: {row.red_flag}"] if row.red_flag else []
    told += [f"broken bone: {row.broke}"] if row.broke else []
    pain = row.pain or 0
    if pain >= 4:
        settled = {True: "settled", False: "not settled in 24 hours", None: "settled or not: ?"}
        after = "" if pain >= 6 else f", {settled[row.pain_settled]}"
        told.append(f"pain {pain}{with_words(row)}{after}")
    return f"{day_text(row.on)}: {'; '.join(told)}"


# --- Stopped ----------------------------------------------------------------------------------


def not_told(day: dt.date) -> QuerySet[ProgramState]:
    """Return the stops of which nobody wrote that she knows."""
    return stops_not_told().filter(in_lists("signed__patient"))


def _not_told_lines(rows: Sequence[ProgramState], day: dt.date) -> list[Line]:
    return [
        line_of(
            row.signed.patient, "programs:stop_told", "Tell the patient", _stop(row), args=[row.pk]
        )
        for row in rows
    ]


def not_restarted(day: dt.date) -> QuerySet[ProgramState]:
    """Return the stops after which no newer version was signed."""
    return stops_not_replaced().filter(in_lists("signed__patient"))


def _not_restarted_lines(rows: Sequence[ProgramState], day: dt.date) -> list[Line]:
    return [line_of(row.signed.patient, "programs:review", "Review", _stop(row)) for row in rows]


def _stop(row: ProgramState) -> str:
    on, by = day_text(timezone.localdate(row.at)), audit.printed_name(row.by)
    return f"{row.modality or 'all of it'}, on {on} by {by}: {row.why}"


# --- To look at again -------------------------------------------------------------------------


def _changed_lines(rows: Sequence[RescreenToLookAt], day: dt.date) -> list[Line]:
    return [line_of(row.patient, *_where(row.result), level=_level(row)) for row in rows]


def _where(result: Rescreen) -> tuple[str, ...]:
    """Return the page where a result is looked at, what is done there, and what it says."""
    told = (sentence_of(result), *(f"Decided before: {one}" for one in result.decided))
    page = ("programs:review", "Review") if result.signed_id else ("safety:screen", "Screen")
    return (*page, *told)


def _level(row: RescreenToLookAt) -> str:
    return "contraindicated" if row.rank == Rank.STOP else "needs_clearance"


def _older_lines(rows: Sequence[RulebookCheck], day: dt.date) -> list[Line]:
    return [line_of(row.signed.patient, "programs:review", "Review", *_older(row)) for row in rows]


def _older(row: RulebookCheck) -> tuple[str, ...]:
    which = f"version {row.signed.version}, signed under rulebook {row.signed.rulebook}"
    return (which, *first_of([one.words for one in read(row.differs)]))


# --- To sign, to review -----------------------------------------------------------------------


def to_sign(day: dt.date) -> QuerySet[Plan]:
    """Return the open drafts, the oldest first."""
    rows = Plan.objects.filter(in_lists(), state=Plan.DRAFT).select_related("patient", "made_by")
    return rows.order_by("made_at", "pk").defer("facts", "weeks")


def _to_sign_lines(rows: Sequence[Plan], day: dt.date) -> list[Line]:
    return [line_of(plan.patient, "programs:plan", "Plan", *_draft(plan)) for plan in rows]


def _draft(plan: Plan) -> Iterable[str]:
    drafted = day_text(timezone.localdate(plan.made_at))
    yield f"version {plan.version}, drafted {drafted} by {audit.printed_name(plan.made_by)}"
    if not plan.proposed.get("issuable"):
        yield "stopped by a finding"


def episode_of(patient: OuterRef | F) -> Subquery:
    """Return the first day of the episode that a patient's newest program belongs to (row 26g).

    It is the latest start without another one in the 26 weeks before it.
    """
    starts = SignedPlan.objects.filter(patient=patient)
    before = SignedPlan.objects.filter(
        patient=OuterRef("patient"),
        plan__starts_on__lt=OuterRef("plan__starts_on"),
        plan__starts_on__gte=OuterRef("plan__starts_on") - dt.timedelta(days=EPISODE_DAYS),
    )
    found = starts.filter(~Exists(before)).order_by("-plan__starts_on")
    return Subquery(found.values("plan__starts_on")[:1])


def to_review(day: dt.date) -> Iterator[Any]:
    """Give the newest programs whose review is due, of the earliest episode first.

    Each with its episode, the last review and what is due. Which of the reviews it is, is asked
    of `due_of` row by row: in the database each of some forty weeks would have to look for the
    episode anew.
    """
    going = SignedPlan.objects.filter(in_lists(), ~taken_out(signed=OuterRef("pk")))
    known = going.annotate(episode=episode_of(OuterRef("patient")), held=_last_review("held_on"))
    old = known.filter(episode__lte=day - dt.timedelta(weeks=REVIEWS_OF_EPISODE[0]))
    rows = old.select_related("patient", "plan").defer(*_LONG).order_by("episode", "pk")
    row: Any
    for row in rows.iterator(chunk_size=PAGE):
        if (due := due_of(row.episode, row.held, day)) is not None:
            row.due = due
            yield row


_LONG = ("body", "plan__facts", "plan__proposed", "plan__weeks")


def _to_review_lines(rows: Sequence[Any], day: dt.date) -> list[Line]:
    lines = []
    for row in rows:
        why = f"after week {row.due.week}, due since {day_text(row.due.since)}"
        lines.append(line_of(row.patient, "programs:review", "Review", why))
    return lines


# --- What ends, what is silent ----------------------------------------------------------------


def _with_program(day: dt.date) -> Exists:
    """Return whether the patient of the outer row has a program in force."""
    return Exists(SignedPlan.objects.filter(in_force(day), patient=OuterRef("patient")))


def clearance_ends(day: dt.date) -> QuerySet[Clearance]:
    """Return the clearances that end soon, or ended and were not renewed."""
    newer = Clearance.objects.filter(
        patient=OuterRef("patient"),
        subject=OuterRef("subject"),
        withdrawn_at=None,
        until__gt=OuterRef("until"),
    )
    rows = Clearance.objects.filter(
        in_lists(), _with_program(day), ~Exists(newer), withdrawn_at=None
    )
    soon = day + dt.timedelta(days=ENDS_WITHIN_DAYS)
    past = day - dt.timedelta(days=ENDED_DAYS)
    return rows.filter(until__range=(past, soon)).select_related("patient").order_by("until", "pk")


def _clearance_lines(rows: Sequence[Clearance], day: dt.date) -> list[Line]:
    return [line_of(row.patient, "safety:screen", "Screen", _ends(row, day)) for row in rows]


def _ends(row: Clearance, day: dt.date) -> str:
    ends = "ended" if row.until < day else "ends"
    subject = row.get_subject_display()
    return f"{subject}: clearance for {row.modality_names} {ends} on {day_text(row.until)}"


def silent(day: dt.date) -> QuerySet[SignedPlan]:
    """Return the programs in force of which nothing is logged for two weeks."""
    since = day - dt.timedelta(days=SILENT_DAYS)
    log = SessionLog.objects.filter(patient=OuterRef("patient"), withdrawn_at=None)
    last = Subquery(log.order_by("-on").values("on")[:1])
    # That its plan is signed is said for the index alone.
    rows = SignedPlan.objects.filter(in_lists(), in_force(day), plan__state=Plan.SIGNED)
    quiet = Q(plan__starts_on__lte=since) & (Q(last=None) | Q(last__lte=since))
    found = rows.annotate(last=last).filter(quiet).select_related("patient", "plan")
    return found.defer(*_LONG).order_by("plan__starts_on", "pk")


def _silent_lines(rows: Sequence[Any], day: dt.date) -> list[Line]:
    return [line_of(row.patient, "programs:log", "Log", _quiet(row)) for row in rows]


def _quiet(row: Any) -> str:
    if row.last is None:
        return f"nothing logged since it began on {day_text(row.plan.starts_on)}"
    return f"nothing logged since {day_text(row.last)}"


def dose_due(day: dt.date) -> QuerySet[Assessment]:
    """Return the newest answers that tell of denosumab whose next dose is due soon, or was."""
    medicine = "answers__medicines__bone_medicine"
    last = add_months(day + dt.timedelta(days=DOSE_DAYS), -NEXT_DOSE_MONTHS)
    newer = Assessment.objects.filter(patient=OuterRef("patient")).filter(
        Q(as_of__gt=OuterRef("as_of")) | Q(as_of=OuterRef("as_of"), pk__gt=OuterRef("pk"))
    )
    told: dict[str, Any] = {
        f"{medicine}__kind": "denosumab",
        f"{medicine}__last_dose_on__lte": last.isoformat(),
    }
    rows = Assessment.objects.filter(in_lists(), ~Exists(newer), **told)
    going_on = Q(**{f"{medicine}__stopped__isnull": True}) | ~Q(**{f"{medicine}__stopped": "yes"})
    return (
        rows.filter(going_on).select_related("patient").order_by(f"{medicine}__last_dose_on", "pk")
    )


def _dose_lines(rows: Sequence[Assessment], day: dt.date) -> list[Line]:
    return [
        line_of(row.patient, "patients:section", "Medicines", _dose(row), args=["medicines"])
        for row in rows
    ]


def _dose(row: Assessment) -> str:
    told = row.answers["medicines"]["bone_medicine"]["last_dose_on"]
    last = told_day(parse_span(told), FIRST, None)
    return f"denosumab, last dose {told_words(last)}: the next one is due after 6 months"


_ROWS = (
    CaseList(
        code="call",
        title="Needs a call",
        nobody="No one needs a call: no fall, warning sign or lasting pain since the last reviews.",
        rows=speak_to,
        lines=_speak_to_lines,
        level="contraindicated",
    ),
    CaseList(
        code="phone",
        title="Sent by phone, not yet accepted",
        nobody="Nothing sent by phone is waiting.",
        rows=by_herself,
        lines=lines_of,
    ),
    CaseList(
        code="tell",
        title="Stopped, patient not yet told",
        nobody="Every patient whose program was stopped has been told.",
        rows=not_told,
        lines=_not_told_lines,
        level="contraindicated",
    ),
    CaseList(
        code="stopped",
        title="Stopped and not restarted",
        nobody="Nothing is stopped.",
        rows=not_restarted,
        lines=_not_restarted_lines,
    ),
    CaseList(
        code="changed",
        title="Changed at the last rescreen",
        nobody="No changed screen is waiting to be looked at.",
        rows=lambda day: not_looked_at(),
        lines=_changed_lines,
    ),
    CaseList(
        code="older",
        title="Signed under an older rulebook, look again",
        nobody="No program in force asks more than today’s rulebook allows.",
        rows=that_differ,
        lines=_older_lines,
        level="contraindicated",
    ),
    CaseList(
        code="sign",
        title="To sign",
        nobody="No draft is open.",
        rows=to_sign,
        lines=_to_sign_lines,
    ),
    CaseList(
        code="review",
        title="Review due",
        nobody="No review is due.",
        rows=to_review,
        lines=_to_review_lines,
    ),
    CaseList(
        code="leave",
        title="Clearance ends",
        nobody="No clearance ends within two weeks.",
        rows=clearance_ends,
        lines=_clearance_lines,
    ),
    CaseList(
        code="asked",
        title="Awaiting a doctor’s answer",
        nobody="No doctor’s answer is awaited.",
        rows=asked_doctors,
        lines=asked_lines,
    ),
    CaseList(
        code="silent",
        title="Nothing logged for two weeks",
        nobody="Everyone with a program has logged something.",
        rows=silent,
        lines=_silent_lines,
    ),
    CaseList(
        code="dose",
        title="Next dose of bone medicine",
        nobody="No dose is due within four weeks.",
        rows=dose_due,
        lines=_dose_lines,
    ),
)
#: The lists by their code, in the order in which they stand.
LISTS: Mapping[str, CaseList] = MappingProxyType({one.code: one for one in _ROWS})
