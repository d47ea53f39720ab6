"""Does it work here: the clinic's own figures, without names, on a page and as a file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET

from patients.models.scanners import errors_in_use
from patients.views.common import today
from programs.actions.people_in_programs import people_in_programs
from programs.outcomes import figures as outcomes_of
from programs.outcomes import picture, table
from programs.outcomes.counted import AFTER_DAYS, BEFORE_MONTHS, SILENT_DAYS
from programs.outcomes.figures import Figure, figures
from programs.outcomes.small_groups import LEAST_OF_GROUP, LEAST_PEOPLE
from programs.review.against_rulebook import IN_FORCE_WEEKS
from programs.review.grounds import PAIN_STOP


@dataclass(frozen=True, kw_only=True)
class Topic:
    """The figures of one topic, and their picture."""

    figures: list[tuple[Figure, str]]
    picture: str


_PICTURES = {
    outcomes_of.TODAY: lambda found: "",
    outcomes_of.ADHERENCE: picture.adherence,
    outcomes_of.HARMS: picture.harms,
    outcomes_of.FUNCTION: picture.function,
    outcomes_of.DENSITY: picture.density,
}


@require_GET
def outcomes(request: HttpRequest) -> HttpResponse:
    """Show the figures; of fewer than ten people none."""
    people = people_in_programs(today())
    context: dict[str, Any] = {
        "least": LEAST_PEOPLE,
        "least_of_group": LEAST_OF_GROUP,
        "before_months": BEFORE_MONTHS,
        "after_weeks": AFTER_DAYS // 7,
        "silent_weeks": SILENT_DAYS // 7,
        "in_force_weeks": IN_FORCE_WEEKS,
        "pain_stop": PAIN_STOP,
        "today": today(),
    }
    if len(people) >= LEAST_PEOPLE:
        found = figures(people, errors_in_use())
        today_, done, harms, function, density = (_topic(found, name) for name in _PICTURES)
        context |= {
            "people": len(people),
            "standing": today_,
            "done": done,
            "harms": harms,
            "function": function,
            "density": density,
        }
    return render(request, "programs/outcomes.html", context)


def _topic(found: tuple[Figure, ...], name: str) -> Topic:
    mine = [one for one in found if one.topic == name]
    shown = [(one, picture.words_of(one)) for one in mine]
    return Topic(figures=shown, picture=_PICTURES[name](mine))


@require_GET
def outcomes_file(request: HttpRequest) -> HttpResponse:
    """Give the figures as a tidy file; of fewer than ten people the page says why there is none."""
    people = people_in_programs(today())
    if len(people) < LEAST_PEOPLE:
        return redirect("programs:outcomes")
    answer = HttpResponse(
        table.written(figures(people, errors_in_use())), content_type="text/csv; charset=utf-8"
    )
    name = f"calcar-figures-{today().isoformat()}.csv"
    answer["Content-Disposition"] = f'attachment; filename="{name}"'
    return answer
