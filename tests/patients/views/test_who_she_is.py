"""Two people of one name, an age that was told, the name she goes by, sex and gender."""

import datetime as dt
import re
from html import unescape
from uuid import uuid4

import pytest
from django.utils import timezone

from patients.actions.joining import join_records
from patients.joining import HERE, Pair
from patients.models.patient import Patient
from patients.rows_to_facts import facts_of
from tests.factories import FunctionTestDayFactory, PatientFactory
from tests.patients.pages import filled, url
from tests.patients.views.test_people_and_facts import NEW

pytestmark = [pytest.mark.django_db, pytest.mark.long]


def add(client, **typed):
    client.post(url("new"), NEW | {"token": uuid4()} | typed)
    return Patient.objects.order_by("-pk").first()


def words_of(response):
    """Return a page's text as it reads, without its tags."""
    return " ".join(unescape(re.sub(r"<[^>]+>", "", response.content.decode())).split())


def page(client, patient):
    return words_of(client.get(url("facts", patient.pk)))


# --- Two people of one name and birth date ----------------------------------------------------


def test_two_people_of_one_name_and_birth_date_are_asked_about_and_never_refused(signed_in):
    add(signed_in, record_number="A-1")
    asked = signed_in.post(url("new"), NEW | {"record_number": "A-2", "token": uuid4()})
    assert asked.status_code == 409
    assert "This person may be on record already." in words_of(asked)
    assert Patient.objects.count() == 1
    other = add(signed_in, record_number="A-2", reason="Her twin, seen together")
    assert (Patient.objects.count(), other.record_number) == (2, "A-2")


def test_the_banner_tells_two_of_one_name_apart_by_record_number(signed_in):
    one = add(signed_in, record_number="A-1")
    other = add(signed_in, record_number="A-2", reason="Her twin, seen together")
    for here, there in ((one, other), (other, one)):
        told = page(signed_in, here)
        assert "Another person is called Ann Fictional, born 1 Jan 1950." in told
        assert f"Record number {here.record_number} here, {there.record_number} there." in told
        assert "Written down: Her twin, seen together" in told
        assert f"Go to id {there.pk}" in told


def test_without_record_numbers_the_banner_says_what_was_written_and_their_ids(signed_in):
    one = add(signed_in)
    other = add(signed_in, reason="Lives in Larkmere, this one in Elmford")
    told = page(signed_in, one)
    assert f"Tell them apart by id: {one.pk} here, {other.pk} there." in told
    assert "Written down: Lives in Larkmere, this one in Elmford" in told


def test_a_namesake_of_whom_nobody_said_so_is_told_as_well(signed_in):
    one = PatientFactory(given_name="Zoé", family_name="O’Nym", record_number="")
    other = PatientFactory(given_name="ZOE", family_name="O'Nym", record_number="")
    told = page(signed_in, one)
    assert f"id: {one.pk} here, {other.pk} there. Nobody has said yet that they are two" in told


@pytest.mark.parametrize(
    "other, told",
    [
        ({"born": dt.date(1950, 1, 1), "born_is": "year"}, True),
        ({"born": dt.date(1950, 1, 2)}, False),
        ({"born": dt.date(1951, 1, 1), "born_is": "year"}, False),
        ({"family_name": "Fictionall"}, False),
    ],
)
def test_the_banner_warns_exactly_where_name_and_birth_may_be_one(signed_in, other, told):
    one = add(signed_in)
    PatientFactory(**{"given_name": "Ann", "family_name": "Fictional", "born": one.born} | other)
    assert ("Another person is called" in page(signed_in, one)) is told


def test_what_stands_under_her_own_record_is_nobody_else(signed_in, clinician):
    one, double = (PatientFactory(given_name="Ann", record_number="") for _ in range(2))
    assert "Another person is called" in page(signed_in, one)
    now = timezone.now()
    pair = Pair.of(one, double, timezone.localdate(now))
    reached = {"seal": pair.seal, "choices": {clash.name: HERE for clash in pair.clashes()}}
    why = {"reason": "Entered twice", "by": clinician, "at": now}
    join_records(into=one, double=double, **reached, **why)
    assert "Another person is called" not in page(signed_in, one)
    kept = words_of(signed_in.get(url("kept", double.pk)))
    assert "Another person is called" not in kept


# --- An age that was told ---------------------------------------------------------------------


def test_an_age_told_as_about_70_is_read_said_and_kept_as_an_estimate(signed_in):
    her = add(signed_in, born="about 70")
    year = timezone.localdate().year - 70
    assert (her.born, her.born_is, her.born_estimated) == (dt.date(year, 1, 1), "year", True)
    assert facts_of(her, timezone.localdate()).person.born == dt.date(year, 1, 1)
    told = page(signed_in, her)
    assert f"born about {year} (estimated)" in told
    change = url("change", her.pk)
    assert filled(signed_in, change)["born"] == [f"about {year}"]
    assert f"born about {year}, a year estimated from the age" in words_of(signed_in.get(change))


def test_saving_the_form_again_keeps_the_estimate_and_a_date_ends_it(signed_in):
    her = add(signed_in, born="about 70")
    year = her.born.year
    signed_in.post(url("change", her.pk), filled(signed_in, url("change", her.pk)))
    her.refresh_from_db()
    assert (her.born_estimated, her.version) == (True, 2)
    sent = filled(signed_in, url("change", her.pk)) | {"born": f"29 Feb {year - year % 4}"}
    signed_in.post(url("change", her.pk), sent)
    her.refresh_from_db()
    assert (her.born_estimated, her.born_is) == (False, "day")


def test_a_bare_age_is_asked_about_beside_its_field_and_nothing_is_lost(signed_in):
    told = signed_in.post(url("new"), NEW | {"born": "70", "token": uuid4()})
    assert "write it like “about 70”" in words_of(told)
    assert 'value="Ann"' in told.content.decode()
    assert not Patient.objects.exists()


# --- The name she goes by ---------------------------------------------------------------------


def test_the_name_she_goes_by_stands_in_the_banner_and_finds_her(signed_in):
    her = add(signed_in, goes_by="Nan O'Fee")
    assert "Ann Fictional goes by Nan O'Fee" in page(signed_in, her)
    found = signed_in.post(url("caseload"), {"q": "ofee"}, follow=True)
    assert "Fictional, Ann" in words_of(found)


# --- Sex and gender ---------------------------------------------------------------------------


def test_where_sex_and_gender_differ_the_tables_are_asked_for(signed_in):
    sent = NEW | {"gender": "man", "token": uuid4()}
    asked = signed_in.post(url("new"), sent)
    assert "Say by which risk tables to read" in words_of(asked)
    assert not Patient.objects.exists()
    him = add(signed_in, gender="man", table_sex="male")
    assert (him.sex, him.gender, him.table_sex) == ("female", "man", "male")
    told = page(signed_in, him)
    assert "female, gender: man" in told
    assert "risk tables for men" in told


def test_the_tables_are_shown_where_they_are_used(signed_in):
    him = add(signed_in, gender="man", table_sex="male", born="1960-01-01")
    FunctionTestDayFactory(patient=him)
    measures = words_of(signed_in.get(url("measures", him.pk)))
    assert "compared with the risk tables for men" in measures
    assert "Risk tables for men" in words_of(signed_in.get(url("section", him.pk, "fractures")))
    risk = words_of(signed_in.get(f"/patients/{him.pk}/risk/"))
    assert "Risk tables: for men, for chair stands and grip." in risk
    assert "Every other rule goes by the sex on record, female." in risk


def test_nothing_of_it_is_asked_or_said_of_anybody_else(signed_in):
    her = add(signed_in)
    told = page(signed_in, her)
    assert "risk tables" not in told.lower()
    assert "gender" not in told
    assert facts_of(her, timezone.localdate()).person.table_sex is None
