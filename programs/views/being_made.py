"""The page that stands for a paper while it waits for a press, and how far it is."""

from __future__ import annotations

import threading
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from programs.actions.press_queue import BeingMade, Place, is_served, place_of

_P = ParamSpec("_P")
#: A paper is put together by one thread of a process at a time: the others are for the pages.
_put_together = threading.Lock()
MANY = "Several people are asking for papers at this moment. It is asked for again by itself."
Printing = Callable[Concatenate[HttpRequest, _P], HttpResponse]


def prints(view: Printing[_P]) -> Printing[_P]:
    """Let a view of a paper answer at once with how far it is, where presses print it."""

    @wraps(view)
    def answer(request: HttpRequest, /, *args: _P.args, **kwargs: _P.kwargs) -> HttpResponse:
        if not is_served():
            return view(request, *args, **kwargs)
        if not _put_together.acquire(blocking=False):
            return _not_yet(request, None, MANY)
        try:
            return view(request, *args, **kwargs)
        except BeingMade as made:
            return _not_yet(request, made.order, words_of_place(place_of(made.order)))
        finally:
            _put_together.release()

    return answer


def _not_yet(request: HttpRequest, order: int | None, words: str) -> HttpResponse:
    """Say how far a paper is, and ask for it again as it was; nothing of hers is shown."""
    fields = request.POST if request.method == "POST" else request.GET
    sent = [(name, value) for name, values in fields.lists() for value in values]
    context = {
        "order": order,
        "words": words,
        "method": "post" if request.method == "POST" else "get",
        "sent": [(name, value) for name, value in sent if name != "csrfmiddlewaretoken"],
    }
    return render(request, "programs/being_made.html", context, status=202)


@require_GET
def how_far(request: HttpRequest, order_id: int) -> JsonResponse:
    """Tell the page that waits for a paper how far it is."""
    place = place_of(order_id)
    return JsonResponse({"ready": place.ready, "words": words_of_place(place)})


def words_of_place(place: Place) -> str:
    """Return how far a paper is, as a sentence."""
    if place.ready:
        return "It is ready."
    if place.printing:
        return "It is being printed now."
    if not place.before:
        return "It is the next one."
    return f"{place.before} {'paper is' if place.before == 1 else 'papers are'} before it."
