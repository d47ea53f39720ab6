"""The paper of a discharge: made once from its review, kept byte by byte like the others."""

from __future__ import annotations

import datetime as dt

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from programs.actions.emergency_numbers import numbers_told
from programs.actions.papers import keep_paper, kept_before, to_print, words_of
from programs.actions.person_check import refuse_what_is_not_as_recorded
from programs.actions.press_queue import Line
from programs.actions.printing import pdf
from programs.actions.read_plan import facts_for
from programs.actions.refusals import NotDone
from programs.actions.reviewing import ends_the_program
from programs.actions.who import names_told
from programs.models.program import Handout, Review
from programs.papers import issue_of
from programs.papers.kinds import DISCHARGE, ENGLISH_CODE
from programs.signed.ending import Ending
from safety.findings import Modality
from safety.screen import Screen, Status, screen


def discharge_paper(
    *,
    review: Review,
    by: User,
    at: dt.datetime,
    language: str = ENGLISH_CODE,
    paper: str = "A4",
    type_pt: int = 16,
) -> Handout:
    """Return the page of a discharge, made now or kept from before with the same options.

    Raises NotDone where the review discharged nobody, where what is known today speaks against
    what it tells her, or the signed text does not hold; Contradiction, KeyError for a paper size
    that is not known, PaperRefused and PaperUnavailable.
    """
    if not ends_the_program(review):
        raise NotDone("This review discharged nobody.")
    ending, signed = Ending.read(review.decision["ending"]), review.signed
    lifted = frozenset(review.decision["stays_lifted"])
    today = screen(facts_for(review.patient, timezone.localdate(at)), lifted=lifted)
    if against := _against(ending, today):
        raise NotDone(f"{' '.join(against)} Hold a review again before she is told to go on.")
    options = {
        "kind": DISCHARGE.kept_as(review.pk),
        "language": DISCHARGE.spoken(language),
        "paper": paper,
        "type_pt": DISCHARGE.letters_pt(type_pt),
    }
    refuse_what_is_not_as_recorded(signed.patient_id)
    document, words = to_print(signed, language), words_of(language)
    kept = kept_before(signed, options, document)
    if kept is not None:
        return kept
    zone = timezone.get_default_timezone()
    # Outside the transaction: it takes seconds, and nobody else could write meanwhile.
    made = pdf(
        DISCHARGE.template,
        {DISCHARGE.part: DISCHARGE.make(document, ending, review.held_on, words)},
        issue=issue_of(
            document, words, digest=signed.digest, zone=zone, names=names_told(signed.patient)
        ),
        language=language,
        paper=paper,
        type_pt=type_pt,
        line=Line(patient=signed.patient_id),
    )
    with audit.writing():
        kept = kept_before(signed, options, document)
        return kept or keep_paper(signed, made, options, by, at, numbers_told(document.clinic))


def _against(ending: Ending, today: Screen) -> tuple[str, ...]:
    """Return what of today speaks against what the page tells; nothing where nothing does."""
    if today.blocked:
        return tuple(one.text for one in today.blocked)
    gone = [str(m) for m in Modality if m in ending.keeps and _is_out(today, m)]
    return (f"Not for her today: {', '.join(gone)}.",) if gone else ()


def _is_out(today: Screen, modality: Modality) -> bool:
    return today.status(modality) is not Status.INCLUDED
