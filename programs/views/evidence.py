"""The evidence on plates: what it comes to for each aim, and the table it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from patients.facts import codes
from programs.actions.evidence_watch import in_force
from programs.plates.evidence import AWAITED, balance
from programs.plates.evidence.listing import CERTAINTIES, CHECKS, ORDERS, Choice, Listed, listed
from programs.plates.in_words import KINDS
from programs.watch import standing as watch
from programs.watch.identifiers import names_in

_ORDER_WORDS = {
    "author": "author",
    "year": "newest first",
    "people": "most people first",
    "months": "longest first",
}


@dataclass(frozen=True, kw_only=True)
class Question:
    """One thing that may be chosen: its words by the word in the address."""

    name: str
    label: str
    words: Mapping[str, str]
    chosen: str
    all_words: str


@require_GET
def evidence(request: HttpRequest) -> HttpResponse:
    """Show the balance for each aim and the table, by plain GET parameters."""
    choice = _choice(request)
    rows = listed(choice)
    noticed = {one.paper.name: one for one in watch.noticed(in_force().file)}
    return render(
        request,
        "programs/plates/evidence.html",
        {
            "questions": _questions(choice),
            "choice": choice,
            "balances": [
                (codes.AIMS[aim], balance(aim)) for aim in codes.AIMS if choice.aim in ("", aim)
            ],
            "awaited": AWAITED,
            "rows": [
                {"row": row, "kinds": _kinds(row), "notice": _notice(row, noticed)} for row in rows
            ],
            "trials": sum(not row.pooled for row in rows),
            "pooled": sum(row.pooled for row in rows),
        },
    )


def _choice(request: HttpRequest) -> Choice:
    """Read the address; a word that is not known asks for nothing."""

    def asked(name: str, known: Mapping[str, Any], usual: str = "") -> str:
        word = request.GET.get(name, usual)
        return word if word in known else usual

    return Choice(
        aim=asked("aim", codes.AIMS),
        motion=asked("kind", codes.MOTIONS),
        certainty=asked("certainty", CERTAINTIES),
        checked=asked("known", CHECKS),
        order=asked("order", ORDERS, "author"),
    )


def _questions(choice: Choice) -> list[Question]:
    asked = (
        ("aim", "Aim", codes.AIMS, choice.aim, "every aim"),
        ("kind", "Kind of plate", KINDS, choice.motion, "every kind"),
        ("certainty", "Certainty", CERTAINTIES, choice.certainty, "all"),
        ("known", "How it is known", {k: str(v) for k, v in CHECKS.items()}, choice.checked, "all"),
        ("order", "Order", _ORDER_WORDS, choice.order, ""),
    )
    return [
        Question(name=name, label=label, words=words, chosen=chosen, all_words=everything)
        for name, label, words, chosen, everything in asked
    ]


def _notice(row: Listed, noticed: Mapping[str, watch.Watched]) -> watch.Watched | None:
    """Return the notice of the paper that a row is of."""
    names = names_in(f"{row.citation}; {row.identifier}")
    return next((noticed[name] for name in names if name in noticed), None)


def _kinds(row: Listed) -> str:
    if row.pooled:
        return "pooled"
    said = ", ".join(KINDS[motion] for motion in row.motions) or "kind of plate not read"
    return said if row.motion_sure or not row.motions else f"{said} (taken from its numbers)"
