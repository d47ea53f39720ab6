"""Remembers where a request came from, for the record of who did what."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

from patients.audit import source_address


def remember_source(
    get_response: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Keep the sender's address while its request is answered."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        kept = source_address.set(request.META.get("REMOTE_ADDR", ""))
        try:
            return get_response(request)
        finally:
            source_address.reset(kept)

    return answer
