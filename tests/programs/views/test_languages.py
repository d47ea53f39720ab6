"""The page of the languages, and what signing and handing out say of those nobody has read."""

from __future__ import annotations

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse

from programs import languages as declared
from programs.actions import papers
from programs.actions.languages import InUse, languages_in_force, set_languages
from programs.languages import Language
from programs.models.program import Plan, SignedPlan
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.papers.test_language import options
from tests.programs.rows import AT
from tests.programs.views.test_emergency_numbers import beside
from tests.programs.views.test_plan import text, today

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("on_the_first_day")]
ADDRESS = "programs:clinic_languages"
TYPED = {
    "seen": "0",
    "on_es": "on",
    "read_by_es": "Ana O'Prado",
    "read_on_es": "2026-01-05",
    "on_fr": "off",
    "read_by_fr": "",
    "read_on_fr": "",
    "on_xx": "on",
    "read_by_xx": "",
    "read_on_xx": "",
}
TOMORROW = (today() + dt.timedelta(days=2)).isoformat()
UNREAD = "not yet read by a clinician who speaks it"


@pytest.fixture(autouse=True)
def another(monkeypatch: pytest.MonkeyPatch) -> None:
    other = Language(code="xx", name="Examplish", own_name="examplisch")
    monkeypatch.setitem(declared.DECLARED, "xx", other)


@pytest.fixture
def plan(clinician: User) -> Plan:
    return drafted(clinician)


@pytest.fixture
def signed(plan: Plan, clinician: User) -> SignedPlan:
    return sign(plan, clinician)


def test_a_language_is_turned_on_and_read(signed_in: Client) -> None:
    before = text(signed_in.get(reverse("programs:clinic")))
    assert f'<dt>Spanish</dt><dd>on, <span class="unrecorded">{UNREAD}' in before
    assert "<dt>Examplish</dt><dd>off" in before
    assert signed_in.post(reverse(ADDRESS), TYPED).status_code == 302
    page = text(signed_in.get(reverse("programs:clinic")))
    assert "<dt>Spanish</dt><dd>on, read by Ana O&#x27;Prado on 5 Jan 2026</dd>" in page
    assert f'<strong class="level">Examplish: {UNREAD}</strong>' in page
    assert "<dt>In Examplish</dt>" in page
    assert "Examplish (examplisch)" in text(signed_in.get(reverse(ADDRESS)))
    assert 'name="number_xx"' in text(signed_in.get(reverse("programs:clinic_emergency")))


@pytest.mark.parametrize(
    ("wrong", "field", "said"),
    [
        ({"read_on_es": ""}, "read_on_es", "Write the day"),
        ({"read_by_es": ""}, "read_by_es", "Write who read"),
        ({"read_on_es": TOMORROW}, "read_on_es", "still to come"),
        ({"read_on_es": "soon"}, "read_on_es", ""),
        ({"read_by_es": "x" * 121}, "read_by_es", "120 characters"),
        ({"on_xx": ""}, "on_xx", "Choose whether"),
        ({"on_xx": "maybe"}, "on_xx", "maybe"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(
    signed_in: Client, wrong: dict[str, str], field: str, said: str
) -> None:
    answer = signed_in.post(reverse(ADDRESS), TYPED | wrong)
    assert answer.status_code == 422
    page = text(answer)
    assert said in beside(page, field)
    assert "has-error" in beside(page, field)
    assert page.count("has-error") == 1
    assert not languages_in_force()["xx"].on


def test_two_who_change_languages(signed_in: Client, clinician: User) -> None:
    set_languages(given=[InUse(language="xx", on=True)], by=clinician, at=AT)
    answer = signed_in.post(reverse(ADDRESS), TYPED)
    assert (answer.status_code, "Somebody else" in text(answer)) == (422, True)
    assert 'value="Ana O&#x27;Prado"' in text(answer)
    newest = str(languages_seen(text(answer)))
    assert signed_in.post(reverse(ADDRESS), TYPED | {"seen": newest}).status_code == 302


def languages_seen(page: str) -> int:
    return int(page.split('name="seen" value="', 1)[1].split('"', 1)[0])


def test_signing_says_what_nobody_has_read(signed_in: Client, plan: Plan) -> None:
    page = reverse("programs:sign", args=[plan.patient_id])
    assert f"Spanish: {UNREAD}" in text(signed_in.get(page))
    assert signed_in.post(reverse(ADDRESS), TYPED | {"on_xx": "off"}).status_code == 302
    assert UNREAD not in text(signed_in.get(page))


def test_handing_out_says_what_nobody_has_read(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    page = reverse("programs:handout", args=[signed.patient_id])
    assert f"Spanish: {UNREAD}" in text(signed_in.get(page))
    assert '<option value="xx">' not in text(signed_in.get(page))
    assert signed_in.post(reverse(ADDRESS), TYPED).status_code == 302
    told = text(signed_in.get(page))
    assert f"Examplish: {UNREAD}" in told
    assert f"Spanish: {UNREAD}" not in told
    assert '<option value="xx">Examplish</option>' in told


def test_a_language_that_is_off_is_not_printed(
    signed_in: Client, signed: SignedPlan, clinician: User
) -> None:
    off = InUse(language="es", on=False)
    set_languages(given=[off], by=clinician, at=AT)
    sent = options(signed, language="es")
    answer = signed_in.post(reverse("programs:handout", args=[signed.patient_id]), sent)
    assert "Select a valid choice" in text(answer)
    assert papers.words_of("es").gettext("Monday") == "lunes"
