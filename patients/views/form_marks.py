"""What a form carries: the mark of its patient, and a token by which it is known again.

The mark is a keyed digest of the person's row and of this database's life. Nobody can make it
up, and after an older copy of the database was put back no form of before has a valid one,
whoever has been given the number of its patient since. A form that is of nobody carries the mark
of the life alone: the number of a scanner or an account may have been given out again too.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from hashlib import sha256
from typing import TypeVar
from uuid import UUID

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponseBase
from django.utils.crypto import constant_time_compare, salted_hmac

from patients import life
from patients.audit import FormContent, canonical
from patients.models.patient import Patient

_View = TypeVar("_View", bound=Callable[..., HttpResponseBase])

_MARK, _HOUSE = "calcar.form.patient", "calcar.form.house"
_CONTENT = "calcar.form.content"
#: Fields, by a part of their names, of whose content no digest is kept.
_SECRET = ("password", "passphrase", "csrfmiddlewaretoken")
#: Fields that nobody typed into.
_HIDDEN = (
    *("token", "patient", "life", "version", "lock", "plan", "based_on", "seal", "preview"),
    *("and_next", "and_more", "stay", "open", "confirm", "finding", "kept_page"),
)


def mark_of(patient: Patient) -> str:
    """Return the mark that each form of this person's pages carries."""
    since = patient.created_at.astimezone(dt.UTC).isoformat()
    # Read with her, by Patient.objects; a row that came another way asks for it.
    told = f"{patient.pk} {since} {getattr(patient, 'life', None) or life.current()}"
    return salted_hmac(_MARK, told, algorithm="sha256").hexdigest()[:32]


def is_marked(request: HttpRequest, patient: Patient) -> bool:
    """Return whether the form that was sent was made for this person, in this life."""
    return constant_time_compare(request.POST.get("patient", ""), mark_of(patient))


def house_mark() -> str:
    """Return the mark that each form carries which is of no patient."""
    return salted_hmac(_HOUSE, str(life.current()), algorithm="sha256").hexdigest()[:32]


def is_of_this_life(request: HttpRequest) -> bool:
    """Return whether the form that was sent was made in this life of the database."""
    return constant_time_compare(request.POST.get("life", ""), house_mark())


def of_any_life(view: _View) -> _View:
    """Mark a view whose form needs no mark: nothing it writes is of a row that was shown."""
    view.of_any_life = True  # type: ignore[attr-defined]
    return view


def follows_typing(view: _View) -> _View:
    """Mark a view that answers, while somebody types, with a part of the page and saves nothing.

    It says by itself in that part what is wrong with the form; all else that it is sent must
    be marked before it is called.
    """
    view.follows_typing = True  # type: ignore[attr-defined]
    return view


def content_of(request: HttpRequest, token: UUID) -> FormContent:
    """Return a keyed digest of what was sent, passwords left out, with the form's token."""
    fields = {n: values for n, values in request.POST.lists() if n != "token" and not _secret(n)}
    files = [(n, _digest(file)) for n, many in request.FILES.lists() for file in many]
    told = canonical({"to": request.path, "fields": fields, "files": files})
    digest = salted_hmac(_CONTENT, told, algorithm="sha256").hexdigest()
    return FormContent(token=token, digest=digest)


def typed(request: HttpRequest) -> list[tuple[str, str]]:
    """Return what was typed or chosen, with the fields' names as words, to be read."""
    return [
        (name.replace("-", " ").replace("_", " "), value)
        for name, values in request.POST.lists()
        for value in values
        if value and name not in _HIDDEN and not name.startswith("was-") and not _secret(name)
    ]


def _secret(name: str) -> bool:
    return any(word in name.lower() for word in _SECRET)


def _digest(file: UploadedFile[bytes]) -> str:
    made = sha256()
    for piece in file.chunks():
        made.update(piece)
    file.seek(0)
    return made.hexdigest()
