"""The same texts typed into each field of each form: taken or refused, and shown as text alone."""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections import Counter
from unittest import mock
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.scanners import ParkedFile
from programs.models.program import SessionLog
from tests.hostile.reading import Page, squeezed
from tests.hostile.texts import TEXTS, marked
from tests.patients.pages import filled
from tests.programs import reviews
from tests.programs.rows import DAY
from tests.test_every_form import Form, forms, tried

__all__ = ["forms"]

NAMES = tuple(TEXTS)


@pytest.mark.slow
@pytest.mark.django_db
def test_texts_typed_into_every_field(
    signed_in: Client, forms: list[Form], pytestconfig: pytest.Config
) -> None:
    """All fields of a form at once, each with another text; each text in each in as many turns.

    What is typed into a form that is shown again stands in it again.
    """
    told, wrong, lost = Counter[int](), [], []
    for turn in range(min(pytestconfig.getoption("turns"), len(NAMES))):
        for number, (address, fields, typed) in enumerate(forms):
            texts = {
                name: marked(NAMES[(number + n + turn) % len(NAMES)], f"zq{n}z")
                for n, name in enumerate(typed)
            }
            answer = tried(signed_in, address, fields | texts)
            told[answer.status_code] += 1
            if answer.status_code >= 500:
                wrong.append((address, texts, answer.status_code))
            if not answer.headers.get("Content-Type", "").startswith("text/html"):
                continue
            page = Page(answer.getvalue().decode())
            wrong += [(address, one) for one in page.wrong]
            held = [*map(squeezed, page.texts)]
            for name, text in texts.items():
                shown = answer.status_code == 422 and "password" not in name
                if shown and not any(squeezed(text) in h for h in held):
                    lost.append((address, name, text[:60]))
    fields_typed = sum(len(form.typed) for form in forms)
    sys.stdout.write(f"{told.total()} posts, {fields_typed} fields: {dict(sorted(told.items()))}\n")
    assert wrong == []
    assert lost == []
    assert fields_typed > 200


@pytest.mark.django_db
def test_texts_in_a_file_of_her_log(signed_in: Client, clinician: User) -> None:
    """What a phone or a mail brought: JSON, in which half a sign and nothing can be written."""
    patient = reviews.signed(clinician).patient
    address = reverse("programs:log_files", args=[patient.pk])
    taken = 0
    with mock.patch.object(timezone, "now", return_value=reviews.after(5)):
        signed_in.force_login(clinician)
        texts = (*(marked(name, "zq1z")[:200] for name in NAMES), "zq1z \ud800", "\udfff")
        for number, text in enumerate(texts):
            day = (DAY + dt.timedelta(days=number)).isoformat()
            days = {day: {"balance.done": "A", "day.note": text}, text: {text: text}}
            told = {"format": "calcar-log/1", "file": text, "patient": patient.pk, "days": days}
            file = SimpleUploadedFile("log.json", json.dumps(told).encode())
            sent = {"file": file, "patient": patient.pk, "token": str(uuid4())}
            page = Page(signed_in.post(address, sent, follow=True).getvalue().decode())
            assert page.wrong == []
            taken += any(squeezed(text) in squeezed(one) for one in page.texts)
        for parked in ParkedFile.objects.all():
            of = [patient.pk, parked.pk]
            sent = filled(signed_in, reverse("programs:log_file", args=of), take="yes")
            ends = signed_in.post(reverse("programs:log_file", args=of), sent, follow=True)
            assert ends.status_code in (200, 409, 422)
    assert taken >= 20
    notes = [*SessionLog.objects.values_list("note", flat=True)]
    assert sum("zq1z" in note for note in notes) >= 20
    assert not any("\x00" in note for note in notes)
