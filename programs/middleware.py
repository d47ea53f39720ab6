"""A page that would read a signed program which does not verify says so instead."""

from __future__ import annotations

from collections.abc import Callable

from django.http import HttpRequest, HttpResponseBase

from programs.actions.as_signed import NotAsSigned
from programs.views.not_as_signed import not_as_signed


class TellsWhatIsNotAsSigned:
    """Answers wherever NotAsSigned goes through a view, so that none of them fails on it."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        """Answer as usual."""
        return self.get_response(request)

    def process_exception(
        self, request: HttpRequest, exception: Exception
    ) -> HttpResponseBase | None:
        """Answer instead of the page, where that is what went wrong."""
        return not_as_signed(request, exception) if isinstance(exception, NotAsSigned) else None
