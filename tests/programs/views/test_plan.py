"""The Plan page and the form that changes it: what is shown, refused, kept."""

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.models.patient import FractureRow, Patient
from programs.actions.drafting import draft_plan
from programs.actions.signing import sign_plan
from programs.models.program import Plan, PlanEdit, SignedPlan
from tests.patients.pages import Inputs
from tests.people import laid_over, steady_document
from tests.programs import rows
from tests.programs.actions.test_signing import CLINIC
from tests.test_error_pages import faults

pytestmark = pytest.mark.long


def today() -> dt.date:
    """Return the clinic's own date."""
    return timezone.localdate()


def document(**changes: Any) -> dict[str, Any]:
    """Return the steady person as of today."""
    day = today().isoformat()
    held = steady_document(
        as_of=day,
        tests={"date": day},
        lifts=[{"lift": "leg_press", "kg": 60, "reps": 8, "on": day}],
    )
    return laid_over(held, changes)


@pytest.fixture
def patient(clinician: User) -> Patient:
    """The steady person, on record today."""
    return rows.recorded(clinician, document())


def drafted(patient: Patient, by: User) -> Plan:
    """Draft for a patient today, at a clinic that can be called."""
    rows.reached(by)
    return draft_plan(patient=patient, as_of=today(), starts_on=today(), by=by, at=timezone.now())


@pytest.fixture
def plan(patient: Patient, clinician: User) -> Plan:
    """Her open draft."""
    return drafted(patient, clinician)


def sign(plan: Plan, by: User) -> SignedPlan:
    """Sign a plan today."""
    return sign_plan(
        plan=plan,
        lock=Plan.objects.get(pk=plan.pk).lock,
        by=by,
        at=timezone.now(),
        today=today(),
        starts_on=today(),
        clinic=CLINIC,
    )


def marks(plan: Plan, **more: Any) -> dict[str, Any]:
    """Return what each form of a plan carries, and what is typed."""
    held = {"patient": plan.patient_id, "plan": plan.pk, "lock": plan.lock, "token": str(uuid4())}
    return held | more


def url(name: str, patient: Patient, *more: Any) -> str:
    """Return an address of a patient's program."""
    return reverse(f"programs:{name}", args=[patient.pk, *more])


def text(response: HttpResponse) -> str:
    """Return a page's text, its lines joined."""
    return " ".join(response.content.decode().split())


def test_without_a_plan_the_page_offers_to_draft(signed_in: Client, patient: Patient) -> None:
    page = text(signed_in.get(url("plan", patient)))
    assert "Nothing is drafted yet" in page
    assert patient.family_name in page
    assert signed_in.get(url("sign", patient)).url == url("plan", patient)  # type: ignore[attr-defined]
    assert signed_in.get(url("plan_edit", patient, "plate")).status_code == 302


def test_drafting_from_the_page(signed_in: Client, patient: Patient) -> None:
    token = str(uuid4())
    typed = {"patient": patient.pk, "token": token, "starts_on": today().isoformat()}
    for _ in range(2):
        assert signed_in.post(url("plan_draft", patient), typed).status_code == 302
    assert Plan.objects.filter(patient=patient).count() == 1
    past = typed | {"token": str(uuid4()), "starts_on": "2020-01-01"}
    assert "past" in text(signed_in.post(url("plan_draft", patient), past))
    far = past | {"starts_on": (today() + dt.timedelta(days=57)).isoformat()}
    assert "days off" in text(signed_in.post(url("plan_draft", patient), far))
    none = past | {"starts_on": ""}
    assert signed_in.post(url("plan_draft", patient), none).status_code == 422
    other = past | {"patient": 0}
    assert signed_in.post(url("plan_draft", patient), other).status_code == 409


def test_what_cannot_stand_together_is_shown_instead(
    signed_in: Client, patient: Patient, clinician: User
) -> None:
    FractureRow.objects.create(
        patient=patient,
        site="wrist",
        date=dt.date(1950, 1, 1),
        entered_by=clinician,
        entered_at=timezone.now(),
    )
    typed = {"patient": patient.pk, "starts_on": today().isoformat()}
    assert signed_in.post(url("plan_draft", patient), typed).status_code == 409


def test_the_page_shows_the_five_in_order_with_weeks_and_reasons(
    signed_in: Client, plan: Plan, django_assert_max_num_queries: Any
) -> None:
    # A dozen and the falls of the log; session, person, rights and look are five; three once a
    # minute.
    with django_assert_max_num_queries(13 + 8):
        page = text(signed_in.get(url("plan", plan.patient)))
    order = ["1. Resistance", "2. Impact", "3. Vibration plate", "4. Balance", "5. Posture"]
    places = [page.index(name) for name in order]
    assert places == sorted(places)
    for shown in ("25 Hz, 1 mm (panel 1), 4 × 30 s", "1.26", "leg press 46 kg", "Go on to sign"):
        assert shown in page
    assert "All 26 weeks" in page
    assert "Monday" in page
    assert "After week 4" in page


def test_a_blocked_draft_says_what_stops_it(signed_in: Client, clinician: User) -> None:
    flagged = rows.recorded(clinician, document(symptoms={"chest_pain": "yes"}))
    drafted(flagged, clinician)
    page = text(signed_in.get(url("plan", flagged)))
    assert "Nothing may be issued" in page
    assert "Go on to sign" not in page
    assert "It cannot be signed" in text(signed_in.get(url("sign", flagged)))


def test_what_is_held_and_what_finds_no_room_is_said(signed_in: Client, clinician: User) -> None:
    little = {"days": ["mon", "wed"], "minutes_per_day": 10}
    tight = document(resources=little, conditions={"epilepsy": "yes"})
    person = rows.recorded(clinician, tight)
    drafted(person, clinician)
    page = text(signed_in.get(url("plan", person)))
    assert "On hold" in page
    assert "What does not fit" in page


def test_a_stale_draft_is_told_and_not_offered_for_signing(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    rows.answer(plan.patient, clinician, falls={"last_12_months": 1})
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Out of date" in page
    assert "falls" in page
    assert "Go on to sign" not in page


def test_a_change_is_made_marked_and_taken_back(signed_in: Client, plan: Plan) -> None:
    typed = marks(plan, week_from="1", week_to="3", minutes="60", reason="Tires easily.")
    response = signed_in.post(url("plan_edit", plan.patient, "balance"), typed)
    assert response.status_code == 302
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Minutes: 75 to 120, now 60 a week" in page
    assert "Tires easily." in page
    assert "Marta Ferro" in page
    assert 'class="changed"' in page
    assert "6 a week, 75 min a week" in page
    plan.refresh_from_db()
    assert signed_in.post(url("plan_undo", plan.patient), marks(plan)).status_code == 302
    assert "Tires easily." not in text(signed_in.get(url("plan", plan.patient)))
    again = signed_in.post(url("plan_undo", plan.patient), marks(plan, lock=3), follow=True)
    assert "no change to take back" in text(again)
    older = signed_in.post(url("plan_undo", plan.patient), marks(plan, lock=1), follow=True)
    assert "changed in the meantime" in text(older)
    assert signed_in.get(url("plan_undo", plan.patient)).status_code == 302


def test_the_form_starts_at_the_weeks_of_its_row(signed_in: Client, plan: Plan) -> None:
    page = text(signed_in.get(url("plan_edit", plan.patient, "plate") + "?from=5&to=6"))
    assert 'name="week_from" value="5"' in page
    assert "now 25 in weeks 5 to 6" in page
    assert "1 mm peak to peak, panel 1" in page
    odd = text(signed_in.get(url("plan_edit", plan.patient, "plate") + "?from=99&to=x"))
    assert 'name="week_from" value="1"' in odd


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({}, "Nothing is changed yet"),
        ({"week_from": ""}, "Write the number of a week"),
        ({"bouts": "many"}, "many"),
        ({"bouts": "1e3"}, "bouts"),
        ({"swap_out": "x"}, "bouts"),
        ({"week_from": "5", "week_to": "3", "bouts": "4"}, "first to last"),
        ({"bouts": "99"}, "Check this"),
    ],
)
def test_what_was_typed_wrong_is_said_and_kept(
    signed_in: Client, plan: Plan, typed: dict[str, str], said: str
) -> None:
    sent = marks(plan, **{"week_from": "1", "week_to": "26", **typed})
    response = signed_in.post(url("plan_edit", plan.patient, "plate"), sent)
    assert response.status_code == 422
    assert said in text(response)
    assert PlanEdit.objects.count() == 0


def beside(field: str, page: str) -> str:
    """Return what the page says from a field to the next one."""
    return page.split(f'name="{field}"')[1].split(' name="')[0]


def test_a_limit_stands_beside_its_field_and_with_its_source_below(
    signed_in: Client, plan: Plan
) -> None:
    typed = marks(plan, week_from="25", week_to="26", frequency_hz="45")
    response = signed_in.post(url("plan_edit", plan.patient, "plate"), typed)
    page = text(response)
    assert response.status_code == 422
    assert "runs no faster" in beside("frequency_hz", page)
    assert '<p class="source">Common practice' in page
    assert 'value="45"' in page
    assert "Not changed." in page


def test_a_judgement_asks_for_a_reason_and_takes_it(signed_in: Client, plan: Plan) -> None:
    typed = marks(plan, week_from="1", week_to="2", minutes="66")
    asked = signed_in.post(url("plan_edit", plan.patient, "posture"), typed)
    assert asked.status_code == 422
    assert "Needed for this" in beside("reason", text(asked))
    typed |= {"reason": "She does it gladly."}
    assert signed_in.post(url("plan_edit", plan.patient, "posture"), typed).status_code == 302
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Exceeds a limit" in page
    assert "She does it gladly." in page


def test_a_preview_shows_and_saves_nothing(signed_in: Client, plan: Plan) -> None:
    typed = marks(plan, week_from="1", week_to="4", minutes="60", preview="1")
    page = text(signed_in.post(url("plan_edit", plan.patient, "balance"), typed))
    assert "What it would do" in page
    assert "60 min a week" in page
    assert "Nothing is saved yet" in page
    refused = marks(plan, week_from="1", week_to="4", minutes="599", preview="1")
    page = text(signed_in.post(url("plan_edit", plan.patient, "balance"), refused))
    assert "Not possible." in page
    assert PlanEdit.objects.count() == 0


def test_an_exercise_is_swapped_and_both_halves_are_asked_for(
    signed_in: Client, plan: Plan
) -> None:
    half = marks(plan, week_from="1", week_to="26", swap_out="leg_press")
    assert "needs both" in text(signed_in.post(url("plan_edit", plan.patient, "resistance"), half))
    whole = half | {"swap_in": "goblet_squat"}
    assert signed_in.post(url("plan_edit", plan.patient, "resistance"), whole).status_code == 302
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Leg press: now squat with a weight at the chest" in page


def test_left_out_with_a_reason_and_taken_back(signed_in: Client, plan: Plan) -> None:
    out = url("plan_leave_out", plan.patient, "plate")
    asked = signed_in.post(out, marks(plan, reason="  "))
    assert (asked.status_code, faults(text(asked))) == (422, [])
    assert 'href="#id_leave_out_reason"' in text(asked)
    assert "Write down why" in text(asked)
    signed_in.post(out, marks(plan, reason="She has sold it."))
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "Left out by the clinician" in page
    assert "She has sold it." in page
    plan.refresh_from_db()
    form = text(signed_in.get(url("plan_edit", plan.patient, "plate")))
    assert "Take it back in" in form
    signed_in.post(out, marks(plan, back="1"))
    plan.refresh_from_db()
    assert plan.weeks == plan.proposed["weeks"]
    refused = signed_in.post(
        url("plan_leave_out", plan.patient, "resistance"), marks(plan, reason="She'd rather not.")
    )
    assert refused.status_code == 422
    assert "beside resistance" in text(refused)
    assert "She&#x27;d rather not." in text(refused), "what was typed stays"
    assert signed_in.post(out, marks(plan, patient=0)).status_code == 409


def test_the_second_of_two_editors_sees_both_texts(signed_in: Client, plan: Plan) -> None:
    """D06: the second saver must not wipe the first one's changes."""
    balance = url("plan_edit", plan.patient, "balance")
    signed_in.post(balance, marks(plan, week_from="1", week_to="4", minutes="60"))
    late = marks(plan, week_from="1", week_to="4", minutes="50", reason="Less still.")
    response = signed_in.post(balance, late)
    page = text(response)
    assert response.status_code == 409
    assert "On the plan now" in page
    assert all(words in page for words in ("60", "50 a week", "Less still."))
    plan.refresh_from_db()
    assert plan.weeks[0]["balance"]["minutes"] == 60
    again = Inputs(page).sent | marks(plan)
    assert signed_in.post(balance, again).status_code == 302
    plan.refresh_from_db()
    assert plan.weeks[0]["balance"]["minutes"] == 50


def test_the_conflict_page_shows_a_swap_too(signed_in: Client, plan: Plan) -> None:
    where = url("plan_edit", plan.patient, "resistance")
    signed_in.post(where, marks(plan, week_from="1", week_to="4", could_lift="19"))
    late = marks(plan, week_from="1", week_to="4", swap_out="leg_press", swap_in="goblet_squat")
    assert "Leg press: now squat" in text(signed_in.post(where, late))


def test_every_edit_address_of_a_signed_plan_refuses_and_offers_a_version(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    """D12: after signing nothing of that plan may change."""
    sign(plan, clinician)
    body = SignedPlan.objects.get().body
    patient = plan.patient
    plan.refresh_from_db()
    typed = marks(plan, week_from="1", week_to="4", minutes="60", reason="No.")
    for name, more in (
        ("plan_edit", ["balance"]),
        ("plan_leave_out", ["balance"]),
        ("plan_undo", []),
    ):
        response = signed_in.post(url(name, patient, *more), typed)
        assert response.status_code == 409, name
        assert "Draft a new version" in text(response)
    assert signed_in.get(url("plan_edit", patient, "balance")).status_code == 409
    assert (PlanEdit.objects.count(), SignedPlan.objects.get().body) == (0, body)
    page = text(signed_in.get(url("plan", patient)))
    assert "It stays as it is" in page
    assert "Change balance" not in page


def test_a_new_version_opens_beside_the_signed_one(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    sign(plan, clinician)
    typed = {"patient": plan.patient_id, "starts_on": today().isoformat()}
    signed_in.post(url("plan_draft", plan.patient), typed)
    page = text(signed_in.get(url("plan", plan.patient)))
    assert "version 2: a draft" in page
    assert "Version 1 is signed" in page
    older = text(signed_in.get(url("plan_version", plan.patient, 1)))
    assert "Signed" in older
    assert signed_in.get(url("plan_version", plan.patient, 9)).status_code == 404
    dropped = marks(plan, week_from="1", week_to="4", minutes="60")
    assert "Change that one" in text(
        signed_in.post(url("plan_edit", plan.patient, "balance"), dropped)
    )


def test_no_form_reaches_another_patients_plan(
    signed_in: Client, plan: Plan, clinician: User
) -> None:
    """C09 and H01: two windows, two patients."""
    other = rows.recorded(clinician, document())
    theirs = drafted(other, clinician)
    typed = marks(theirs, patient=plan.patient_id, week_from="1", week_to="4", minutes="60")
    response = signed_in.post(url("plan_edit", plan.patient, "balance"), typed)
    assert response.status_code == 404
    crossed = signed_in.post(url("plan_edit", plan.patient, "balance"), marks(theirs))
    assert crossed.status_code == 409
    nameless = marks(plan) | {"plan": ""}
    assert signed_in.post(url("plan_undo", plan.patient), nameless).status_code == 404
    assert signed_in.post(url("plan_undo", plan.patient), marks(plan, patient=0)).status_code == 409
    assert signed_in.get(url("plan_edit", plan.patient, "walks")).status_code == 404


def test_a_draft_of_another_rulebook_is_drafted_anew_first(signed_in: Client, plan: Plan) -> None:
    plan.proposed["weeks"][0]["minutes"] = 1.0
    plan.save()
    for answer in (
        signed_in.get(url("plan_edit", plan.patient, "balance"), follow=True),
        signed_in.post(
            url("plan_edit", plan.patient, "balance"),
            marks(plan, week_from="1", week_to="2", minutes="60"),
            follow=True,
        ),
    ):
        assert "Redraft, then change it" in text(answer)
    assert "Monday" in text(signed_in.get(url("plan", plan.patient)))
