"""The papers of a signed program: made once, kept byte by byte, printed again as they were."""

from __future__ import annotations

import datetime as dt
import hashlib
import logging
from collections.abc import Mapping
from contextlib import suppress
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import trans_real

from patients import audit
from programs.actions import kept_paper
from programs.actions.anchors import head_words
from programs.actions.as_signed import program_of, refuse_what_is_not_as_signed
from programs.actions.clinic import details_in_force
from programs.actions.done_since import done_since
from programs.actions.emergency_numbers import (
    clinic_of_today,
    numbers_told,
    with_numbers_of_today,
)
from programs.actions.kept_paper import MAKE_PAPER
from programs.actions.kept_paper import kept_bytes as kept_bytes
from programs.actions.marked_copy import marked
from programs.actions.may_hand_out import blocked_today, standing_of
from programs.actions.person_check import refuse_what_is_not_as_recorded
from programs.actions.press_queue import BeingMade, Line, is_served
from programs.actions.printing import PaperRefused, PaperUnavailable, pdf
from programs.actions.read_plan import basis_of
from programs.actions.refusals import NotDone
from programs.actions.told_beside import told_beside
from programs.actions.who import names_as_signed, names_told, who_is_signed
from programs.edit.place_on_days import timetable
from programs.models.program import Handout, Plan, SignedPlan
from programs.models.program_state import ProgramState
from programs.papers import ENGLISH, Issue, Words, issue_of
from programs.papers.done_since import section as since_section
from programs.papers.kinds import (
    COLLEAGUES_PT,
    DISCHARGE,
    ENGLISH_CODE,
    KINDS,
    LETTER,
    PHONE_SLIP,
    QUESTIONNAIRE,
    SAFETY_FILE,
    STOP_NOTICE,
    TO_VISIT,
    OfProgram,
    Paper,
    span_of,
)
from programs.papers.phone_slip import CodeOnSlip
from programs.papers.span import Span, to_next_visit
from programs.papers.stop_notice import Stop
from programs.signed import snapshot
from programs.signed.program import SignedProgram
from programs.week.document import read_weeks
from safety.findings import Modality

_log = logging.getLogger(__name__)


def make_paper(
    *,
    signed: SignedPlan,
    kind: str,
    by: User,
    at: dt.datetime,
    weeks: Span | None = None,
    language: str = ENGLISH_CODE,
    paper: str = "A4",
    type_pt: int = 16,
) -> Handout:
    """Return a paper of a signed program, made now or kept from before with the same options.

    kind    the code of the paper in KINDS
    weeks   those that were chosen, for sheets of weeks; None: to the next visit
    Raises NotDone where anything of hers is not as it was recorded, where nothing may be handed
    out or there is nothing to print, KeyError for a kind or paper size that is not known,
    PaperRefused and PaperUnavailable.
    """
    asked = KINDS[kind]
    _refuse_what_may_not_be_handed_out(signed, at)
    span = span_of(kind, program_of(signed), timezone.localdate(at), weeks)
    options = {
        "kind": asked.kept_as(span),
        "language": asked.spoken(language),
        "paper": paper,
        "type_pt": asked.letters_pt(type_pt),
    }
    refuse_what_is_not_as_recorded(signed.patient_id)
    document = to_print(signed, asked.spoken(language))
    kept = kept_before(signed, options, document)
    if kept is not None:
        return kept
    # Outside the transaction: it takes seconds, and nobody else could write meanwhile.
    layout = {key: options[key] for key in options if key != "kind"}
    made = _print(signed, document, asked, span, Line(patient=signed.patient_id), **layout)
    with audit.writing():
        # Asked again: what was stopped while it was printed is not handed out.
        _refuse_what_may_not_be_handed_out(signed, at)
        kept = kept_before(signed, options, document)
        return kept or keep_paper(signed, made, options, by, at, numbers_told(document.clinic))


def print_ahead(*, signed: SignedPlan, at: dt.datetime) -> None:
    """Let the presses print what is most likely asked for next; nobody is handed it by that.

    It is the paper to the next visit, laid out as her last one was. Whoever asks for it asks
    make_paper, which looks anew at whether it may be handed out and whether it still says the same.
    What goes wrong is left to then: whoever has just signed is told that it is signed.
    """
    if not is_served():
        return
    try:
        _put_ahead(signed, at)
    except Exception:
        _log.exception("A paper was not printed ahead of need.")


def _put_ahead(signed: SignedPlan, at: dt.datetime) -> None:
    if standing_of(signed, at).why:
        return
    line = Line(patient=signed.patient_id, wanted=False)
    layout = _usual_layout(signed)
    document = to_print(signed, layout["language"])
    span = span_of(TO_VISIT, program_of(signed), timezone.localdate(at), None)
    with suppress(BeingMade, NotDone, PaperRefused, PaperUnavailable):
        _print(signed, document, KINDS[TO_VISIT], span, line, **layout)


def _usual_layout(signed: SignedPlan) -> dict[str, Any]:
    """Return the language, size and letters of her last paper, or what the form begins with."""
    names = ("language", "paper", "type_pt")
    hers = Handout.objects.filter(signed__patient=signed.patient_id, kind__startswith=TO_VISIT)
    before = hers.order_by("-pk").values(*names).first()
    return before or {"language": ENGLISH_CODE, "paper": details_in_force().paper, "type_pt": 16}


def to_print(signed: SignedPlan, language: str) -> SignedProgram:
    """Return what was signed, with the clinic's numbers of today, as a paper says it."""
    return with_numbers_of_today(program_of(signed), language)


def kept_before(
    signed: SignedPlan, options: Mapping[str, Any], document: SignedProgram
) -> Handout | None:
    """Return the paper kept from before that would be made now, or None."""
    was = program_of(signed)
    return kept_paper.kept_before(
        signed,
        options,
        bears={"clinic": numbers_told(document.clinic), "names": names_told(signed.patient)},
        old={"clinic": numbers_told(was.clinic), "names": names_as_signed(was.who)},
    )


def _refuse_what_may_not_be_handed_out(signed: SignedPlan, at: dt.datetime) -> None:
    if why := standing_of(signed, at).why:
        raise NotDone(" ".join(why))


def make_stop_notice(
    *,
    stop: ProgramState,
    by: User,
    at: dt.datetime,
    language: str = ENGLISH_CODE,
    paper: str = "A4",
    type_pt: int = 16,
) -> Handout:
    """Return the notice of a stop, made now or kept from before with the same options.

    Raises NotDone where anything of hers is not as it was recorded, PaperRefused and
    PaperUnavailable.
    """
    signed = stop.signed
    options: dict[str, Any] = {"language": language, "paper": paper, "type_pt": type_pt}
    kept_as = {"kind": f"{STOP_NOTICE.code} {stop.pk}", **options}
    refuse_what_is_not_as_recorded(signed.patient_id)
    document, words = to_print(signed, language), words_of(language)
    kept = kept_before(signed, kept_as, document)
    if kept is not None:
        return kept
    told = Stop(
        kinds=(Modality(stop.modality),) if stop.modality else (),
        by=audit.printed_name(stop.by),
        on=timezone.localdate(stop.at),
    )
    made = pdf(
        STOP_NOTICE.template,
        {STOP_NOTICE.part: STOP_NOTICE.make(document, words, told)},
        issue=_issue(signed, document, words),
        line=Line(patient=signed.patient_id),
        **options,
    )
    with audit.writing():
        kept = kept_before(signed, kept_as, document)
        return kept or keep_paper(signed, made, kept_as, by, at, numbers_told(document.clinic))


def keep_paper(
    signed: SignedPlan,
    made: bytes,
    options: Mapping[str, Any],
    by: User,
    at: dt.datetime,
    numbers: Mapping[str, str],
) -> Handout:
    """Keep a paper as it was made. Within a transaction that writes.

    numbers   the clinic's, as the paper bears them; the record's line of the paper tells them,
              and her names of its day
    """
    sha256 = hashlib.sha256(made).hexdigest()
    row = Handout(signed=signed, pdf=made, sha256=sha256, made_at=at, **options)
    row.save(force_insert=True)
    told = {"clinic": numbers, "names": names_told(signed.patient)}
    new = {**options, "signed": signed.pk, "sha256": sha256, **told}
    audit.record(by=by, at=at, action=MAKE_PAPER, on=row, new=new)
    return row


def bytes_to_hand_out(row: Handout, at: dt.datetime) -> bytes:
    """Return a kept paper; where it may not be used, a copy with that across each page.

    The notice of a stop and the page of a discharge are there to be handed out, this one unless
    something blocks today. Raises NotDone where it is not as it was made.
    """
    held = kept_bytes(row)
    refuse_what_is_not_as_signed(row.signed)
    if row.kind.startswith(STOP_NOTICE.code):
        return held
    if row.kind.startswith(DISCHARGE.code) and not blocked_today(
        row.signed.patient, timezone.localdate(at)
    ):
        return held
    now = standing_of(row.signed, at)
    return marked(held, now.state.state, words_of(row.language)) if now.why else held


def _print(
    signed: SignedPlan,
    document: SignedProgram,
    asked: Paper[OfProgram],
    span: Span,
    line: Line,
    **options: Any,
) -> bytes:
    words = words_of(options["language"])
    issue = _issue(signed, document, words)
    told = asked.make(document, words, issue, span)
    if told is None:
        raise NotDone(asked.nothing.format(weeks=span))
    shown = {asked.part: told}
    if asked.part == KINDS[TO_VISIT].part and (done := done_since(signed, document)) is not None:
        shown["since"] = since_section(done, words)
    if asked.part == KINDS[LETTER].part:
        shown["beside"] = told_beside(signed)
    return pdf(asked.template, shown, issue=issue, line=line, **options)


def _issue(signed: SignedPlan, document: SignedProgram, words: Words) -> Issue:
    return issue_of(
        document,
        words,
        digest=signed.digest,
        zone=timezone.get_default_timezone(),
        replaced_on=_replaced_on(signed, document),
        anchor=head_words(),
        names=names_told(signed.patient),
    )


def words_of(language: str) -> Words:
    """Return the translations of a language; English stands as it is written."""
    return ENGLISH if language == ENGLISH_CODE else trans_real.translation(language)


def _replaced_on(signed: SignedPlan, document: SignedProgram) -> dt.date | None:
    if document.replaces is None:
        return None
    before = SignedPlan.objects.filter(patient=signed.patient, version=document.replaces)
    at = before.values_list("signed_at", flat=True).first()
    return timezone.localdate(at) if at else None


def draft_pdf(
    *,
    plan: Plan,
    clinic: Mapping[str, str],
    language: str = ENGLISH_CODE,
    paper: str = "A4",
    type_pt: int = 16,
) -> bytes:
    """Return how the handout of an open draft would look, DRAFT across each page; not kept.

    Raises NotDone where the draft has no weeks, Stale where it must be drafted anew.
    """
    if not plan.weeks:
        raise NotDone("The draft has no weeks, so there is nothing to print.")
    document = with_numbers_of_today(_draft_document(plan, clinic), language)
    words = words_of(language)
    zone = timezone.get_default_timezone()
    issue = issue_of(document, words, digest="", zone=zone, names=names_told(plan.patient))
    handout = KINDS[TO_VISIT]
    span = to_next_visit(document, document.starts_on)
    return pdf(
        handout.template,
        {handout.part: handout.make(document, words, issue, span)},
        issue=issue,
        language=language,
        paper=paper,
        type_pt=type_pt,
        draft=True,
        line=Line(patient=plan.patient_id),
    )


def _draft_document(plan: Plan, clinic: Mapping[str, str]) -> SignedProgram:
    """Return a draft in the shape of a signed program; its signer has no name."""
    drafted = plan.proposed["timetable"]
    frozen = snapshot.freeze(
        patient=who_is_signed(plan.patient),
        version=plan.version,
        replaces=plan.version - 1 or None,
        starts_on=plan.starts_on.isoformat(),
        facts=plan.facts,
        draft=plan.proposed,
        edits=[],
        left_out=plan.left_out_by_clinician,
        weeks=plan.weeks,
        timetable=timetable(read_weeks(plan.weeks), basis_of(plan), drafted),
        signer={"username": "", "name": "", "at": "", "meaning": ""},
        clinic=clinic,
        previous_digest=snapshot.FIRST_DIGEST,
    )
    return snapshot.program_in(frozen.body)


def questionnaire_pdf(*, language: str = "en", paper: str = "A4", type_pt: int = 16) -> bytes:
    """Return the blank form to fill in before a first visit."""
    return pdf(
        QUESTIONNAIRE.template,
        {QUESTIONNAIRE.part: QUESTIONNAIRE.make(words_of(language), clinic_of_today(language))},
        issue=None,
        language=language,
        paper=paper,
        type_pt=type_pt,
        line=Line(),
    )


def phone_slip_pdf(held: CodeOnSlip, *, language: str, paper: str) -> bytes:
    """Return the slip with the code of her phone; not kept, for the code is on it."""
    return pdf(
        PHONE_SLIP.template,
        {PHONE_SLIP.part: PHONE_SLIP.make(words_of(language), held)},
        issue=None,
        language=language,
        paper=paper,
        type_pt=PHONE_SLIP.letters_pt(COLLEAGUES_PT),
    )


def safety_file_pdf(*, paper: str = "A4") -> bytes:
    """Return the clinical safety file, for colleagues."""
    return pdf(
        SAFETY_FILE.template,
        {SAFETY_FILE.part: SAFETY_FILE.make(words_of(ENGLISH_CODE))},
        issue=None,
        language=ENGLISH_CODE,
        paper=paper,
        type_pt=COLLEAGUES_PT,
        line=Line(),
    )
