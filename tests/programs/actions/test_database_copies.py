"""Keeping what was done with copies of the database."""

import datetime as dt

import pytest
from django.contrib.auth.models import User

from patients import audit
from patients.models.life import DatabaseLife
from patients.models.patient import Audit
from programs.actions.database_copies import Held, keep_copy, restore_from
from programs.models.database_copies import MADE, RESTORED

AT = dt.datetime(2027, 1, 31, 2, 0, tzinfo=dt.UTC)
HELD = Held(
    file="copy.sqlite3",
    key="0123456789abcdef",
    encrypted=True,
    lines=5,
    seal="a" * 64,
    people=2,
    programs=1,
    papers=3,
)

pytestmark = [pytest.mark.django_db, pytest.mark.database]


def test_what_a_copy_holds_is_kept_with_its_line(clinician: User) -> None:
    row = keep_copy(held=HELD, what=MADE, by=clinician, at=AT)
    assert {name: getattr(row, name) for name in vars(HELD)} == vars(HELD)
    line = Audit.objects.get()
    assert (line.action, line.object_id, line.actor) == (
        "database copy made",
        str(row.pk),
        clinician,
    )
    assert HELD.seal in line.new


def test_a_restore_begins_a_life_and_says_from_where() -> None:
    lives = DatabaseLife.objects.count()
    row = restore_from(held=HELD, by=None, at=AT, reason="from copy.sqlite3")
    assert row.what == RESTORED
    assert DatabaseLife.objects.count() == lives + 1
    told = [*Audit.objects.order_by("seq").values_list("action", "actor_name")]
    assert told == [("restore database", "the system"), ("database copy restored", "the system")]
    assert audit.verify_chain() is None
