"""What the views share: whose page, who is signed in, which form was sent."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.contrib.auth.models import User
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.module_loading import import_string

from patients.audit import printed_name
from patients.facts.ages import age_on
from patients.facts.in_words import day_text
from patients.facts.partial_dates import first_span
from patients.facts.sections import SECTIONS
from patients.models.patient import Patient
from patients.models.standing import Closing
from patients.namesakes import told_apart
from patients.rows_to_facts import Contradiction
from patients.standing import closing_in_force, join_of, not_looked_through
from patients.views.form_marks import mark_of
from patients.views.leading_on import lead_on


@dataclass(frozen=True, kw_only=True)
class BannerNote:
    """What every page of a patient says below her name.

    links   address and words of each
    quiet   it is for knowing only
    """

    text: str
    links: tuple[tuple[str, str], ...]
    quiet: bool = False


def signed_in(request: HttpRequest) -> User:
    """Return who is signed in; the middleware lets nobody else through."""
    assert isinstance(request.user, User)
    return request.user


def today() -> dt.date:
    """Return the clinic's own date, which is not always that of Greenwich."""
    return timezone.localdate()


def patient_page(
    request: HttpRequest, template: str, patient: Patient, *, status: int = 200, **context: Any
) -> HttpResponse:
    """Render a page with the patient's banner and steps, and a fresh token for its form."""
    if (elsewhere := lead_on(request, patient)) is not None:
        return elsewhere
    context |= {"patient": patient, "age": _age_words(patient), "today": today()}
    closing = context["closing"] = closing_in_force(patient)
    context["banner_notes"] = [*_namesakes(patient), *_notes_of_standing(patient, closing)]
    if closing is None:
        context["banner_notes"] += _banner_notes(patient, context)
    context.setdefault("step", "facts")
    context.setdefault("token", uuid4())
    context["mark"] = mark_of(patient)
    return render(request, template, context, status=status)


def _banner_notes(patient: Patient, context: dict[str, Any]) -> list[BannerNote]:
    """Return what the apps that patients knows nothing of have to say of her.

    They may add to the context what they have read, lest the page's template read it again.
    """
    made = (import_string(name)(patient, context) for name in settings.BANNER_NOTES)
    return [note for notes in made for note in notes]


def _notes_of_standing(patient: Patient, closing: Closing | None) -> list[BannerNote]:
    """Return what is to be said of a record that is closed, joined, or joined to."""
    if closing is not None:
        return [_closed(patient, closing)]
    if (join := join_of(patient)) is not None:
        text = (
            f"This record is joined to that of {join.into.name}, id {join.into_id}, since "
            f"{_day(join.at)}. It is kept as it was and takes nothing new."
        )
        return [BannerNote(text=text, links=((_page("facts", join.into), "Go there"),))]
    links = ((_page("joined", patient), "What stands there"),)
    if left := not_looked_through(patient):
        numbers = " and ".join(str(join.double_id) for join in left)
        text = (
            f"Record {numbers} was joined to this one and nobody has looked through it: fractures, "
            "falls, conditions or clearances there are not counted here. Nothing is signed or "
            "printed again until that is done."
        )
        return [BannerNote(text=text, links=links)]
    if patient.findable.leads:
        return [BannerNote(text="Another record is joined to this one.", links=links, quiet=True)]
    return []


def _namesakes(patient: Patient) -> list[BannerNote]:
    """Return whom she is not to be taken for."""
    return [
        BannerNote(
            text=f"Another person is called {other.name}, born {other.born_words}. {apart}",
            links=((_page("facts", other), f"Go to id {other.pk}"),),
        )
        for other, apart in told_apart(patient)
    ]


def _closed(patient: Patient, closing: Closing) -> BannerNote:
    told = f" Note: {closing.note}" if closing.note else ""
    text = (
        f"Closed: {closing.words}. Recorded by {printed_name(closing.by)} on "
        f"{_day(closing.at)}.{told}"
    )
    return BannerNote(text=text, links=((_page("close", patient), "Open again"),))


def _page(name: str, patient: Patient) -> str:
    return reverse(f"patients:{name}", args=[patient.pk])


def _day(at: dt.datetime) -> str:
    return day_text(timezone.localdate(at))


def _age_words(patient: Patient) -> str:
    """Return the age in years; where only the year of birth is known, both that it can be."""
    span = first_span(patient.born, patient.born_is)
    ages = {age_on(day, today()) for day in (span.until(today()), span.first)}
    return " or ".join(str(age) for age in sorted(ages))


def contradiction_page(
    request: HttpRequest,
    patient: Patient,
    contradiction: Contradiction,
    *,
    step: str = "facts",
    status: int = 200,
) -> HttpResponse:
    """Return the page that says which facts do not fit together, and where to put them right."""
    told = {"problems": contradiction.problems, "sections": SECTIONS, "step": step}
    return patient_page(request, "patients/contradiction.html", patient, status=status, **told)


def sent_token(request: HttpRequest) -> UUID | None:
    """Return the token of the form that was sent; None where it carries none."""
    try:
        return UUID(request.POST.get("token", ""))
    except ValueError:
        return None


def sent_number(request: HttpRequest, name: str) -> int:
    """Return a whole number that the form carries; 0, which no row has, where it is none."""
    return whole_number(request.POST.get(name, "")) or 0


def whole_number(text: str) -> int | None:
    """Return a number as rows have them; None for any other text, however long."""
    return int(text) if len(text) < 16 and text.isdecimal() else None


def sent_again(request: HttpRequest, *fresh: str) -> list[tuple[str, str]]:
    """Return all that was typed, to be sent once more, without what must be fresh."""
    left = ("csrfmiddlewaretoken", "token", *fresh)
    return [(n, v) for n, values in request.POST.lists() for v in values if n not in left]
