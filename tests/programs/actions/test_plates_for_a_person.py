"""The pages about plates for one person, and the page of the evidence."""

from __future__ import annotations

import datetime as dt
import re
from dataclasses import replace
from html import unescape
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients.facts.document import write_part
from patients.models.patient import Patient, SizeRow
from patients.rows_to_facts import facts_of
from programs.actions import plates as actions
from programs.actions.clinic import Details, set_details
from programs.dose.vibration import EXPOSURE_NOTE
from programs.models.plates import ClinicPlate
from programs.plates.evidence.listing import Choice, listed
from programs.plates.measured_motion import Measurement
from tests.patients.pages import filled, text_of
from tests.people import fracture, steady_document
from tests.programs.rows import AT, answer, plan, recorded
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL

pytestmark = pytest.mark.long

EVERYTHING = listed(Choice())
POOLED = sum(row.pooled for row in EVERYTHING)
TRIALS = len(EVERYTHING) - POOLED
OWN = [write_part(replace(plate, price=690.0)) for plate in (VERTICAL, TILTING, GENTLE)]
FRAIL: dict[str, Any] = {
    "person": {"born": "1941-05-02"},
    "fractures": [fracture("vertebra", "2024-06-01"), fracture("wrist", "2015-06-01")],
    "falls": {"last_12_months": 2, "injury": "yes"},
    "conditions": {"stones": "yes"},
    "resources": {"plates": OWN, "watcher": "yes"},
    "aims": ["falls", "hip"],
}
URGING = re.compile(r"\b(buy\w*|bought|purchas\w*|recommend\w*|worth)\b", re.IGNORECASE)


@pytest.fixture
def her(clinician: User) -> Patient:
    return recorded(clinician, steady_document(resources={"plates": OWN}))


@pytest.fixture
def tested(clinician: User) -> Patient:
    """Return the same person tested today: pressures grow old, and pages ask the own clock."""
    today = timezone.localdate().isoformat()
    changes = {"tests": {"date": today}, "resources": {"plates": OWN}}
    return recorded(clinician, steady_document(as_of=today, **changes))


@pytest.fixture
def row(clinician: User) -> ClinicPlate:
    room = replace(VERTICAL, name="Room 2")
    return actions.add_plates(plates=[room], by=clinician, at=AT)[0]


def at(name: str, *args: object) -> str:
    return reverse(f"programs:{name}", args=args)


def seen(client: Client, address: str) -> str:
    answered = client.get(address)
    assert answered.status_code == 200
    return " ".join(text_of(answered).split())


def words_of(page: str) -> str:
    return unescape(re.sub(r"<[^>]+>", " ", page))


# --- Fit ------------------------------------------------------------------------------------


def test_each_of_her_plates_is_judged_with_its_setting(signed_in: Client, tested: Patient) -> None:
    page = seen(signed_in, at("fit", tested.pk))
    assert page.count("Set the panel to") == 6
    assert "Set the panel to 25 Hz and 1 mm (peak to peak)." in page
    assert "Set the panel to 30 Hz." in page
    assert page.count('<svg xmlns="http://www.w3.org/2000/svg"') == 3
    assert "The ramp over 26 weeks<" in page
    assert "10.2340/16501977-1868" in page


def test_exposure_stands_beside_the_values_for_work(signed_in: Client, her: Patient) -> None:
    page = seen(signed_in, at("fit", her.pk))
    assert EXPOSURE_NOTE in page
    for words in ("EU action value", "0.5", "9.1", "EU limit value", "1.15", "21"):
        assert words in page


def test_no_map_brings_its_own_style(signed_in: Client, her: Patient) -> None:
    page = seen(signed_in, at("fit", her.pk))
    assert "style=" not in page
    assert "<style" not in page


def test_the_name_of_a_plate_is_written_out_safely(signed_in: Client, clinician: User) -> None:
    plates = [OWN[0] | {"name": "<b>x</b>"}]
    her = recorded(clinician, steady_document(resources={"plates": plates}))
    raw = signed_in.get(at("fit", her.pk)).content.decode()
    assert "<b>x</b>" not in raw
    assert "&lt;b&gt;x&lt;/b&gt;" in raw


def test_a_frail_person_sees_what_bars_and_limits_her(signed_in: Client, clinician: User) -> None:
    her = recorded(clinician, steady_document(**FRAIL))
    page = seen(signed_in, at("fit", her.pk))
    assert "Gall, kidney or bladder stones" in page
    assert "The peak is capped at 1 g" in page
    assert "Set the panel to" not in page
    assert "Once that is settled: panel 22 Hz and 1 mm (peak to peak)." in page
    assert "as it would be drafted once the screen allows it" in page


def test_plates_not_asked_for_and_none(signed_in: Client, clinician: User) -> None:
    unasked = recorded(clinician, steady_document(resources={"plates": None}))
    page = seen(signed_in, at("fit", unasked.pk))
    assert "which plates there are" in page
    assert "There is no plate to look at." in page
    none = recorded(clinician, steady_document(resources={"plates": []}))
    assert "There is no plate at home." in seen(signed_in, at("fit", none.pk))


def test_a_clinic_plate_is_judged_once_it_is_ticked(
    signed_in: Client, her: Patient, row: ClinicPlate, clinician: User
) -> None:
    plain = seen(signed_in, at("fit", her.pk))
    assert 'value="clinic-' in plain
    assert 'id="clinic-' not in plain
    found = Measurement(on=dt.date(2026, 2, 10), load_kg=68, set_hz=30, set_mm=1.0, mm=1.1)
    actions.add_measurement(row=row, measured=found, by=clinician, at=AT)
    page = seen(signed_in, at("fit", her.pk) + f"?clinic=clinic-{row.pk}&clinic=own-0")
    assert f'id="clinic-{row.pk}"' in page
    assert "Judged as measured on 10 Feb 2026 with 68 kg" in page
    assert page.count('id="own-0"') == 1


def test_a_clinic_plate_goes_on_her_list(signed_in: Client, her: Patient, row: ClinicPlate) -> None:
    address = at("fit", her.pk) + f"?clinic=clinic-{row.pk}"
    sent = filled(signed_in, address)
    copied = signed_in.post(at("fit_copy", her.pk, row.pk), sent, follow=True)
    assert "On the list of plates now: Room 2." in text_of(copied)
    resources = facts_of(her, dt.date(2026, 3, 2)).resources
    assert resources is not None
    assert resources.plates is not None
    today = facts_of(her, dt.date(2199, 1, 1)).resources
    assert today is not None
    assert [p.name for p in today.plates or ()][-1] == "Room 2"
    again = signed_in.post(at("fit_copy", her.pk, row.pk), filled(signed_in, address))
    assert again.status_code == 422
    assert "on the list already" in text_of(again)


def test_what_was_measured_since_is_offered_and_taken_over(
    signed_in: Client, her: Patient, row: ClinicPlate, clinician: User
) -> None:
    address = at("fit", her.pk)
    copy = at("fit_copy", her.pk, row.pk)
    signed_in.post(copy, filled(signed_in, address + f"?clinic=clinic-{row.pk}"))
    assert "tells other numbers" not in seen(signed_in, address)
    on = dt.date(2026, 2, 10)
    found = Measurement(on=on, load_kg=68, set_hz=30, set_mm=1.0, hz=31.5, mm=1.2)
    actions.add_measurement(row=row, measured=found, by=clinician, at=AT)
    page = seen(signed_in, address)
    assert "tells other numbers of Room 2 now, measured on 10 Feb 2026" in page
    assert "21 to 52.5 Hz by 1.05; 1.2, 2.4, 4.8 mm (peak to peak)" in page
    assert 'name="renew" value="1"' in page
    signed_in.post(copy, filled(signed_in, address) | {"renew": "1"})
    page = seen(signed_in, address)
    assert "tells other numbers" not in page
    assert "Judged as measured on 10 Feb 2026: frequency" in page
    assert "panel 24 Hz and 1 mm." in page


def test_a_form_of_another_patient_is_refused(
    signed_in: Client, her: Patient, row: ClinicPlate
) -> None:
    answered = signed_in.post(at("fit_copy", her.pk, row.pk), {"patient": str(her.pk + 1)})
    assert answered.status_code == 409
    assert signed_in.get(at("fit_copy", her.pk, row.pk)).status_code == 405


def test_a_review_that_lifted_the_cap_counts(signed_in: Client, clinician: User) -> None:
    frail = {**FRAIL, "conditions": {"stones": "no"}, "fractures": [], "falls": {}}
    her = recorded(clinician, steady_document(**frail))
    assert "The peak is capped at 1 g" in seen(signed_in, at("fit", her.pk))
    resume = {"done_weeks": {"plate": 4, "balance": 4}, "lifted": ["plate.fragile_cap"]}
    plan(her, clinician, resume=resume)
    assert "The peak is capped at 1 g" not in seen(signed_in, at("fit", her.pk))


@pytest.mark.counted
def test_facts_that_contradict_each_other_are_said_to(
    signed_in: Client, her: Patient, clinician: User, row: ClinicPlate
) -> None:
    size = {"date": AT.date(), "height_cm": 190, "entered_by": clinician, "entered_at": AT}
    SizeRow.objects.create(patient=her, **size)
    for name in ("fit", "appraisal"):
        assert "The facts do not fit together" in seen(signed_in, at(name, her.pk))
    sent = {"patient": str(her.pk)}
    copied = signed_in.post(at("fit_copy", her.pk, row.pk), sent)
    assert "The facts do not fit together" in text_of(copied)


#: Session and person, and three that keep the session alive.
OF_EVERY_PAGE = 6
#: That she was looked at is two more.
OF_HER_PAGE = OF_EVERY_PAGE + 2


@pytest.mark.parametrize("name", ["fit", "appraisal"])
def test_a_dozen_queries_and_the_falls_of_the_log(
    signed_in: Client,
    her: Patient,
    row: ClinicPlate,
    name: str,
    django_assert_max_num_queries: Any,
) -> None:
    with django_assert_max_num_queries(13 + OF_HER_PAGE):
        signed_in.get(at(name, her.pk))
    # What was measured on the clinic's plates is one more, however many they are.
    with django_assert_max_num_queries(14 + OF_HER_PAGE):
        signed_in.get(f"{at(name, her.pk)}?clinic=clinic-{row.pk}&plate=clinic-{row.pk}")


def test_of_the_evidence_only_the_watch_is_in_the_database(
    signed_in: Client, django_assert_max_num_queries: Any
) -> None:
    """The file in force, for the trials of the page and for the notices above them."""
    with django_assert_max_num_queries(OF_EVERY_PAGE + 2):
        signed_in.get(at("evidence"))


# --- The appraisal --------------------------------------------------------------------------


def test_the_appraisal_lays_her_plates_side_by_side(signed_in: Client, tested: Patient) -> None:
    page = seen(signed_in, at("appraisal", tested.pk))
    for words in (
        "No plate",
        "Minutes a week:",
        "Planned on it, a year",
        "Where the sources disagree",
        "For low magnitude:",
        "Against low magnitude:",
        "Certainty low to moderate",
        "0.51 (0.28 to 0.74)",
        "What to make of it is for the clinician and the person to decide.",
    ):
        assert words in page
    planned = re.findall(r"<td>(\d+) min \(\d+ of vibration\)</td>", page)
    assert planned
    # What she paid for it, over the minutes of a year.
    assert f"{690 / int(planned[0]):.2f}" in page


@pytest.mark.parametrize("changes", [{}, FRAIL, {"symptoms": {"chest_pain": "yes"}}])
def test_no_page_urges_anyone(
    signed_in: Client, clinician: User, row: ClinicPlate, changes: dict[str, Any]
) -> None:
    her = recorded(clinician, steady_document(**changes))
    for address in (
        at("appraisal", her.pk),
        at("fit", her.pk) + f"?clinic=clinic-{row.pk}",
        at("evidence"),
        at("plates"),
    ):
        found = URGING.search(words_of(seen(signed_in, address)))
        assert not found, (address, found)


def test_the_pattern_of_urging_words_catches_them() -> None:
    for words in ("Buy it", "she bought one", "a purchase", "buying", "we recommend", "worth it"):
        assert URGING.search(words)


def test_plates_are_chosen_by_plain_parameters(
    signed_in: Client, her: Patient, row: ClinicPlate
) -> None:
    page = seen(signed_in, at("appraisal", her.pk) + f"?plate=own-2&plate=clinic-{row.pk}")
    heads = re.findall(r'<th scope="col"><strong>([^<]+)</strong>', page)
    assert heads == ["gentle", "Room 2"]
    nothing = seen(signed_in, at("appraisal", her.pk) + "?plate=nonsense")
    assert "<strong>gentle</strong>" not in nothing


def test_without_plates_of_her_own_the_clinics_stand_there_up_to_four(
    signed_in: Client, clinician: User
) -> None:
    her = recorded(clinician, steady_document(resources={"plates": []}))
    many = [replace(VERTICAL, name=f"Room {n}") for n in range(6)]
    actions.add_plates(plates=many, by=clinician, at=AT)
    page = seen(signed_in, at("appraisal", her.pk))
    assert len(re.findall(r'<th scope="col"><strong>', page)) == 4


def test_nothing_recorded_is_said_to_be_so(signed_in: Client, clinician: User) -> None:
    her = recorded(clinician, steady_document(resources=None, aims=None))
    page = seen(signed_in, at("appraisal", her.pk))
    assert "none recorded, so fewer falls is assumed" in page
    assert "Time: not recorded" in page


def test_a_price_that_is_not_known_is_not_nought(signed_in: Client, her: Patient) -> None:
    answer(her, her.created_by, resources={"plates": [write_part(VERTICAL)]})
    page = seen(signed_in, at("appraisal", her.pk))
    assert '<span class="unrecorded">not recorded</span>' in page


def test_a_price_stands_in_the_currency_of_the_clinic(signed_in: Client, her: Patient) -> None:
    assert '<th scope="row">Price</th>' in seen(signed_in, at("appraisal", her.pk))
    set_details(details=Details(currency="EUR"), by=her.created_by, at=AT)
    page = seen(signed_in, at("appraisal", her.pk))
    assert '<th scope="row">Price, EUR</th>' in page
    assert "Price of a planned minute, EUR" in page
    assert '<span class="unit quiet">EUR</span>' in seen(signed_in, at("plate_add"))


# --- The evidence ---------------------------------------------------------------------------


def test_the_evidence_page_says_what_it_comes_to_and_what_it_rests_on(signed_in: Client) -> None:
    page = seen(signed_in, at("evidence"))
    assert f"{TRIALS} trials and {POOLED} pooled analyses." in page
    assert "Retracted</strong> on 22 October 2019. Listed only; nothing of it is used." in page
    assert page.count("Printed g does not match.") == 2
    for name in ("Hip.", "Spine.", "Wrist.", "Fewer falls.", "Strength."):
        assert f"<strong>{name}</strong>" in page


def test_the_table_is_filtered_by_the_address(signed_in: Client) -> None:
    page = seen(signed_in, at("evidence") + "?aim=falls&kind=low_magnitude&order=year")
    assert "1 trial and 0 pooled analyses." in page
    assert "Leung 2014" in page
    assert "Kiel 2015, J Bone" not in page
    assert '<option value="falls" selected>' in page
    assert "Pooled analyses hold several kinds of plate" in page
    memory = seen(signed_in, at("evidence") + "?known=memory")
    assert "From memory, to be confirmed." in memory
    assert "Gusi 2006, BMC Musculoskelet Disord" not in memory


def test_words_that_are_not_known_ask_for_nothing(signed_in: Client) -> None:
    page = seen(signed_in, at("evidence") + "?aim=height&kind=x&certainty=y&known=z&order=q")
    assert f"{TRIALS} trials and {POOLED} pooled analyses." in page


def test_an_empty_list_says_so(signed_in: Client) -> None:
    page = seen(signed_in, at("evidence") + "?certainty=high&kind=vertical")
    assert "Nothing in the list matches." in page


def test_nobody_looks_without_signing_in(client: Client, her: Patient) -> None:
    for address in (at("evidence"), at("plates"), at("fit", her.pk), at("appraisal", her.pk)):
        assert client.get(address).status_code == 302
