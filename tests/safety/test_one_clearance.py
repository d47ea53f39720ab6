"""One clearance for several modalities: told beside each finding that waits for it, typed once."""

import json

from django.test import Client

from patients.models.patient import Audit
from safety.models import Clearance
from tests.patients.pages import Inputs, text_of
from tests.safety.rows import known_patient
from tests.safety.views.test_screen import address, on_that_day, typed  # noqa: F401 — a fixture


def test_one_clearance_for_all_that_wait_for_it(signed_in: Client) -> None:
    patient = known_patient(conditions={"implanted_stimulator": "yes"})
    html = text_of(signed_in.get(address("screen", patient.pk)))
    assert html.count("Record a clearance") == 1
    asked = "It is asked for vibration plate, resistance: tick all that it was given for, once."
    assert asked in html
    # What was cleared is for whoever has the letter to say.
    assert "modalities" not in Inputs(html).sent
    of = {"subject": "implanted_stimulator", "finding": "implanted_stimulator.plate"}
    sent = typed(patient.pk, **of, modalities=["plate", "resistance"])
    after = text_of(signed_in.post(address("clearance_add", patient.pk), sent, follow=True))
    assert "Record a clearance" not in after
    assert Clearance.objects.get().modalities == ["plate", "resistance"]
    line = Audit.objects.get(action="add clearance")
    assert json.loads(line.new)["modalities"] == ["plate", "resistance"]


def test_what_a_clearance_says_is_kept(signed_in: Client) -> None:
    patient = known_patient(conditions={"retinal_disease": "yes"})
    assert "Given by an eye doctor" in text_of(signed_in.get(address("screen", patient.pk)))
    sent = typed(
        patient.pk,
        subject="retinal_disease",
        finding="retinal_disease.plate",
        limits="none",
        eye_specialist="on",
    )
    html = text_of(signed_in.post(address("clearance_add", patient.pk), sent, follow=True))
    row = Clearance.objects.get()
    assert (row.limits, row.eye_specialist) == ("none", True)
    assert "no limit is needed, by an eye doctor" in html
    assert "No limit is needed." in html
