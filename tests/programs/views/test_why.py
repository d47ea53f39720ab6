"""The pages of why and what if: what they show, and that they save nothing."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import Audit, Patient, SizeRow
from programs.actions.clinic import set_limit
from programs.actions.editing import edit_plan
from programs.actions.plates import add_plates
from programs.models.program import Plan
from safety.findings import Modality
from tests.patients.pages import Inputs, text_of
from tests.programs import rows
from tests.programs.edit.test_changes import edit
from tests.programs.sample_plates import VERTICAL
from tests.programs.views.test_plan import document, drafted, sign, today

pytestmark = pytest.mark.long

PARTS = (
    "What is recommended, and how strongly",
    "The facts that it uses",
    "The rule",
    "Where it comes from",
    "Missing, old, or outside its range",
    "What would change it",
    "Alternatives, and doing less",
    "What is not known, and who was not studied",
    "Accept, change or leave out",
    "Who decided, and when",
)


@pytest.fixture
def patient(clinician: User) -> Patient:
    """The steady person with vertigo, on record today."""
    return rows.recorded(clinician, document(conditions={"vertigo": "yes"}))


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    return drafted(patient, clinician)


def why_page(client: Client, patient: Patient, code: str) -> str:
    answer = client.get(reverse("programs:why", args=[patient.pk, code]))
    assert answer.status_code == 200
    return text_of(answer)


def what_if(client: Client, patient: Patient, **asked: str) -> str:
    answer = client.get(reverse("programs:what_if", args=[patient.pk]), asked)
    assert answer.status_code == 200
    return text_of(answer)


# --- Why ------------------------------------------------------------------------------------


@pytest.mark.parametrize("modality", Modality)
def test_all_ten_parts_are_shown(signed_in: Client, plan: Plan, modality: Modality) -> None:
    shown = why_page(signed_in, plan.patient, modality)
    for title in PARTS:
        assert title in shown
    assert "Drafted by Marta Ferro" in shown
    assert "Nobody has signed it yet." in shown


def test_what_waits_says_what_would_bring_it_back(signed_in: Client, plan: Plan) -> None:
    shown = why_page(signed_in, plan.patient, "plate")
    assert "With “Vertigo” answered no: included, not on hold" in shown
    assert "Record a clearance" in shown
    assert "vertigo, plate" in shown


def test_changes_and_signature_stand_among_the_decisions(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    change = [edit("posture.minutes", 66, 1, 2)]
    edit_plan(
        plan=plan, edits=change, lock=1, by=clinician, at=timezone.now(), reason="She wants more."
    )
    plan.refresh_from_db()
    sign(plan, clinician)
    shown = why_page(signed_in, plan.patient, "posture")
    assert "Changed by Marta Ferro" in shown
    assert "She wants more." in shown
    assert "Signed by Marta Ferro" in shown
    assert "She wants more." not in why_page(signed_in, plan.patient, "balance")


def test_after_a_limit_has_changed_the_page_shows_what_stood(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    set_limit(name="resistance.percent_1rm.A", value=60, reason="", by=clinician, at=timezone.now())
    shown = why_page(signed_in, plan.patient, "resistance")
    assert "Drafted by an older rulebook or older limits." in shown
    assert "in value for the aims" in shown
    assert "Drafted by Marta Ferro" in shown


def test_no_plan_and_no_such_modality(signed_in: Client, patient: Patient) -> None:
    answer = signed_in.get(reverse("programs:why", args=[patient.pk, "plate"]))
    assert answer.status_code == 302
    assert signed_in.get(reverse("programs:why", args=[patient.pk, "moon"])).status_code == 404


# --- What if --------------------------------------------------------------------------------


def test_as_recorded_shows_no_comparison_but_what_more_time_would_bring(
    signed_in: Client, patient: Patient
) -> None:
    shown = what_if(signed_in, patient)
    assert "With the change" not in shown
    assert "One more day, Sunday" in shown
    assert "Ten more minutes on each day, 60 in all" in shown


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"plate": "none"}, "With no plate."),
        ({"plate": "own-0"}, "With the plate “at home” alone."),
        ({"more_day": "on"}, "With Sunday as one more day."),
        ({"more_minutes": "on"}, "With 60 minutes on each day."),
        ({"supervised": "yes"}, "supervised sessions: yes"),
        ({"watcher": "no"}, "another adult at home who has been shown how: no"),
        ({"falls": "2"}, "2 falls in 12 months"),
        ({"falls": "1"}, "1 fall in 12 months"),
        ({"t": "-2.5"}, "a lowest T-score of \u22122.5"),
        ({"fracture": "vertebra", "fracture_age": "36"}, "vertebra, 3 years ago"),
        ({"fracture": "wrist"}, "wrist, a year ago"),
        ({"more_day": "on", "t": "-3.0"}, "one more day; a lowest T-score of \u22123.0"),
    ],
)
def test_each_change_is_told_and_compared(
    signed_in: Client, patient: Patient, asked: dict[str, str], said: str
) -> None:
    shown = what_if(signed_in, patient, **asked)
    assert said in shown
    assert "As recorded, and with the change" in shown


def test_a_vertebral_fracture_changes_group_and_impact(signed_in: Client, patient: Patient) -> None:
    shown = what_if(signed_in, patient, fracture="vertebra", fracture_age="36")
    assert '<tr class="changed"><th scope="row">Group' in shown
    assert "brisk walk" in shown


@pytest.mark.counted
def test_a_plate_of_the_clinic_can_be_tried(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    (row,) = add_plates(plates=[VERTICAL], by=clinician, at=timezone.now())
    shown = what_if(signed_in, patient, plate=f"clinic-{row.pk}")
    assert "With the plate “vertical” alone." in shown


@pytest.mark.parametrize(("name", "value"), [("t", "-9"), ("falls", "201"), ("t", "cold")])
def test_what_cannot_be_is_said_beside_the_field(
    signed_in: Client, patient: Patient, name: str, value: str
) -> None:
    shown = what_if(signed_in, patient, **{name: value})
    assert "to put right" in shown
    assert "With the change" not in shown


def test_an_empty_form_says_that_nothing_is_changed(signed_in: Client, patient: Patient) -> None:
    assert "Nothing is changed" in what_if(signed_in, patient, plate="")


def test_nothing_is_saved(signed_in: Client, patient: Patient) -> None:
    before = (Audit.objects.count(), Plan.objects.count(), SizeRow.objects.count())
    what_if(signed_in, patient, plate="none", falls="3", t="-3.5", more_day="on")
    assert (Audit.objects.count(), Plan.objects.count(), SizeRow.objects.count()) == before


def test_what_was_asked_stands_in_the_form_again(signed_in: Client, patient: Patient) -> None:
    sent: dict[str, Any] = Inputs(what_if(signed_in, patient, falls="2", more_day="on")).sent
    assert sent["falls"] == ["2"]
    assert "more_day" in sent
    assert "more_minutes" not in sent


def test_facts_that_contradict_each_other_are_shown_instead(
    signed_in: Client, patient: Patient
) -> None:
    Patient.objects.filter(pk=patient.pk).update(born=today() - dt.timedelta(days=30))
    answer = signed_in.get(reverse("programs:what_if", args=[patient.pk]))
    assert answer.status_code == 409


# --- Loads ----------------------------------------------------------------------------------


def test_lifting_shows_her_maximum_by_every_equation(signed_in: Client, plan: Plan) -> None:
    shown = why_page(signed_in, plan.patient, "resistance")
    for words in ("Leg press, 60 kg × 8", "Kemmler 2006 <strong>decides</strong>", "Epley", "69.8"):
        assert words in shown
    assert "Maximum, by every" not in why_page(signed_in, plan.patient, "balance")


@pytest.mark.counted
def test_without_a_set_it_says_how_a_load_is_found(signed_in: Client, clinician: User) -> None:
    untested = rows.recorded(clinician, document(lifts=None))
    drafted(untested, clinician)
    shown = why_page(signed_in, untested, "resistance")
    assert "No set lifted to fatigue is on record" in shown
    assert "Choose a load that is surely light." in shown
    assert "two more would have gone" in shown


# --- Trials as a map --------------------------------------------------------------------------


def test_the_trials_of_a_kind_stand_beside_this_program(signed_in: Client, plan: Plan) -> None:
    """Kiel 2015, doi 10.1002/jbmr.2448: 0.3 g for 7,280 min, no difference."""
    shown = why_page(signed_in, plan.patient, "resistance")
    assert "This program comes to <strong>" in shown
    assert "promises nothing" in shown
    assert shown.count('role="img"') == 2
    # On hold, the plate is in no week, and its trials stand all the same.
    shown = why_page(signed_in, plan.patient, "plate")
    assert "no amount that could be laid beside them" in shown
    assert "Kiel 2015, J Bone Miner Res 30:1319" in shown
    assert "Trials as a map" not in why_page(signed_in, plan.patient, "balance")
