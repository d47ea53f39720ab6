"""A file that is sent and waits: parked for whoever sent it, and found again by nobody else."""

from __future__ import annotations

from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest
from django.utils import timezone

from patients.actions import scanners
from patients.models.scanners import ParkedFile
from patients.views.common import signed_in


def park_sent(request: HttpRequest, sent: UploadedFile[Any]) -> ParkedFile:
    """Park a file that came with a request."""
    name, content = sent.name or "file", sent.read()
    return scanners.park(name=name, content=content, by=signed_in(request), at=timezone.now())


def parked_of(request: HttpRequest, file_id: int) -> ParkedFile | None:
    """Return a parked file to whoever sent it, on its day; None to anybody else."""
    mine = ParkedFile.objects.filter(parked_by=signed_in(request), expires_at__gte=timezone.now())
    return mine.filter(pk=file_id).first()
