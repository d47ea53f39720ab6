"""The papers of a signed program: made once, kept byte by byte, printed again as they were."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.contrib.auth.models import User
from django.utils import timezone
from django.utils.translation import trans_real

from patients import audit
from programs import snapshot
from programs.actions.known import basis_of
from programs.actions.printing import pdf
from programs.actions.refusals import NotDone
from programs.handout import ENGLISH, Issue, Words, issue_of, pages, week_page
from programs.handout.plate_session import plate_session
from programs.handout.questionnaire import questionnaire
from programs.handout.summary import summary
from programs.models import Handout, Plan, SignedPlan
from programs.placement import timetable
from programs.week_document import read_weeks

HANDOUT, FIRST_WEEKS, WEEK, SUMMARY, PLATE_SESSION = (
    "handout",
    "first weeks",
    "week",
    "summary",
    "plate session",
)
#: What each paper is called for whoever asks for it.
KINDS: Mapping[str, str] = {
    HANDOUT: "Take-home handout, all weeks",
    FIRST_WEEKS: "Take-home handout, weeks 1 to 12",
    WEEK: "One week for the fridge door",
    SUMMARY: "One page for the referring doctor",
    PLATE_SESSION: "Record of the first session on the plate",
}
#: Last week of the shorter handout: that of the second review.
FIRST_WEEKS_END = 12
#: The language in which all texts stand in the source.
ENGLISH_CODE = "en"
#: Letters of the papers for colleagues, in points.
COLLEAGUES_PT = 10


@dataclass(frozen=True, kw_only=True)
class _Paper:
    """A template and what it is given."""

    template: str
    context: Mapping[str, Any]


def make_handout(
    *,
    signed: SignedPlan,
    by: User,
    at: dt.datetime,
    language: str = "en",
    paper: str = "A4",
    type_pt: int = 16,
) -> Handout:
    """Return the take-home handout of a signed program; see make_paper."""
    return make_paper(
        signed=signed, kind=HANDOUT, by=by, at=at, language=language, paper=paper, type_pt=type_pt
    )


def make_paper(
    *,
    signed: SignedPlan,
    kind: str,
    by: User,
    at: dt.datetime,
    week: int = 1,
    language: str = "en",
    paper: str = "A4",
    type_pt: int = 16,
) -> Handout:
    """Return a paper of a signed program, made now or kept from before with the same options.

    week   the one on the paper for the fridge door
    Raises NotDone where the signed text does not hold or there is nothing to print, KeyError
    for a kind or paper size that is not known, PaperRefused and PaperUnavailable.
    """
    name = f"{kind} {week}" if kind == WEEK else kind
    size = COLLEAGUES_PT if kind in (SUMMARY, PLATE_SESSION) else type_pt
    # A colleague reads what was signed in the language in which it was.
    spoken = ENGLISH_CODE if kind == SUMMARY else language
    options = {"kind": name, "language": spoken, "paper": paper, "type_pt": size}
    kept = Handout.objects.filter(signed=signed, **options).first()
    if kept is not None:
        return kept
    # Outside the transaction: it takes seconds, and nobody else could write meanwhile.
    made = _print(signed, kind, week, **{key: options[key] for key in options if key != "kind"})
    with audit.writing():
        kept = Handout.objects.filter(signed=signed, **options).first()
        return kept or _keep(signed, made, options, by, at)


def _keep(
    signed: SignedPlan, made: bytes, options: Mapping[str, Any], by: User, at: dt.datetime
) -> Handout:
    sha256 = hashlib.sha256(made).hexdigest()
    row = Handout(signed=signed, pdf=made, sha256=sha256, made_at=at, **options)
    row.save(force_insert=True)
    new = {**options, "signed": signed.pk, "sha256": sha256}
    audit.record(by=by, at=at, action="make paper", on=row, new=new)
    return row


def kept_bytes(row: Handout) -> bytes:
    """Return a kept paper, byte by byte as it was made. Raises NotDone where it is not that."""
    held = bytes(row.pdf)
    if hashlib.sha256(held).hexdigest() != row.sha256:
        raise NotDone("The kept paper is not the one that was made. It is not shown.")
    return held


def _print(signed: SignedPlan, kind: str, week: int, **options: Any) -> bytes:
    document = document_of(signed)
    words = words_of(options["language"])
    issue = issue_of(
        document,
        words,
        digest=signed.digest,
        zone=timezone.get_default_timezone(),
        replaced_on=_replaced_on(signed, document),
    )
    made = _PAPERS[kind](document, words, issue, week)
    return pdf(made.template, made.context, issue=issue, **options)


def document_of(signed: SignedPlan) -> snapshot.Document:
    """Return the snapshot that was signed. Raises NotDone where it is not the one sealed."""
    if not snapshot.verify(signed.body, signed.digest):
        raise NotDone("The signed text does not match its seal. Nothing is printed from it.")
    return snapshot.read(signed.body)


def words_of(language: str) -> Words:
    """Return the translations of a language; English stands as it is written."""
    return ENGLISH if language == ENGLISH_CODE else trans_real.translation(language)


def _replaced_on(signed: SignedPlan, document: snapshot.Document) -> dt.date | None:
    before = SignedPlan.objects.filter(patient=signed.patient, version=document["replaces"])
    at = before.values_list("signed_at", flat=True).first()
    return timezone.localdate(at) if at else None


def _handout(document: snapshot.Document, words: Words, issue: Issue, week: int) -> _Paper:
    return _Paper(template="handout.html", context={"handout": pages(document, words, issue)})


def _first_weeks(document: snapshot.Document, words: Words, issue: Issue, week: int) -> _Paper:
    told = pages(document, words, issue, last_week=FIRST_WEEKS_END)
    return _Paper(template="handout.html", context={"handout": told})


def _week(document: snapshot.Document, words: Words, issue: Issue, week: int) -> _Paper:
    found = [one for one in document["weeks"] if one["week"] == week]
    if not found:
        raise NotDone(f"The program has no week {week}.")
    told = week_page(found[0], document, words)
    return _Paper(template="paper/fridge.html", context={"week": told})


def _summary(document: snapshot.Document, words: Words, issue: Issue, week: int) -> _Paper:
    return _Paper(template="paper/summary.html", context={"summary": summary(document)})


def _plate_session(document: snapshot.Document, words: Words, issue: Issue, week: int) -> _Paper:
    session = plate_session(document, words)
    if session is None:
        raise NotDone("The program holds no plate.")
    return _Paper(template="paper/plate_session.html", context={"session": session})


_PAPERS = {
    HANDOUT: _handout,
    FIRST_WEEKS: _first_weeks,
    WEEK: _week,
    SUMMARY: _summary,
    PLATE_SESSION: _plate_session,
}


def draft_pdf(
    *,
    plan: Plan,
    clinic: Mapping[str, str],
    language: str = "en",
    paper: str = "A4",
    type_pt: int = 16,
) -> bytes:
    """Return how the handout of an open draft would look, DRAFT across each page; not kept.

    Raises NotDone where the draft has no weeks, Stale where it must be drafted anew.
    """
    if not plan.weeks:
        raise NotDone("The draft has no weeks, so there is nothing to print.")
    document = _draft_document(plan, clinic)
    words = words_of(language)
    issue = issue_of(document, words, digest="", zone=timezone.get_default_timezone())
    return pdf(
        "handout.html",
        {"handout": pages(document, words, issue)},
        issue=issue,
        language=language,
        paper=paper,
        type_pt=type_pt,
        draft=True,
    )


def _draft_document(plan: Plan, clinic: Mapping[str, str]) -> snapshot.Document:
    """Return a draft in the shape of a snapshot; its signer has no name."""
    drafted = plan.proposed["timetable"]
    frozen = snapshot.freeze(
        patient=_who(plan),
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
    return snapshot.read(frozen.body)


def _who(plan: Plan) -> dict[str, Any]:
    who = plan.patient
    return {
        "id": who.pk,
        "record_number": who.record_number,
        "given_name": who.given_name,
        "family_name": who.family_name,
        "born": who.born.isoformat(),
        "sex": who.sex,
    }


def questionnaire_pdf(*, language: str = "en", paper: str = "A4", type_pt: int = 16) -> bytes:
    """Return the blank form to fill in before a first visit."""
    form = questionnaire(words_of(language))
    return pdf(
        "paper/questionnaire.html",
        {"form": form},
        issue=None,
        language=language,
        paper=paper,
        type_pt=type_pt,
    )
