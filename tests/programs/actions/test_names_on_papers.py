"""The names on her papers: which is the newer, the one she goes by, an estimated year of birth."""

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse
from django.utils import translation

from patients.actions.patient_record import change_patient, identity_of
from programs.actions import papers
from programs.actions.as_signed import program_of
from programs.actions.drafting import draft_plan
from programs.models.program import SignedPlan
from programs.papers import ENGLISH, issue_of
from programs.papers.kinds import KINDS
from programs.papers.pages import about
from programs.papers.wallet_card import wallet_card
from programs.signed import snapshot
from tests.programs import rows
from tests.programs.actions.test_papers import Printed
from tests.programs.actions.test_papers import printed as printed
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.usefixtures("on_the_first_day")]


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return sign(drafted(clinician), clinician)


def changed(signed: SignedPlan, by: User, **names: Any) -> None:
    """Change who she is, as the page of her name does."""
    her = signed.patient
    her.refresh_from_db()
    who = replace(identity_of(her), **names)
    change_patient(patient=her, who=who, version=her.version, by=by, at=AT)
    signed.refresh_from_db()


def head(issue: Any, language: str = "en") -> str:
    with translation.override(language):
        return render_to_string("paper/base.html", {"issue": issue, "language": language})


def made(signed: SignedPlan, by: User, **more: Any) -> Any:
    return papers.make_paper(kind="handout", signed=signed, by=by, at=AT, **more)


@pytest.mark.counted
def test_a_paper_made_after_a_change_of_name_says_which_is_newer(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    before = signed.patient.name
    changed(signed, clinician, family_name="D’Newer")
    made(signed, clinician)
    issue = printed[0]["issue"]
    now = f"{signed.patient.given_name} D’Newer"
    told = about(issue, ENGLISH).tell
    assert told[0] == (
        f"{now} is the newer name. This plan was signed under the older one, {before}."
    )
    for language, words in (("es", "es el nombre más nuevo"), ("fr", "est le nom le plus récent")):
        assert words in about(issue, papers.words_of(language)).tell[0]


def test_a_kept_paper_of_the_older_name_is_not_given_out_for_a_new_one(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    first = made(signed, clinician)
    changed(signed, clinician, goes_by="Nan")
    second = made(signed, clinician)
    assert (second != first, len(printed)) == (True, 2)
    assert made(signed, clinician) == second
    changed(signed, clinician, goes_by="")
    assert made(signed, clinician) == first


@pytest.mark.parametrize(
    "language, words", [("en", "goes by"), ("es", "se hace llamar"), ("fr", "se fait appeler")]
)
def test_the_name_she_goes_by_stands_on_her_paper_beside_that_of_her_record(
    signed: SignedPlan, clinician: User, printed: Printed, language: str, words: str
) -> None:
    changed(signed, clinician, goes_by="Nan O'Fee")
    made(signed, clinician, language=language)
    issue = printed[0]["issue"]
    assert (issue.called_today, issue.goes_by) == ("", f"{words} Nan O'Fee")
    assert f"<strong>{issue.name}</strong>, {words} Nan O&#x27;Fee," in head(issue, language)
    card = wallet_card(program_of(signed), papers.words_of(language), issue)
    assert card.name == f"{issue.name}, {words} Nan O'Fee"
    assert "newer" not in " ".join(about(issue, ENGLISH).tell)


@pytest.mark.counted
@pytest.mark.parametrize(
    "language, words",
    [("en", "about 1956 (estimated)"), ("es", "hacia 1956 (estimado)"), ("fr", "vers 1956")],
)
def test_an_age_told_as_about_70_is_said_on_her_paper(
    clinician: User, printed: Printed, language: str, words: str
) -> None:
    her = rows.recorded(clinician)
    who = replace(
        identity_of(her), born=DAY.replace(1956, 1, 1), born_is="year", born_estimated=True
    )
    change_patient(patient=her, who=who, version=her.version, by=clinician, at=AT)
    her.refresh_from_db()
    plan = draft_plan(patient=her, as_of=DAY, starts_on=DAY, by=clinician, at=AT)
    signed = sign(plan, clinician)
    assert snapshot.read(signed.body)["patient"]["born_estimated"] is True
    made(signed, clinician, language=language)
    issue = printed[0]["issue"]
    assert issue.born.startswith(words)
    assert f"{words}" in head(issue, language)


def test_a_signed_text_says_nothing_of_an_estimate_where_there_is_none(signed: SignedPlan) -> None:
    assert "born_estimated" not in snapshot.read(signed.body)["patient"]
    assert not program_of(signed).who.born_estimated
    issue = issue_of(program_of(signed), ENGLISH, digest="", zone=dt.UTC)
    assert "estimated" not in issue.born


def test_letters_of_the_name_she_goes_by_that_cannot_be_printed_are_said(
    signed: SignedPlan, clinician: User, signed_in: Client
) -> None:
    page = reverse("programs:handout", args=[signed.patient_id])
    assert "These letters cannot be printed" not in signed_in.get(page).content.decode()
    changed(signed, clinician, goes_by="芳")
    assert "<bdi>芳</bdi>" in signed_in.get(page).content.decode()


@pytest.mark.parametrize("code", KINDS)
@pytest.mark.parametrize(
    ("language", "told"),
    [("en", "newer name:"), ("es", "nombre más nuevo:"), ("fr", "nom plus récent\u202f:")],
)
def test_each_paper_says_which_name_is_newer(
    signed: SignedPlan, clinician: User, printed: Printed, code: str, language: str, told: str
) -> None:
    """At the head of each page, whatever the paper."""
    before = signed.patient.name
    changed(signed, clinician, family_name="D’Newer")
    papers.make_paper(kind=code, signed=signed, by=clinician, at=AT, language=language)
    spoken = KINDS[code].spoken(language)
    shown = {
        "type_pt": 16,
        "paper": "A4",
        **printed[0],
        **printed[0]["context"],
        "language": spoken,
    }
    with translation.override(spoken):
        page = render_to_string(KINDS[code].template, shown)
    newer = f"{signed.patient.given_name} D’Newer"
    said = told if spoken == language else "newer name:"
    assert f"<strong>{before}</strong> ({said} {newer})," in page


@pytest.mark.counted
def test_the_card_bears_the_newer_name(
    signed: SignedPlan, clinician: User, printed: Printed
) -> None:
    before = signed.patient.name
    changed(signed, clinician, family_name="D’Newer")
    papers.make_paper(kind="wallet card", signed=signed, by=clinician, at=AT)
    now = f"{signed.patient.given_name} D’Newer"
    assert printed[0]["context"]["card"].name == f"{now} (before: {before})"
