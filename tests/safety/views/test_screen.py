"""The Screen page, clearances and the rulebook, as a browser sees them."""

from __future__ import annotations

import datetime as dt
import re
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from patients.models.patient import Audit
from programs.dose.limit_tables import limit_tables
from safety.models import Clearance, Screening
from safety.rules import all_rules
from safety.rules.rule import REVIEW_BY
from tests.factories import FractureFactory, PatientFactory, ScanFactory
from tests.patients.pages import Inputs, text_of
from tests.people import fracture, scan
from tests.safety.rows import cleared, known_patient

pytestmark = [pytest.mark.long, pytest.mark.django_db]
TODAY = dt.date(2026, 3, 2)


@pytest.fixture(autouse=True)
def on_that_day(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("safety.views.screen.today", lambda: TODAY)
    monkeypatch.setattr("patients.views.common.today", lambda: TODAY)


def address(name: str, *args: int) -> str:
    return reverse(f"safety:{name}", args=args)


def page(client: Client, **changes: Any) -> str:
    return text_of(client.get(address("screen", known_patient(**changes).pk)))


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def standing(html: str) -> list[tuple[str, str]]:
    """Return status and reason of each modality in the table at the top."""
    table = html[html.index('class="sheet standing"') :].partition("</table>")[0]
    cells = re.findall(r'<span class="level">(.*?)</span></td>\s*<td>(.*?)</td>', table)
    return [(status, why) for status, why in cells]


# --- What the page says ---------------------------------------------------------------------


def test_the_steady_person(signed_in: Client) -> None:
    html = page(signed_in)
    told = "no concerns found, all relevant facts are recorded"
    assert standing(html) == [("Allowed", f'<span class="quiet">{told}</span>')] * 5
    assert "Stop." not in html
    words = plain(html)
    assert "Bone density: low bone mass" in words
    assert "T-score −1.9 at the femoral neck, 20 Jan 2026" in words
    assert "T-score used, after menopause." in words
    assert "Fracture risk: moderate" in words
    assert "Met T-score below −1.0" in words
    assert "Fall risk: low" in words


def test_what_is_asked_of_all_kinds_is_not_told_as_recorded(signed_in: Client) -> None:
    """A low spine without an image: no kind is held, and the image is asked for below."""
    html = page(signed_in, scans=[scan("lumbar_spine", t=-2.7)], spine_image=None)
    quiet = [why for status, why in standing(html) if "no concerns found" in why]
    assert quiet
    assert all("what is not recorded is listed below" in why for why in quiet)
    assert "an image of the spine" in plain(html)


def test_nothing_asked_stays_readable(signed_in: Client) -> None:
    patient = PatientFactory()
    words = plain(text_of(signed_in.get(address("screen", patient.pk))))
    assert words.count("Stop.") == 1
    assert "until the red flags are asked" in words
    assert "Bone density: not known" in words
    assert "Fracture risk: not known, drafted as high" in words
    assert "Fall risk: not known, drafted as intermediate" in words
    assert "Not recorded. On hold until answered: vibration plate, resistance and impact" in words
    assert re.search(r"and \d\d conditions not asked", words)
    assert len(re.findall(r"Not recorded\. ", words)) <= 15


def test_a_vertebral_fracture(signed_in: Client) -> None:
    html = page(signed_in, fractures=[fracture("vertebra", "2023-02-10")])
    status = standing(html)
    waits = "waits for clearance of: Vertebral fracture"
    assert status[0] == ("On hold", waits)
    assert status[1] == (
        "Allowed",
        "form before load, spine not bent or twisted under load",
    )
    assert status[2] == ("Allowed", "to 1.5 body weights")
    words = plain(html)
    assert "On record: Fracture: vertebra, 10 Feb 2023, healed." in words
    assert "this person counts as fragile" in words
    assert html.count("Record a clearance") == 1


@pytest.mark.parametrize(
    ("symptoms", "urgency"),
    [
        ({"new_back_pain": "yes"}, "refer within days"),
        ({"new_back_pain": "yes", "chest_pain": "yes"}, "refer the same day"),
    ],
)
def test_a_red_flag_is_one_stop_at_the_top(
    signed_in: Client, symptoms: dict[str, str], urgency: str
) -> None:
    html = page(signed_in, symptoms={**symptoms, "fever": "unknown"})
    assert html.count('class="note stop level-contraindicated"') == 1
    assert html.index("Stop.") < html.index("Where each kind of loading stands")
    words = plain(html)
    assert urgency in words
    assert "Not asked: fever." in words
    assert words.count("New or suddenly worse back pain: refer") == 1


def test_a_fresh_fracture_stops_too(signed_in: Client) -> None:
    words = plain(page(signed_in, fractures=[fracture("wrist", "2026-02-20")]))
    assert "Stop. Nothing may be handed out" in words
    assert "A fracture under four weeks old: nothing is drafted." in words


def test_most_serious_first_and_the_reason_why(signed_in: Client) -> None:
    html = page(
        signed_in, conditions={"aneurysm": "yes", "other_metalwork": "yes", "vertigo": "unknown"}
    )
    assert standing(html)[0] == ("Excluded", "Aneurysm (aorta or brain)")
    causes = html[html.index('id="causes"') :].partition("</section>")[0]
    order = re.findall(r'<strong class="level">(.*?)\.</strong>', causes)
    assert order == ["Contraindicated", "Needs clearance", "Not recorded"]


def test_on_hold_says_for_what(signed_in: Client) -> None:
    html = page(signed_in, conditions={"other_metalwork": "yes", "vertigo": "unknown"})
    expected = "waits for clearance of: Other pins, plates or screws in bone"
    expected += ", and an answer: vertigo"
    assert standing(html)[0] == ("On hold", expected)


def test_one_or_two_conditions_not_asked_are_named(signed_in: Client) -> None:
    words = plain(page(signed_in, conditions={"vertigo": "unknown"}))
    held = "On hold until answered: vibration plate. Dosed with care until answered: "
    assert f"{held}resistance, impact and balance: 1 condition not asked (vertigo)." in words
    assert words.count("(vertigo)") == 1


def test_the_next_dose_of_denosumab_stands_with_its_month(signed_in: Client) -> None:
    medicine = {"answer": "yes", "kind": "denosumab", "last_dose_on": "2026-01-10"}
    words = plain(page(signed_in, medicines={"otherwise": "no", "bone_medicine": medicine}))
    assert "Denosumab: next dose due in July 2026." in words
    assert "next dose due" not in plain(page(signed_in))


def test_nearly_met_and_not_recorded(signed_in: Client) -> None:
    words = plain(
        page(
            signed_in,
            scans=[scan(t=-2.4)],
            probability_10y={"major_percent": 19},
            tests={"up_and_go_s": 11.5},
        )
    )
    assert "Nearly met T-score −2.5 or lower: T-score −2.4" in words
    assert (
        "Nearly met Ten-year probability of major fracture 20 % or more: major fracture 19 %"
        in words
    )
    assert "Timed Up and Go 11.5 s" in words
    assert "Not recorded ten-year probability of a hip fracture" in words


def test_facts_that_contradict_are_told_and_no_screen_is_shown(signed_in: Client) -> None:
    patient = PatientFactory(born=dt.date(2026, 3, 1))
    ScanFactory(patient=patient, date=dt.date(2026, 1, 1))
    for answered in (
        signed_in.get(address("screen", patient.pk)),
        signed_in.post(address("screen", patient.pk), {"patient": patient.pk}),
    ):
        assert "The facts do not fit together" in text_of(answered)
    assert not Screening.objects.exists()


def test_at_most_a_dozen_queries(signed_in: Client, django_assert_max_num_queries: Any) -> None:
    patient = known_patient(conditions={"other_metalwork": "yes", "hernia": "yes"})
    for subject in ("other_metalwork", "hernia", "low_t"):
        cleared(patient, subject, "plate")
    keep(signed_in, patient.pk)
    with django_assert_max_num_queries(19) as counted:
        signed_in.get(address("screen", patient.pk))
    ours = [q for q in counted.captured_queries if "django_session" not in q["sql"]]
    ours = [q for q in ours if "patients_look" not in q["sql"]]
    # A dozen, and one for what she may do.
    assert len([q for q in ours if "SAVEPOINT" not in q["sql"]]) <= 12 + 1


# --- Keeping it -----------------------------------------------------------------------------


def keep(client: Client, patient_id: int) -> Any:
    return client.post(address("screen", patient_id), {"patient": patient_id})


def test_from_a_stopped_screen_nothing_leads_to_the_plan(signed_in: Client) -> None:
    patient = known_patient(symptoms={"fever": "yes"})
    html = text_of(signed_in.get(address("screen", patient.pk)))
    assert "Save this screen</button>" in html
    assert "go on to the plan" not in html
    assert {status for status, _ in standing(html)} == {"Stopped"}
    sent = {"patient": patient.pk, "stay": "yes"}
    answered = signed_in.post(address("screen", patient.pk), sent)
    assert answered["Location"] == address("screen", patient.pk)


def test_the_screen_is_kept_when_asked(signed_in: Client) -> None:
    patient = known_patient()
    assert "Not saved today." in text_of(signed_in.get(address("screen", patient.pk)))
    assert not Screening.objects.exists()
    assert keep(signed_in, patient.pk).status_code == 302
    assert Screening.objects.get().patient == patient
    assert "nothing has changed since" in text_of(signed_in.get(address("screen", patient.pk)))
    FractureFactory(patient=patient, site="vertebra")
    assert "today’s result differs" in text_of(signed_in.get(address("screen", patient.pk)))


@pytest.mark.parametrize("name", ["screen", "clearance_add", "clearance_withdraw"])
def test_a_form_of_another_patient_changes_nobody(signed_in: Client, name: str) -> None:
    row = cleared(known_patient(), "other_metalwork", "plate")
    args = (row.patient_id, row.pk) if name == "clearance_withdraw" else (row.patient_id,)
    lines = Audit.objects.count()
    answered = signed_in.post(address(name, *args), {"patient": "0", "reason": "x"})
    assert answered.status_code == 409
    assert Audit.objects.count() == lines


@pytest.mark.parametrize("name", ["screen", "rulebook"])
def test_only_for_those_who_are_signed_in(client: Client, name: str) -> None:
    args = () if name == "rulebook" else (known_patient().pk,)
    assert client.get(address(name, *args)).status_code == 302


def test_nobody_has_no_screen(signed_in: Client) -> None:
    assert signed_in.get(address("screen", 404)).status_code == 404


# --- Clearances -----------------------------------------------------------------------------


def typed(patient_id: int, **more: Any) -> dict[str, Any]:
    return {
        "patient": patient_id,
        "subject": "other_metalwork",
        "finding": "other_metalwork.plate",
        "modalities": ["plate"],
        "given_by": "Urology clinic",
        "on": "2026-02-01",
        "until": "2026-08-01",
        "note": "",
        **more,
    }


def test_the_form_beside_a_finding_is_ready_for_it(signed_in: Client) -> None:
    html = page(signed_in, conditions={"other_metalwork": "yes"})
    sent = Inputs(html).sent
    assert sent["subject"] == ["other_metalwork"]
    assert sent["finding"] == ["other_metalwork.plate"]
    assert sent["modalities"] == ["plate"]


def test_a_clearance_lifts_the_finding_and_stays_to_be_read(signed_in: Client) -> None:
    patient = known_patient(conditions={"other_metalwork": "yes"})
    answered = signed_in.post(address("clearance_add", patient.pk), typed(patient.pk), follow=True)
    html = text_of(answered)
    assert "Recorded: cleared by Urology clinic for vibration plate." in html
    assert standing(html)[0] == ("Allowed", "start dose only")
    assert "Cleared by Urology clinic, 1 February 2026 to 1 August 2026." in html
    assert "Clearances on record" in html
    assert Clearance.objects.get().recorded_by.username == "m.ferro"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"given_by": ""}, "This is needed."),
        ({"modalities": []}, "This is needed."),
        ({"on": "", "until": "2026-08-01"}, "This is needed."),
        ({"until": "2026-01-01"}, "The last day is before the first."),
        ({"until": "next summer"}, "next summer"),
        ({"subject": "boredom"}, "boredom"),
    ],
)
def test_what_is_wrong_is_said_beside_the_finding(
    signed_in: Client, more: dict[str, Any], said: str
) -> None:
    patient = known_patient(conditions={"other_metalwork": "yes"})
    answered = signed_in.post(address("clearance_add", patient.pk), typed(patient.pk, **more))
    html = text_of(answered)
    assert answered.status_code == 422
    assert said in html
    assert '<details class="clearance no-print" open>' in html
    assert "Not saved yet." in html
    assert not Clearance.objects.exists()


def test_a_form_sent_twice_is_one_clearance(signed_in: Client) -> None:
    patient = known_patient(conditions={"other_metalwork": "yes"})
    token = "0c6d3a52-0000-4000-8000-000000000001"
    for _time in range(2):
        signed_in.post(address("clearance_add", patient.pk), typed(patient.pk, token=token))
    assert Clearance.objects.count() == 1


def test_a_clearance_of_what_is_no_condition(signed_in: Client) -> None:
    patient = known_patient(fractures=[fracture("vertebra", "2023-02-10")])
    sent = typed(patient.pk, subject="vertebral_fracture", finding="fragile_spine.plate")
    html = text_of(signed_in.post(address("clearance_add", patient.pk), sent, follow=True))
    assert standing(html)[0][0] == "Allowed"


def test_a_clearance_is_struck_out_with_a_reason(signed_in: Client) -> None:
    patient = known_patient(conditions={"other_metalwork": "yes"})
    row = cleared(patient, "other_metalwork", "plate")
    away = address("clearance_withdraw", patient.pk, row.pk)
    assert "It stays readable" in text_of(signed_in.get(away))
    assert "Not saved yet" in text_of(signed_in.post(away, {"patient": patient.pk, "reason": ""}))
    sent = {"patient": patient.pk, "reason": "Meant for somebody else"}
    html = text_of(signed_in.post(away, sent, follow=True))
    assert standing(html)[0][0] == "On hold"
    assert "Meant for somebody else" in html
    assert "It is struck out already." in text_of(signed_in.get(away))


def test_the_clearance_of_another_patient_is_not_found(signed_in: Client) -> None:
    row = cleared(known_patient(), "other_metalwork", "plate")
    other = known_patient()
    assert signed_in.get(address("clearance_withdraw", other.pk, row.pk)).status_code == 404


@pytest.mark.parametrize(
    ("days", "state"),
    [
        ({"on": TODAY, "until": TODAY}, "holds"),
        ({"on": TODAY + dt.timedelta(days=1)}, "begins later"),
        ({"until": TODAY - dt.timedelta(days=1)}, "ended"),
    ],
)
def test_each_clearance_says_whether_it_holds(
    signed_in: Client, days: dict[str, dt.date], state: str
) -> None:
    patient = known_patient()
    cleared(patient, "other_metalwork", "plate", **days)
    html = text_of(signed_in.get(address("screen", patient.pk)))
    table = html[html.index('id="clearances"') :]
    assert f"<td>{state}</td>" in table


@pytest.mark.counted
def test_a_blackout_can_be_cleared_in_the_stop_itself(signed_in: Client) -> None:
    html = page(signed_in, symptoms={"blackout": "yes"})
    stop = html[html.index('class="note stop') :].partition('class="sheet standing"')[0]
    assert "Record a clearance" in stop


# --- The rulebook ---------------------------------------------------------------------------


@pytest.mark.counted
def test_the_rulebook_has_every_rule_and_every_limit(signed_in: Client) -> None:
    html = text_of(signed_in.get(address("rulebook")))
    for rule in all_rules.RULES:
        assert f">{rule.code}</code>" in html
        assert rule.evidence in html
        assert rule.reason in html
        assert " · ".join(rule.source) in html
    assert html.count('<li class="finding level-') == len(all_rules.RULES)
    for table in limit_tables():
        for row in table.rows:
            assert row.text in html
            assert row.value in html
            assert row.source in html
    assert "None is overdue." in html


def test_overdue_rules_are_marked(signed_in: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("safety.views.screen.today", lambda: REVIEW_BY)
    assert "None is overdue." in text_of(signed_in.get(address("rulebook")))
    monkeypatch.setattr("safety.views.screen.today", lambda: REVIEW_BY + dt.timedelta(days=1))
    html = text_of(signed_in.get(address("rulebook")))
    assert f"{len(all_rules.RULES)} overdue for review." in html
    assert html.count(">Overdue<") == len(all_rules.RULES)
