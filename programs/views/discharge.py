"""What may follow a review, on its page, and the page that a discharge leaves with her."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from patients import audit
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import signed_in, today
from programs.actions.clinic import details_in_force
from programs.actions.discharging import discharge_paper
from programs.actions.printing import PaperRefused, PaperUnavailable
from programs.actions.refusals import NotDone
from programs.actions.reviewing import Outlook, ends_the_program
from programs.forms.paper import LayoutForm
from programs.models.program import Review
from programs.review.half_year import Onward
from programs.review.onward import WORDS, against_discharge, against_maintenance
from programs.views.being_made import prints
from safety.sources import cite


@dataclass(frozen=True, kw_only=True)
class Offered:
    """What may follow a review, and why what may not; empty where it may.

    half_year   the next draft begins a half year
    source      that what was gained is lost again
    """

    half_year: bool
    against_maintenance: tuple[str, ...]
    against_discharge: tuple[str, ...]
    source: tuple[str, ...]


def onward_of(seen: Outlook) -> Offered:
    """Return what may follow a review."""
    review = seen.review
    return Offered(
        half_year=review.half_year_over,
        against_maintenance=against_maintenance(review),
        against_discharge=against_discharge(review),
        source=cite("detraining"),
    )


def onward_words(review: Review) -> str:
    """Return what followed a review that was held, where it was no ordinary draft."""
    onward = review.decision.get("onward")
    if onward in (None, "", Onward.NEXT_DRAFT):
        return ""
    reason = review.decision.get("onward_reason", "")
    return f"{WORDS[Onward(onward)]}. {reason}".strip()


@dataclass(frozen=True, kw_only=True)
class Discharged:
    """The review that discharged her, who held it, and how her page is asked for."""

    review: Review
    by: str
    form: LayoutForm


def discharge_of(patient: Patient, held: Iterable[Review]) -> Discharged | None:
    """Return the discharge that stands: no review that was held has followed it."""
    newest = max(held, key=lambda review: review.pk, default=None)
    if newest is None or not ends_the_program(newest):
        return None
    form = LayoutForm(initial={"paper": details_in_force().paper}, born=patient.born, as_of=today())
    return Discharged(review=newest, by=audit.printed_name(newest.by), form=form)


@require_POST
@prints
def print_discharge(request: HttpRequest, patient_id: int, review_id: int) -> HttpResponse:
    """Make the page of a discharge, or find the one kept, and open it."""
    row = get_object_or_404(
        Review.objects.select_related("signed", "patient"), pk=review_id, patient_id=patient_id
    )
    form = LayoutForm(request.POST, born=row.patient.born, as_of=today())
    if not form.is_valid():
        messages.error(request, "Choose a language, a paper size and letters for the page.")
        return redirect("programs:review", patient_id)
    try:
        made = discharge_paper(
            review=row, by=signed_in(request), at=timezone.now(), **form.cleaned_data
        )
    except (NotDone, Contradiction, PaperRefused, PaperUnavailable) as refused:
        messages.error(request, str(refused))
        return redirect("programs:review", patient_id)
    return redirect("programs:handout_pdf", patient_id, made.pk)
