"""The weeks that a paper is of: to her next visit, or those chosen on the Handout page."""

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client

from programs.actions import papers
from programs.actions.refusals import NotDone
from programs.models.program import Handout, SignedPlan
from programs.papers.kinds import SHEETS, TO_VISIT
from programs.papers.span import Span
from tests.programs.actions.test_papers import Printed, options, page
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT

pytestmark = [pytest.mark.long, pytest.mark.usefixtures("on_the_first_day")]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return sign(drafted(clinician), clinician)


@pytest.fixture
def printed(monkeypatch: pytest.MonkeyPatch) -> Printed:
    """Note what would be printed."""
    calls: Printed = []

    def pdf(template: str, context: Any, **_: Any) -> bytes:
        calls.append({"template": template, "context": context})
        return f"%PDF {template} {len(calls)}".encode()

    monkeypatch.setattr(papers, "pdf", pdf)
    return calls


def weeks_of(made: dict[str, Any]) -> list[str]:
    context = made["context"]
    sheets = context["sheets"] if "sheets" in context else context["handout"].sheets
    return [sheet.brief for sheet in sheets]


def test_to_the_next_visit_and_then_to_the_one_after_it(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    """Another day, another visit: the paper made then is another one, and both are kept."""
    first = papers.make_paper(signed=signed, kind=TO_VISIT, by=clinician, at=AT)
    at = AT + dt.timedelta(weeks=5)
    second = papers.make_paper(signed=signed, kind=TO_VISIT, by=clinician, at=at)
    assert (first.kind, second.kind[:9]) == ("to visit 1-4", "to visit ")
    assert weeks_of(printed[0]) == [f"Week {n}" for n in range(1, 5)]
    assert weeks_of(printed[1])[-1] == "Week 12"
    assert Handout.objects.count() == 2


def test_sheets_of_chosen_weeks_in_one_go(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    chosen = Span(first=3, last=6)
    row = papers.make_paper(signed=signed, kind=SHEETS, weeks=chosen, by=clinician, at=AT)
    assert row.kind == "sheets 3-6"
    assert weeks_of(printed[0]) == [f"Week {n}" for n in range(3, 7)]


@pytest.mark.counted
def test_a_week_that_is_not_in_the_program(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    beyond = Span(first=26, last=27)
    with pytest.raises(NotDone, match="not have all of weeks 26-27"):
        papers.make_paper(signed=signed, kind=SHEETS, weeks=beyond, by=clinician, at=AT)
    assert not Handout.objects.exists()


@pytest.mark.parametrize(
    ("first", "last", "told"),
    [
        ("0", "4", "This program has weeks 1 to 26."),
        ("1", "27", "This program has weeks 1 to 26."),
        ("", "4", "Write the number of a week."),
        ("3", "x", "Enter a whole number."),
        ("5", "4", "Write week 5 or a later one."),
    ],
)
def test_weeks_that_cannot_be_are_told_beside_them(
    signed: SignedPlan, signed_in: Client, first: str, last: str, told: str
) -> None:
    asked = {"kind": "sheets", "first_week": first, "last_week": last}
    text = signed_in.post(page(signed), options(signed, **asked)).content.decode()
    assert told in text
    assert f'name="first_week" value="{first}"' in text or not first
    assert f'name="last_week" value="{last}"' in text
    assert not Handout.objects.exists()


def test_the_weeks_are_looked_at_for_the_sheets_alone(
    signed: SignedPlan, signed_in: Client, printed: Printed
) -> None:
    """She asks for all weeks; what stands in the fields of the sheets does not matter."""
    signed_in.post(page(signed), options(signed, first_week="9", last_week="4"))
    signed_in.post(page(signed), options(signed, kind="sheets", first_week="2", last_week="2"))
    assert [row.kind for row in Handout.objects.order_by("pk")] == ["handout 1-26", "sheets 2-2"]
