"""What each request passes: where it came from, whose form it sends, what of whom it is shown."""

import logging
from collections.abc import Callable
from ipaddress import ip_address
from typing import Any

from django.contrib.auth.models import User
from django.db import DatabaseError
from django.http import HttpRequest, HttpResponseBase

from patients.actions.unfinished import drop_unfinished
from patients.audit import SentOtherwise, done_before, form_sent, source_address
from patients.looks import NotKept
from patients.models.finding import OPEN
from patients.models.patient import Patient
from patients.views.common import sent_token
from patients.views.erased import erased
from patients.views.form_marks import content_of
from patients.views.kept_looks import (
    is_refused,
    keep_what_is_refused,
    keep_what_is_shown,
    not_kept,
)
from patients.views.refused_forms import of_another_life, other_patient, sent_otherwise
from patients.views.standing import takes_nothing

Answer = Callable[[HttpRequest], HttpResponseBase]
_log = logging.getLogger(__name__)


def remember_source(get_response: Answer) -> Answer:
    """Keep the sender's address while its request is answered.

    Behind the proxy that does TLS the server has put the address there that the proxy names.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        kept = source_address.set(_address(request))
        try:
            return get_response(request)
        finally:
            source_address.reset(kept)

    return answer


def _address(request: HttpRequest) -> str:
    """Return the address, or nothing where the server names none that could be one."""
    try:
        return str(ip_address(request.META.get("REMOTE_ADDR", "")))
    except ValueError:
        return ""


def keep_looks(get_response: Answer) -> Answer:
    """Write down each look at a person, by the number in the address, before it is shown.

    What cannot be written down is not shown. A refusal shows nothing, so it stands anyway.
    """

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        try:
            if is_refused(response):
                keep_what_is_refused(request, response)
            else:
                keep_what_is_shown(request, response)
        except (DatabaseError, NotKept) as error:
            _log.error("A look could not be written down: %s", error)
            if is_refused(response):
                return response
            return not_kept()
        return response

    return answer


def let_go_what_is_saved(get_response: Answer) -> Answer:
    """Throw away what was kept of a form as unfinished, once the record tells that it was saved."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        page, at = request.POST.get("kept_page", ""), request.resolver_match
        if page and at and response.status_code == 302 and isinstance(request.user, User):
            number = at.kwargs.get("patient_id")
            if number is not None and done_before(sent_token(request)) is not None:
                drop_unfinished(patient_id=number, page=page, by=request.user)
        return response

    return answer


def tell_of_erased(get_response: Answer) -> Answer:
    """Say that a record was erased by law, where its page is asked for: nobody is found there."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        response = get_response(request)
        return (erased(request) if response.status_code == 404 else None) or response

    return answer


class FormsAsMade:
    """Lets a form do only what it was made for: for its own patient, in this life, and once.

    The page's patient is the `patient_id` of its address, whichever app it belongs to. What was
    sent is remembered while it is answered, so that the record knows the same form again.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer, and forget the form."""
        kept = form_sent.set(None)
        try:
            return self.get_response(request)
        finally:
            form_sent.reset(kept)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: dict[str, Any]
    ) -> HttpResponseBase | None:
        """Answer instead of the page, where the form is of another person or another life."""
        if request.method != "POST":
            return None
        if (token := sent_token(request)) is not None:
            form_sent.set(content_of(request, token))
        number = kwargs.get("patient_id")
        if _only_follows_typing(request, view):
            return None
        if number is None:
            return None if getattr(view, "of_any_life", False) else of_another_life(request)
        return other_patient(request, Patient.objects.filter(pk=number).first())

    def process_exception(
        self, request: HttpRequest, exception: Exception
    ) -> HttpResponseBase | None:
        """Say that a form was saved already, where its token was used for something else."""
        if not isinstance(exception, SentOtherwise):
            return None
        return sent_otherwise(request, exception)


def _only_follows_typing(request: HttpRequest, view: Any) -> bool:
    """Tell whether the form is not sent, but asked about by its page while somebody types."""
    asked = "preview" in request.POST and bool(request.headers.get("HX-Request"))
    return asked and getattr(view, "follows_typing", False)


class OnlyOpenRecords:
    """Lets nothing be posted to a page of a record that is closed or stands under another one.

    The page's patient is the `patient_id` of its address, whichever app it belongs to.
    """

    def __init__(self, get_response: Answer) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer as usual."""
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: dict[str, Any]
    ) -> HttpResponseBase | None:
        """Answer instead of the page, where its patient's record takes nothing."""
        number = kwargs.get("patient_id")
        if request.method != "POST" or number is None:
            return None
        patient = Patient.objects.filter(pk=number).first()
        if patient is None or patient.findable.state == OPEN:
            return None
        return takes_nothing(request, patient)
