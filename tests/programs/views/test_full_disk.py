"""A disk that is full while somebody works: row O09 of the complaints."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client

from patients.audit import verify_chain
from patients.models.patient import Audit
from programs.models.program import Plan, SignedPlan
from tests.conftest import PASSWORD
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, marks, today, url

pytestmark = [pytest.mark.long, pytest.mark.django_db(transaction=True)]


@contextmanager
def no_room() -> Iterator[None]:
    """Let the file of the database grow no further."""
    with connection.cursor() as cursor:
        (pages,) = cursor.execute("PRAGMA page_count").fetchone()
        cursor.execute(f"PRAGMA max_page_count={pages}")
        # Whatever room is left inside the file is taken.
        cursor.execute("PRAGMA freelist_count")
        (free,) = cursor.fetchone()
        if free:
            cursor.execute("VACUUM")
            (pages,) = cursor.execute("PRAGMA page_count").fetchone()
            cursor.execute(f"PRAGMA max_page_count={pages}")
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute("PRAGMA max_page_count=1073741823")


def test_o09_nothing_half_is_signed_on_a_full_disk(signed_in: Client, clinician: User) -> None:
    """O09: a full disk lost what was saved, or hid that it was not."""
    plan = drafted(rows.recorded(clinician, document()), clinician)
    form = marks(plan) | {"starts_on": today().isoformat(), "password": PASSWORD}
    lines = Audit.objects.count()
    signed_in.raise_request_exception = False
    if connection.vendor == "sqlite":
        with no_room():
            page = signed_in.post(url("sign", plan.patient), form)
        html = page.content.decode()
        assert page.status_code == 503
        assert "<h1>The disk is full" in html
        assert "What you sent was not saved." in html
        assert (SignedPlan.objects.count(), Audit.objects.count()) == (0, lines)
        assert Plan.objects.get().state == "draft"
        assert verify_chain() is None
    assert signed_in.post(url("sign", plan.patient), form).status_code == 302
    assert SignedPlan.objects.count() == 1
    assert verify_chain() is None
