"""Which life of the database it is: a random mark that every restore makes anew."""

from __future__ import annotations

from uuid import UUID

from django.utils import timezone

from patients import audit
from patients.models.life import DatabaseLife


def current() -> UUID:
    """Return the mark of the life that goes on."""
    return _newest() or _first()


def _newest() -> UUID | None:
    return DatabaseLife.objects.order_by("-pk").values_list("uuid", flat=True).first()


def _first() -> UUID:
    # A migration makes the first one; it is missing only where the tables were emptied since.
    with audit.writing():
        return _newest() or DatabaseLife.objects.create(since=timezone.now()).uuid
