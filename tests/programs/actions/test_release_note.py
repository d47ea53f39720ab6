"""Who has read what the rulebook changed."""

from uuid import uuid4

import pytest
from django.contrib.auth.models import User

from patients.models.patient import Audit
from programs.actions import release_note
from programs.actions.release_note import READ_NOTE, has_read, note_read
from tests.factories import UserFactory
from tests.programs.rows import AT

pytestmark = pytest.mark.django_db


def test_it_is_noted_once_for_each_person(clinician: User) -> None:
    other, token = UserFactory(), uuid4()
    assert not has_read(clinician)
    for _ in range(2):
        note_read(by=clinician, at=AT, token=token)
    note_read(by=clinician, at=AT)
    assert has_read(clinician)
    assert not has_read(other)
    assert Audit.objects.filter(action=READ_NOTE).count() == 1


def test_the_next_rulebook_is_to_be_read_again(
    clinician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    note_read(by=clinician, at=AT)
    monkeypatch.setattr(release_note, "RULEBOOK", "2099.1")
    assert not has_read(clinician)
