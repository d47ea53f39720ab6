"""What was sent with each form that led to something, so that the same form is known again."""

from __future__ import annotations

from django.db import models

from patients.kept_rows import Kept


class FormSent(Kept):
    """One form that led to a line of the record.

    token    the form's own, as in that line
    content  keyed digest of all that was sent, and of where to
    """

    token = models.UUIDField(unique=True)
    content = models.CharField(max_length=64)
