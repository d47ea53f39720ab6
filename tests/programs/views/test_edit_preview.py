"""What a change would do, shown while it is typed: the part of the page that follows."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.http import HttpResponse
from django.test import Client

from patients.models.patient import Audit, Patient
from programs.models.program import Plan, PlanEdit
from tests.programs import rows
from tests.programs.views.test_plan import document, drafted, marks, sign, text, url

pytestmark = pytest.mark.long

LIVE = {"HX-Request": "true"}


@pytest.fixture
def plan(clinician: User) -> Plan:
    """The open draft of the steady person."""
    return drafted(rows.recorded(clinician, document()), clinician)


def typed(client: Client, plan: Plan, code: str, **more: Any) -> HttpResponse:
    """Return what the page gets while this is typed."""
    sent = marks(plan, **{"week_from": "1", "week_to": "4", "preview": "1", **more})
    return client.post(url("plan_edit", plan.patient, code), sent, headers=LIVE)  # type: ignore[return-value]


def said(response: HttpResponse, field: str) -> str:
    """Return what is said beside a field."""
    after = text(response).split(f'<div id="{field}_error"', 1)[1]
    return after.split(">", 1)[1].split("</div>", 1)[0]


def test_the_part_alone_with_the_ramp_and_the_week(
    signed_in: Client, plan: Plan, django_assert_max_num_queries: Any
) -> None:
    # A dozen of its own; session, person and rights take three, the look two, and three more
    # once a minute.
    with django_assert_max_num_queries(12 + 9):
        response = typed(signed_in, plan, "balance", minutes="60")
    page = text(response)
    assert response.status_code == 200
    assert "<html" not in page
    assert "<form" not in page
    assert "Within the limits." in page
    assert "60 min a week" in page
    assert "The whole of week 1" in page
    assert "now: 6 a week, 75 min a week" in page
    assert "3 a week, 25 Hz" in page
    assert said(response, "id_minutes") == ""


def test_a_field_is_never_in_the_part(signed_in: Client, plan: Plan) -> None:
    page = text(typed(signed_in, plan, "balance", minutes="60"))
    assert "<input" not in page
    assert "<select" not in page


@pytest.mark.parametrize(
    ("code", "more", "field", "words"),
    [
        ("plate", {"bouts": "40"}, "id_bouts", "1 to 30 a session is expected"),
        ("plate", {"bouts": "many"}, "id_bouts", "many"),
        ("posture", {"minutes": "66", "week_to": "2"}, "id_reason", "Needed for this"),
        ("balance", {"minutes": "599"}, "form", "minutes a week; there are"),
        ("resistance", {"swap_out": "leg_press"}, "id_swap_in", "needs both"),
        ("balance", {"week_from": "", "minutes": "60"}, "id_week_from", "number of a week"),
    ],
)
def test_what_is_refused_or_asked_stands_beside_its_field(
    signed_in: Client, plan: Plan, code: str, more: dict[str, str], field: str, words: str
) -> None:
    response = typed(signed_in, plan, code, **more)
    assert response.status_code == 200
    assert words in said(response, field)
    assert "Within the limits." not in text(response)


def test_a_written_reason_is_not_asked_for_again(signed_in: Client, plan: Plan) -> None:
    more = {"minutes": "66", "week_to": "2", "reason": "She does it gladly."}
    response = typed(signed_in, plan, "posture", **more)
    assert "Needs a written reason." in text(response)
    assert said(response, "id_reason") == ""


def test_the_button_asks_for_the_reason_as_well(signed_in: Client, plan: Plan) -> None:
    sent = marks(plan, week_from="1", week_to="2", minutes="66", preview="1")
    response = signed_in.post(url("plan_edit", plan.patient, "posture"), sent)
    assert "<html" in text(response)
    assert "Needed for this" in said(response, "id_reason")  # type: ignore[arg-type]


def test_nothing_typed_is_no_mistake(signed_in: Client, plan: Plan) -> None:
    response = typed(signed_in, plan, "balance")
    assert "As it is now" in text(response)
    assert said(response, "form") == ""
    again = typed(signed_in, plan, "balance", minutes="")
    assert "Not shown yet" not in text(again)


def test_a_change_to_what_is_there_names_no_week(signed_in: Client, plan: Plan) -> None:
    page = text(typed(signed_in, plan, "balance", minutes="75", week_to="1"))
    assert "Within the limits." in page
    assert "The whole of week" not in page


def test_a_swap_is_seen_in_the_exercises(signed_in: Client, plan: Plan) -> None:
    more = {"swap_out": "leg_press", "swap_in": "goblet_squat"}
    page = text(typed(signed_in, plan, "resistance", **more))
    assert "Squat with a weight at the chest" in page
    assert '<span class="was">now: Leg press' in page


def test_how_to_stand_on_the_plate_is_told(signed_in: Client, plan: Plan) -> None:
    page = text(signed_in.get(url("plan_edit", plan.patient, "plate")))
    assert "knees bent 20 to 30 degrees, never locked" in page


def test_what_may_be_put_in_stands_beside_its_neighbour(signed_in: Client, plan: Plan) -> None:
    page = text(signed_in.get(url("plan_edit", plan.patient, "impact")))
    groups = page.split('<select name="swap_in"')[1].split("</select>")[0]
    assert '<optgroup label="Next to ' in groups
    assert ", harder</option>" in groups


def test_nothing_is_written(signed_in: Client, plan: Plan) -> None:
    before = (Audit.objects.count(), Plan.objects.values().get())
    for more in ({"minutes": "60"}, {"minutes": "599"}, {"minutes": "66", "reason": "Gladly."}):
        for code in ("balance", "posture"):
            typed(signed_in, plan, code, **more)
    assert (Audit.objects.count(), Plan.objects.values().get()) == before
    assert PlanEdit.objects.count() == 0


class TestTooLate:
    """The draft is no longer what the page was opened for: the part says so, with a link."""

    def refused(self, response: HttpResponse, plan: Plan) -> str:
        page = text(response)
        assert response.status_code == 200
        assert "Nothing can be changed here any more." in page
        assert f'href="{url("plan", plan.patient)}"' in page
        assert '<div id="preview"> </div>' in page
        return page

    def test_signed(self, signed_in: Client, plan: Plan, clinician: User) -> None:
        sign(plan, clinician)
        assert "Version 1 is signed" in self.refused(
            typed(signed_in, plan, "balance", minutes="60"), plan
        )

    def test_drafted_anew(self, signed_in: Client, plan: Plan, clinician: User) -> None:
        drafted(plan.patient, clinician)
        assert "replaced by a newer draft" in self.refused(
            typed(signed_in, plan, "balance", minutes="60"), plan
        )

    def test_other_rules(self, signed_in: Client, plan: Plan) -> None:
        plan.proposed["weeks"][0]["minutes"] = 1.0
        plan.save()
        assert "Redraft, then change it." in self.refused(
            typed(signed_in, plan, "balance", minutes="60"), plan
        )
        follows = signed_in.get(url("plan", plan.patient))
        assert "message-error" not in text(follows)  # type: ignore[arg-type]

    def test_another_patients_form(self, signed_in: Client, plan: Plan, clinician: User) -> None:
        other: Patient = rows.patient(clinician)
        assert "another patient" in self.refused(
            typed(signed_in, plan, "balance", minutes="60", patient=other.pk), plan
        )

    def test_changed_by_somebody_else(self, signed_in: Client, plan: Plan) -> None:
        saved = marks(plan, week_from="1", week_to="4", minutes="60")
        signed_in.post(url("plan_edit", plan.patient, "balance"), saved)
        page = text(typed(signed_in, plan, "balance", minutes="50"))
        assert "Changed in the meantime." in page
        assert "now: 6 a week, 60 min a week" in page

    def test_signed_out(self, client: Client, plan: Plan) -> None:
        response = typed(client, plan, "balance", minutes="60")
        assert response.status_code == 401
        assert response.content == b""


def test_a_typed_percent_is_the_fewest_times_that_keep_within_it(
    signed_in: Client, plan: Plan
) -> None:
    """Rulebook row 19a: 75 % is 14 times (74 %), and kg, percent and reserve follow from it."""
    page = text(typed(signed_in, plan, "resistance", percent="75", reps="10"))
    assert "1 × 10 of a weight that could be lifted 14 times, 4 in reserve; leg press 51 kg" in page
    assert "67 to 74 % by the classic chart" in page
    assert PlanEdit.objects.count() == 0
    sent = marks(plan, week_from="9", week_to="9", percent="68")
    signed_in.post(url("plan_edit", plan.patient, "resistance"), sent)
    assert PlanEdit.objects.get().path == "resistance.could_lift"
    assert PlanEdit.objects.get().new == 19


def test_a_limit_of_the_load_stands_beside_the_times(signed_in: Client, plan: Plan) -> None:
    for more in ({"percent": "84"}, {"could_lift": "9"}):
        told = said(typed(signed_in, plan, "resistance", **more), "id_could_lift")
        assert "84 %, a weight that could be lifted 9 times" in told


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"percent": "54"}, "From 55 to"),
        ({"percent": "99"}, "From 55 to"),
        ({"percent": "70", "could_lift": "17"}, "not both"),
    ],
)
def test_a_percent_that_cannot_be_read_is_told_beside_it(
    signed_in: Client, plan: Plan, more: dict[str, str], words: str
) -> None:
    assert words in said(typed(signed_in, plan, "resistance", **more), "id_percent")


def test_the_form_tells_each_number_of_times_in_percent(signed_in: Client, plan: Plan) -> None:
    page = text(signed_in.get(url("plan_edit", plan.patient, "resistance")))
    assert "Times and percent of the maximum" in page
    assert "about 60 %, 57 to 63 % by other equations" in page
    assert "Or percent of the maximum" in page
    other = text(signed_in.get(url("plan_edit", plan.patient, "balance")))
    assert "percent of the maximum" not in other
