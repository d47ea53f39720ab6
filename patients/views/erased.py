"""The page that stands for every page of a person whose record was erased by law."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from patients.standing import erasure_of, erasure_words

GONE = 410


def erased(request: HttpRequest) -> HttpResponse | None:
    """Return the page, where the address names such a record; it tells no name."""
    at = request.resolver_match
    numbers = (
        [at.kwargs[name] for name in ("patient_id", "into_id") if name in at.kwargs] if at else []
    )
    for number in numbers:
        if number < 2**63 and (erasure := erasure_of(number)) is not None:
            told = {"erasure": erasure, "words": erasure_words(erasure)}
            return render(request, "patients/erased.html", told, status=GONE)
    return None
