"""Pages of closed and joined records: what they say, take, refuse and where they lead."""

import datetime as dt
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from patients.actions.closing import close_record
from patients.actions.joining import join_records
from patients.joining import HERE, THERE, Pair
from patients.models.finding import Findable
from patients.models.patient import Assessment, Audit, FractureRow, Patient, SizeRow
from patients.models.standing import Closing, Join, LookedThrough, PossibleDouble, TwoPeople
from tests.factories import AssessmentFactory, FractureFactory, PatientFactory
from tests.patients.pages import Inputs, filled, text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.long, pytest.mark.database]
PAGES = ("patients:facts", "safety:screen", "programs:plan", "programs:handout", "programs:log")
TICKS = ("fractures", "falls", "conditions", "clearances", "papers")


@pytest.fixture
def patient():
    return PatientFactory(given_name="Ann", family_name="O'Grady")


@pytest.fixture
def double():
    found = PatientFactory(given_name="Anne", family_name="Ogrady")
    AssessmentFactory(patient=found, answers={"falls": {"last_12_months": 2}})
    FractureFactory(patient=found, site="hip")
    return found


@pytest.fixture
def joined(double, patient, clinician):
    pair = Pair.of(patient, double, timezone.localdate())
    return join_records(
        double=double, into=patient, choices={one.name: HERE for one in pair.clashes()},
        seal=pair.seal, reason="Same address", by=clinician, at=timezone.now(),
    )  # fmt: skip


def closed(patient, by, what="died"):
    day = dt.date(2026, 2, 1)
    return close_record(patient=patient, what=what, on=day, by=by, at=timezone.now())


def page_of(name, patient):
    return reverse(name, args=[patient.pk])


# --- closed -------------------------------------------------------------------------------


def test_a_record_is_closed_and_opened_again_on_its_page(signed_in, patient):
    page = url("close", patient.pk)
    sent = filled(signed_in, page, what="moved", on="2026-02-01", note="To her son's")
    for _ in range(2):
        assert signed_in.post(page, sent).status_code == 302
    assert Closing.objects.get().note == "To her son's"
    html = text_of(signed_in.get(page))
    assert "Open the record again" in html
    sent = filled(signed_in, page, reason="Back", open="1")
    for _ in range(2):
        assert signed_in.post(page, sent).status_code == 302
    assert [row.what for row in Closing.objects.all()] == ["moved", "opened"]
    assert "Closed:" not in text_of(signed_in.get(url("facts", patient.pk)))


@pytest.mark.parametrize(
    ("typed", "wrong"),
    [
        ({"what": ""}, "Say why the record is closed."),
        ({"on": ""}, "Write the day."),
        ({"on": "1959-08-13"}, "before the date of birth"),
        ({"on": "01/02/2026"}, "can be two days"),
    ],
)
def test_what_is_wrong_stands_beside_the_field_and_nothing_typed_is_lost(
    signed_in, patient, typed, wrong
):
    page = url("close", patient.pk)
    sent = filled(signed_in, page, what="died", on="2026-02-01", note="Told by O'Hara") | typed
    response = signed_in.post(page, sent)
    assert response.status_code == 422
    html = text_of(response)
    assert wrong in html
    assert "Told by O'Hara" in html
    assert not Closing.objects.exists()


def test_tomorrow_is_refused_and_today_is_taken(signed_in, patient):
    page, today = url("close", patient.pk), timezone.localdate()
    for days, status in ((1, 422), (0, 302)):
        on = (today + dt.timedelta(days=days)).isoformat()
        response = signed_in.post(page, filled(signed_in, page, what="moved", on=on))
        assert response.status_code == status
        assert ("after today" in text_of(response)) is (days == 1)


def test_two_who_close_at_once(signed_in, patient, clinician):
    page = url("close", patient.pk)
    sent = filled(signed_in, page, what="moved", on="2026-02-01", note="Typed")
    closed(patient, clinician)
    response = signed_in.post(page, sent)
    assert response.status_code == 422
    assert "Somebody closed this record in the meantime" in text_of(response)
    assert Closing.objects.count() == 1
    assert signed_in.post(page, sent | {"patient": "0"}).status_code == 409


@pytest.mark.parametrize("name", PAGES)
def test_every_page_of_a_closed_record_says_so_at_its_top(signed_in, patient, clinician, name):
    closed(patient, clinician)
    html = text_of(signed_in.get(page_of(name, patient)))
    banner = html.split('<main id="content"')[0]
    assert "Closed: died on 1 Feb 2026." in banner
    assert 'aria-label="Steps"' not in html


def test_nothing_is_asked_of_somebody_who_died(signed_in, patient, clinician):
    before = text_of(signed_in.get(url("facts", patient.pk)))
    assert "not recorded" in before
    closed(patient, clinician)
    html = text_of(signed_in.get(url("facts", patient.pk)))
    assert "not recorded" not in html.lower()
    assert "Go to the first" not in html
    assert url("section", patient.pk, "falls") not in html


@pytest.mark.parametrize("what", ["died", "moved"])
def test_no_form_of_a_closed_record_writes_and_what_was_typed_is_kept(
    signed_in, patient, clinician, what
):
    page = url("section", patient.pk, "about")
    sent = filled(signed_in, page, **{"about-weight_kg": "68,5"})
    closed(patient, clinician, what)
    lines = Audit.objects.count()
    response = signed_in.post(page, sent)
    html = text_of(response)
    assert response.status_code == 409
    assert "This record is closed. Open it again first." in html
    assert 'value="68,5"' in html
    for name in ("programs:plan_draft", "programs:log_day", "programs:sign", "programs:handout"):
        assert signed_in.post(page_of(name, patient), {"patient": patient.pk}).status_code == 409
    assert Audit.objects.count() == lines
    again = Inputs(html).sent
    opens = filled(signed_in, url("close", patient.pk), reason="Back", open="1")
    signed_in.post(url("close", patient.pk), opens)
    assert signed_in.post(page, again).status_code == 302
    assert SizeRow.objects.get().weight_kg == 68.5


# --- joined -------------------------------------------------------------------------------


def test_i06_the_pages_lead_from_the_proposal_to_the_join(signed_in, double, patient):
    html = text_of(signed_in.get(url("join_choose", double.pk)))
    page = url("join", double.pk, patient.pk)
    assert page in html
    found = text_of(
        signed_in.post(url("join_choose", double.pk), {"q": "o'grady", "patient": double.pk})
    )
    assert page in found
    html = text_of(signed_in.get(page))
    for words in ("Anne Ogrady", "Ann O'Grady", "Falls: Falls in the last 12 months", "hip"):
        assert words in html
    assert "checked" not in html.split("What differs")[1]


def test_a_join_by_its_page_twice_sent(signed_in, double, patient):
    page = url("join", double.pk, patient.pk)
    clashes = Pair.of(patient, double, timezone.localdate()).clashes()
    chosen = {clash.name: THERE for clash in clashes}
    sent = filled(signed_in, page, reason="Her daughter's word") | chosen
    first = signed_in.post(page, sent)
    assert first.url == url("joined", patient.pk)
    assert signed_in.post(page, sent).status_code == 409
    row = Join.objects.get()
    assert row.reason == "Her daughter's word"
    assert FractureRow.objects.filter(patient=patient).count() == 1
    patient.refresh_from_db()
    assert patient.name == "Anne Ogrady"


def test_a_choice_left_open_is_asked_for_and_the_others_stay(signed_in, double, patient):
    page = url("join", double.pk, patient.pk)
    sent = filled(signed_in, page, **{"who:given_name": THERE, "reason": "Same O'Grady"})
    response = signed_in.post(page, sent)
    html = text_of(response)
    assert response.status_code == 422
    assert "Choose one." in html
    assert "Same O'Grady" in html
    assert Inputs(html).sent["who:given_name"] == [THERE]
    assert not Join.objects.exists()


def test_a_record_changed_since_the_preview_is_shown_anew(signed_in, double, patient):
    page = url("join", double.pk, patient.pk)
    clashes = Pair.of(patient, double, timezone.localdate()).clashes()
    sent = filled(signed_in, page, reason="Same") | {clash.name: HERE for clash in clashes}
    AssessmentFactory(patient=patient, answers={"falls": {"last_12_months": 7}})
    response = signed_in.post(page, sent)
    html = text_of(response)
    assert response.status_code == 409
    assert "was changed after you had opened this" in html
    assert f"7 (id {patient.pk})" in html
    assert not Join.objects.exists()
    assert signed_in.post(page, Inputs(html).sent).status_code == 302


def test_a_join_of_records_that_cannot_be_joined_says_why(signed_in, joined, double, patient):
    third = PatientFactory()
    for one, other in ((third, double), (patient, third), (third, third)):
        response = signed_in.get(url("join", one.pk, other.pk), follow=True)
        assert "Please note." in text_of(response)
    assert Join.objects.count() == 1


@pytest.mark.parametrize("name", PAGES)
def test_each_page_of_a_double_leads_to_hers(signed_in, joined, double, patient, name):
    response = signed_in.get(page_of(name, double), follow=True)
    html = text_of(response)
    assert response.redirect_chain == [(page_of(name, patient), 302)]
    assert f"Record {double.pk} is joined to this one" in html
    assert url("kept", double.pk) in html
    banner = html.split('<main id="content"')[0]
    assert "nobody has looked through it" in banner
    assert url("joined", patient.pk) in banner


def test_what_is_kept_under_a_double_stays_readable(signed_in, joined, double, patient):
    html = text_of(signed_in.get(url("kept", double.pk)))
    assert f"is joined to that of {patient.name}" in html
    assert "Hip" in html
    log = text_of(signed_in.get(page_of("programs:log", double), {"kept": "1"}))
    assert f"is joined to that of {patient.name}" in log


def test_nothing_is_posted_to_a_double(signed_in, joined, double, patient):
    lines = Audit.objects.count()
    response = signed_in.post(url("section", double.pk, "falls"), {"patient": double.pk})
    assert response.status_code == 409
    assert url("facts", patient.pk) in text_of(response)
    assert Audit.objects.count() == lines


def test_a_search_for_a_double_leads_to_hers(signed_in, joined, double, patient):
    html = text_of(signed_in.post(url("caseload"), {"q": "anne"}, follow=True))
    assert url("facts", patient.pk) in html
    assert url("facts", double.pk) not in html
    assert f"also on record as Ogrady, Anne, born 14 Aug 1959, id {double.pk}" in html
    assert "Anne" not in text_of(signed_in.get(url("caseload")))
    both = text_of(signed_in.post(url("caseload"), {"q": "ogrady"}, follow=True))
    assert both.count(url("facts", patient.pk)) == 1


def test_looking_through_needs_every_tick(signed_in, joined, patient):
    page = url("joined", patient.pk)
    html = text_of(signed_in.get(page))
    for words in ("Same address", "Hip", "Falls in the last 12 months"):
        assert words in html
    address = url("looked", patient.pk, joined.pk)
    ticks = {f"join{joined.pk}-{name}": "on" for name in TICKS}
    sent = Inputs(html).sent | {f"join{joined.pk}-note": "Asked O'Hara"}
    for name in TICKS:
        some = {key: on for key, on in ticks.items() if not key.endswith(name)}
        response = signed_in.post(address, sent | some)
        assert response.status_code == 422
        assert "Look at it, then tick it." in text_of(response)
        assert "Asked O'Hara" in text_of(response)
    for _ in range(2):
        assert signed_in.post(address, sent | ticks).status_code == 302
    assert LookedThrough.objects.get().note == "Asked O'Hara"
    after = text_of(signed_in.get(url("facts", patient.pk)))
    assert "nobody has looked through" not in after
    assert "Another record is joined to this one." in after


def test_i06_taken_apart_by_its_page(signed_in, double, patient, clinician):
    pair = Pair.of(patient, double, timezone.localdate())
    row = join_records(
        double=double, into=patient, choices={one.name: THERE for one in pair.clashes()},
        seal=pair.seal, reason="Same", by=clinician, at=timezone.now(),
    )  # fmt: skip
    page = url("apart", patient.pk, row.pk)
    html = text_of(signed_in.get(page))
    assert "Strike out: bone hip" in html
    assert "was “Ann” before" in html
    assert signed_in.post(page, filled(signed_in, page)).status_code == 422
    sent = filled(signed_in, page, reason="Cousins")
    assert signed_in.post(page, sent).status_code == 302
    assert signed_in.post(page, sent).status_code == 302
    assert Join.objects.count() == 2
    assert FractureRow.objects.get(patient=patient).withdrawn_at is not None
    assert signed_in.get(url("facts", double.pk)).status_code == 200
    told = text_of(signed_in.get(url("joined", patient.pk)))
    assert "Cousins" in told
    assert "was “Ann” before" in told


def test_a_join_of_another_person_is_not_found(signed_in, joined):
    other = PatientFactory()
    for name in ("looked", "apart"):
        assert (
            signed_in.post(url(name, other.pk, joined.pk), {"patient": other.pk}).status_code == 404
        )


# --- possible doubles ---------------------------------------------------------------------


def test_possible_doubles_are_listed_until_somebody_says(signed_in, double, patient):
    PossibleDouble.objects.create(one=double, other=patient)
    html = text_of(signed_in.get(url("doubles")))
    assert url("join", patient.pk, double.pk) in html
    ids = {"one": double.pk, "other": patient.pk, "token": uuid4()}
    refused = signed_in.post(url("doubles"), ids | {"reason": " "})
    assert refused.status_code == 422
    assert "Say how you know that they are two people." in text_of(refused)
    for _ in range(2):
        assert signed_in.post(url("doubles"), ids | {"reason": "Twins"}).status_code == 302
    assert TwoPeople.objects.get().reason == "Twins"
    assert "Nobody appears to be" in text_of(signed_in.get(url("doubles")))
    assert signed_in.post(url("doubles"), {"one": "x", "other": "1"}).status_code == 404


def test_the_list_of_possible_doubles_is_paged(signed_in):
    one = PatientFactory()
    for _ in range(51):
        PossibleDouble.objects.create(one=one, other=PatientFactory())
    html = text_of(signed_in.get(url("doubles")))
    assert html.count("look at both and join") == 50
    more = html.split('href="?before=')[1].split('"')[0]
    assert text_of(signed_in.get(url("doubles"), {"before": more})).count("look at both") == 1


def test_everybody_entered_is_findable_and_nothing_else_is_written(signed_in):
    new = {"given_name": "Ann", "family_name": "O'Hara", "born": "1950-01-01", "sex": "female"}
    signed_in.post(url("new"), new | {"token": uuid4()})
    assert Findable.objects.get().patient == Patient.objects.get()
    assert not Assessment.objects.exists()
