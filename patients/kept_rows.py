"""Rows that stay as they were written, and rows that are struck out with a reason, not deleted."""

from __future__ import annotations

from typing import Any, ClassVar, NoReturn

from django.conf import settings
from django.db import models


class NeverChanged(TypeError):
    """Raised where a row that stays as it was written would be changed or deleted."""


def person(**more: Any) -> Any:
    """Return a column that names somebody who works here."""
    # PROTECT: people are switched off, never deleted, so what they did keeps its name.
    return models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+", **more
    )


class Kept(models.Model):
    """A row that stays as it was written; the database's triggers refuse the rest."""

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        """Insert; raises NeverChanged for a row that is saved already."""
        if not self._state.adding:
            raise NeverChanged(f"A saved {self._meta.verbose_name} is never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged(f"A saved {self._meta.verbose_name} is never deleted.")


class Withdrawable(models.Model):
    """A row that is struck out with a reason where it was wrong, and stays readable.

    KIND   what the record calls such a row
    """

    KIND: ClassVar[str]

    withdrawn_by = person(null=True)
    withdrawn_at = models.DateTimeField(null=True)
    withdrawn_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        abstract = True

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        """Refuse."""
        raise NeverChanged(f"A {self.KIND} is withdrawn, not deleted.")
