"""What her own phone opens: a code's page, this week, a day of its log. Nobody is signed in here.

A code in an address is never looked at by opening it: only the button sends it, and each try is
under the one brake. A wrong, spent, old, ended or withdrawn code is answered with one and the same
page. The pages carry a mark of their own in place of Django's token: their addresses are told to
nobody (no-referrer), and a browser then hides where a form comes from, which that token asks.
"""

from __future__ import annotations

import datetime as dt
import secrets
from collections.abc import Callable, Mapping
from functools import wraps
from typing import Any
from uuid import UUID, uuid4

from django.conf import settings
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone, translation
from django.utils.crypto import constant_time_compare, salted_hmac
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from patients import life
from patients.actions.guessing import Question, TooManyTries, take_a_try, was_right, was_wrong
from patients.actions.refusals import Refused
from patients.known_browser import source_of
from patients.views.form_marks import of_any_life
from programs.actions.as_signed import program_of
from programs.actions.clinic import details_in_force
from programs.actions.languages import languages_on
from programs.actions.papers import to_print, words_of
from programs.actions.phone_codes import NoCode, Opened, end_code, open_week, opened_by
from programs.actions.phone_log import days_of, knows_of, read_texts, write_day, written_in
from programs.exercises import EXERCISES
from programs.log.carried import SAYS
from programs.log.entries import Wrong
from programs.log.her_form import groups_of
from programs.models.phone import PhoneOpening
from programs.papers.kinds import ENGLISH_CODE
from programs.papers.numbers import line_start
from programs.papers.paper_parts import Words
from programs.papers.phone_week import NOT_SEEN, phone_week
from programs.papers.weeks import full_date_words
from programs.phone.address import PATH
from programs.review.adherence import Planned

#: The cookies of a phone: what it is known by once a code was spent, and before.
PHONE, NONCE = "__Secure-calcar_week", "__Secure-calcar_opening"
NONCE_LASTS_S = 24 * 60 * 60
_MARK = "calcar.phone.mark"
_View = Callable[..., HttpResponse]


def _hers(view: _View) -> _View:
    """Let a page be opened without signing in, and let its address be told to nobody."""

    @wraps(view)
    def answer(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        response = view(request, *args, **kwargs)
        response["Referrer-Policy"] = "no-referrer"
        return response

    return of_any_life(csrf_exempt(login_not_required(answer)))


def mark_of(kept: str) -> str:
    """Return what the form that spends a code carries, made from a cookie of its own."""
    return salted_hmac(_MARK, kept, algorithm="sha256").hexdigest()[:32]


def _mark_of_week(request: HttpRequest) -> str:
    """Return what the forms of an open week carry: of this phone, and of this database's life."""
    return mark_of(f"{request.COOKIES[PHONE]} {life.current()}")


def _is_marked(request: HttpRequest, mark: str) -> bool:
    return constant_time_compare(request.POST.get("mark", ""), mark)


def _opening(request: HttpRequest) -> PhoneOpening | None:
    token = request.COOKIES.get(PHONE, "")
    return opened_by(token, timezone.now()) if token else None


# --- Opened by a code -------------------------------------------------------------------------


@_hers
@require_GET
def code(request: HttpRequest, language: str, code: str) -> HttpResponse:
    """Show the button that spends a code; the code is not looked at."""
    spoken = language if language in dict(settings.LANGUAGES) else ENGLISH_CODE
    return _with_nonce(request, "phone/open.html", spoken, {"code": code})


def _with_nonce(
    request: HttpRequest, template: str, language: str, shown: dict[str, Any], status: int = 200
) -> HttpResponse:
    """Render a page from which a code may be sent, and let the phone be known again."""
    nonce = request.COOKIES.get(NONCE) or secrets.token_hex(16)
    response = _page(request, template, language, shown | {"mark": mark_of(nonce)}, status)
    _set(response, NONCE, nonce, NONCE_LASTS_S)
    return response


def _page(
    request: HttpRequest, template: str, language: str, shown: dict[str, Any], status: int = 200
) -> HttpResponse:
    with translation.override(language):
        return render(request, template, {"language": language, **shown}, status=status)


def _set(response: HttpResponse, name: str, value: str, lasts_s: int) -> None:
    response.set_cookie(
        name, value, max_age=lasts_s, path=PATH, secure=True, httponly=True, samesite="Strict"
    )


def _closed(
    request: HttpRequest, status: int = 404, until: dt.datetime | None = None, **shown: Any
) -> HttpResponse:
    """Answer with the one page for whatever opens nothing: in each language, of nobody."""
    wait = timezone.localtime(until) if until else None
    told = {
        "wait": wait,
        "phone": details_in_force().phone,
        "languages": [code for code, _ in languages_on()],
        **shown,
    }
    return _with_nonce(request, "phone/closed.html", ENGLISH_CODE, told, status)


@_hers
@require_http_methods(["GET", "POST"])
def week(request: HttpRequest) -> HttpResponse:
    """Show this week to a phone that is open; a code that is sent opens it."""
    if request.method == "POST":
        return _open(request)
    opening = _opening(request)
    return _closed(request, 200) if opening is None else _week_page(request, opening)


def _open(request: HttpRequest) -> HttpResponse:
    nonce = request.COOKIES.get(NONCE, "")
    if not (nonce and _is_marked(request, mark_of(nonce))):
        return _closed(request)
    at = timezone.now()
    try:
        opened = _tried(request, at)
    except TooManyTries as refused:
        return _closed(request, 429, refused.until)
    if opened is None:
        return _closed(request)
    response = redirect("programs:her_week")
    left = opened.opening.until - at
    _set(response, PHONE, opened.token, max(0, int(left.total_seconds())))
    return response


def _tried(request: HttpRequest, at: dt.datetime) -> Opened | None:
    """Try the code that was sent, under the one brake."""
    tried = take_a_try(question=Question.PHONE, source=source_of(request, None), at=at)
    try:
        opened = open_week(code=request.POST.get("code", ""), nonce=request.COOKIES[NONCE], at=at)
    except NoCode:
        was_wrong(tried, by=None, at=at)
        return None
    was_right(tried)
    return opened


@_hers
@require_POST
def end(request: HttpRequest) -> HttpResponse:
    """Let her close it on this phone."""
    opening = _opening(request)
    if opening is not None and _is_marked(request, _mark_of_week(request)):
        end_code(code=opening.code, by=None, at=timezone.now())
    response = _closed(request, 200)
    response.delete_cookie(PHONE, path=PATH, samesite="Strict")
    return response


# --- The week ---------------------------------------------------------------------------------


def _week_page(request: HttpRequest, opening: PhoneOpening) -> HttpResponse:
    at, language = timezone.now(), opening.code.language
    words, today = words_of(language), timezone.localdate(at)
    program = to_print(opening.code.signed, language)
    shown = phone_week(program, opening.week, today, words)
    written, open_days = written_in(opening), days_of(opening, at)
    days = [(day, written.get(day.on), day.on in open_days) for day in shown.days]
    context = {
        "week": shown,
        "days": days,
        "today": today,
        "today_name": line_start(full_date_words(today, words)),
        "today_in_week": any(day.on == today for day in shown.days),
        "urgent": any(one.does_not_wait for one in written.values()),
        "not_seen": words.gettext(NOT_SEEN),
        "kept": _asked_day(request.GET.get("kept", ""), opening, at) in written,
        "until": opening.until - dt.timedelta(days=1),
        "mark": _mark_of_week(request),
    }
    return _page(request, "phone/week.html", language, context)


def _asked_day(text: str, opening: PhoneOpening, at: dt.datetime) -> dt.date | None:
    """Return the day that an address names, where it may be written."""
    return next((day for day in days_of(opening, at) if day.isoformat() == text), None)


# --- A day of its log ---------------------------------------------------------------------------


@_hers
@require_http_methods(["GET", "POST"])
def day(request: HttpRequest, on: str) -> HttpResponse:
    """Show a day to be written down, or keep what she wrote."""
    opening, at = _opening(request), timezone.now()
    if opening is None:
        return _closed(request, lost=_typed(request))
    asked = _asked_day(on, opening, at)
    if asked is None:
        return redirect("programs:her_week")
    if request.method == "GET":
        held = written_in(opening).get(asked)
        return _day_page(request, opening, asked, held.told if held else {})
    return _write(request, opening, asked, at)


def _write(
    request: HttpRequest, opening: PhoneOpening, on: dt.date, at: dt.datetime
) -> HttpResponse:
    texts = _texts(request)
    read = read_texts(knows_of(opening.code.signed, opening.week), on, texts)
    if read.wrong or not _is_marked(request, _mark_of_week(request)):
        return _day_page(request, opening, on, texts, read.wrong, 422)
    try:
        write_day(opening=opening, on=on, texts=texts, at=at, token=_token(request))
    except Refused:
        return _day_page(request, opening, on, texts, (), 422)
    response = redirect("programs:her_week")
    response["Location"] += f"?kept={on.isoformat()}"
    return response


def _texts(request: HttpRequest) -> dict[str, str]:
    """Return what was typed and chosen, by the names of the columns."""
    lists = request.POST.lists()
    return {name: "".join(values) for name, values in lists if "." in name}


def _token(request: HttpRequest) -> UUID | None:
    # Not under the name that pages of colleagues use: a change after going back is to be kept.
    try:
        return UUID(request.POST.get("sent", ""))
    except ValueError:
        return None


def _day_page(
    request: HttpRequest,
    opening: PhoneOpening,
    on: dt.date,
    texts: Mapping[str, str],
    wrong: tuple[Wrong, ...] = (),
    status: int = 200,
) -> HttpResponse:
    signed, language = opening.code.signed, opening.code.language
    words, knows = words_of(language), knows_of(signed, opening.week)
    planned = Planned.of(program_of(signed))
    groups = groups_of(
        knows.columns,
        planned=[m for m in knows.kinds if on in planned.days(opening.week, m)],
        texts=texts,
        wrong=wrong,
        plates=knows.plates,
        lift_names={name: one.name for name, one in EXERCISES.items()},
        words=words,
    )
    context = {
        "on": on,
        "name": line_start(full_date_words(on, words)),
        "groups": groups,
        "wrong": [one for group in groups for one in group.fields if one.error],
        "again": status == 422,
        "says": _says(words),
        "sent": _token(request) or uuid4(),
        "mark": _mark_of_week(request),
    }
    return _page(request, "phone/day.html", language, context, status)


def _says(words: Words) -> dict[str, str]:
    return {name: words.gettext(text) for name, text in SAYS.items()}


def _typed(request: HttpRequest) -> list[str]:
    """Return what was typed on a page that is closed by now, so that it is not lost."""
    return [text for text in _texts(request).values() if len(text.strip()) > 1]
