"""One clearance for several modalities: told beside each finding that waits for it, typed once."""

import json

from django.test import Client

from patients.models import Audit
from safety import reading
from safety.models import Clearance
from safety.screen import screen
from tests.patients.pages import text_of
from tests.people import facts, laid_over, steady_document
from tests.safety.rows import known_patient
from tests.safety.test_views import address, on_that_day, typed  # noqa: F401 — a fixture


def test_what_else_waits_for_the_same_clearance() -> None:
    both = {"implanted_stimulator": "yes", "stones": "yes"}
    seen = screen(facts(laid_over(steady_document(), {"conditions": both})))
    asking = [f for f in seen.findings if reading.asks_for(f)]
    assert {f.rule: reading.waits_too(f, asking) for f in asking} == {
        "implanted_stimulator.plate": ["resistance"],
        "implanted_stimulator.resistance": ["plate"],
        "stones.plate": [],
    }


def test_one_clearance_for_all_that_wait_for_it(signed_in: Client) -> None:
    patient = known_patient(conditions={"implanted_stimulator": "yes"})
    html = text_of(signed_in.get(address("screen", patient.pk)))
    assert html.count("Record a clearance") == 2
    assert "It is asked for resistance as well: tick all that it was given for, once." in html
    assert "It is asked for vibration plate as well" in html
    of = {"subject": "implanted_stimulator", "finding": "implanted_stimulator.plate"}
    sent = typed(patient.pk, **of, modalities=["plate", "resistance"])
    after = text_of(signed_in.post(address("clearance_add", patient.pk), sent, follow=True))
    assert "Record a clearance" not in after
    assert Clearance.objects.get().modalities == ["plate", "resistance"]
    line = Audit.objects.get(action="add clearance")
    assert json.loads(line.new)["modalities"] == ["plate", "resistance"]
