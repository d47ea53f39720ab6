"""Putting the tour away: for one person, kept in the record, once."""

from __future__ import annotations

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from programs.actions.refusals import NotDone
from programs.actions.tour import BRING_BACK, PUT_AWAY, bring_back, pages_put_away, put_away
from programs.help.tour import ALL_PAGES
from tests.factories import UserFactory
from tests.programs.rows import AT

pytestmark = [pytest.mark.django_db, pytest.mark.database]
PLAN, SIGN = "programs:plan", "programs:sign"


def test_it_is_put_away_for_one_person_until_it_is_brought_back(clinician: User) -> None:
    other = UserFactory()
    for page in (PLAN, SIGN):
        put_away(page=page, by=clinician, at=AT)
    assert pages_put_away(clinician) == {PLAN, SIGN}
    assert pages_put_away(other) == frozenset()
    bring_back(by=clinician, at=AT)
    assert pages_put_away(clinician) == frozenset()
    put_away(page=ALL_PAGES, by=clinician, at=AT)
    assert pages_put_away(clinician) == {ALL_PAGES}


def test_the_record_tells_it_once(clinician: User) -> None:
    for _ in range(2):
        put_away(page=PLAN, by=clinician, at=AT)
    for _ in range(2):
        bring_back(by=clinician, at=AT)
    lines = Audit.objects.filter(action__in=(PUT_AWAY, BRING_BACK)).order_by("seq")
    assert [(line.action, line.actor_id) for line in lines] == [
        (PUT_AWAY, clinician.pk),
        (BRING_BACK, clinician.pk),
    ]


def test_a_page_without_a_tour_is_refused(clinician: User) -> None:
    with pytest.raises(NotDone):
        put_away(page="programs:nowhere", by=clinician, at=AT)
    assert not Audit.objects.filter(action=PUT_AWAY).exists()
