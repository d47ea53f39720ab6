"""The list of everyone and the search on the page: posted terms, pages, who is not shown."""

import datetime as dt
import logging
from urllib.parse import urlsplit

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from patients.actions.closing import close_record
from tests.factories import MOMENT, PatientFactory, UserFactory
from tests.patients.pages import text_of, url

pytestmark = [pytest.mark.django_db, pytest.mark.long, pytest.mark.database]


def searched(client, query, **more):
    return client.post(url("caseload"), {"q": query, **more}, follow=True)


def names_in(html):
    return [part.split("</a>")[0] for part in html.split('/facts/">')[1:]]


def test_c03_the_search_finds_without_accents(signed_in):
    PatientFactory(family_name="Mu\u00f1oz")
    PatientFactory(family_name="Other")
    html = text_of(searched(signed_in, "munoz"))
    assert "Mu\u00f1oz" in html
    assert "Other" not in html


def test_no_term_of_a_search_stands_in_an_address(signed_in):
    for _ in range(60):
        PatientFactory(family_name="Secretname")
    for page in (url("caseload"), "/"):
        html = text_of(signed_in.get(page))
        assert f'<form method="post" action="{url("caseload")}" class="search"' in html
    response = searched(signed_in, "secretname")
    assert response.status_code == 200
    html = text_of(response)
    linked = [part.split('"')[0] for part in html.split('href="')[1:]]
    assert [href for href in linked if "secret" in href.lower()] == []
    assert 'name="q" value="secretname"' in html
    assert text_of(signed_in.get(url("caseload"), {"q": "nobody of this name"})).count("<tr>") > 50


def test_no_term_of_a_search_stands_in_a_log_line(signed_in, caplog, monkeypatch):
    def failing(*_, **__):
        raise RuntimeError("broken")

    monkeypatch.setattr("patients.views.everyone.found", failing)
    signed_in.raise_request_exception = False
    with caplog.at_level(logging.DEBUG):
        assert searched(signed_in, "secretname").status_code == 500
    assert caplog.records
    for record in caplog.records:
        assert "secretname" not in record.getMessage()


def test_what_is_found_has_an_address_of_its_own_that_names_nobody(signed_in):
    """Back and Reload ask for it again; it is this session's alone."""
    PatientFactory(family_name="Secretname")
    PatientFactory(family_name="Other")
    answer = signed_in.post(url("caseload"), {"q": "secretname", "closed": "on"})
    assert answer.status_code == 302
    assert "secretname" not in answer.url.lower()
    for _ in range(2):
        html = text_of(signed_in.get(answer.url))
        assert names_in(html) == ["Secretname, " + html.split("Secretname, ")[1].split("<")[0]]
        assert 'name="closed" checked' in html
    for _ in range(20):
        signed_in.post(url("caseload"), {"q": "other"})
    assert "That search has expired" in text_of(signed_in.get(answer.url))
    assert signed_in.post(url("caseload"), {"closed": "on"}).url == url("caseload") + "?closed=on"


def test_the_found_are_paged(signed_in):
    for n in range(51):
        PatientFactory(given_name=f"Fictia{n:02}", family_name="Crowd")
    first = text_of(searched(signed_in, "crowd"))
    assert "Page 1 of 2" in first
    assert len(names_in(first)) == 50
    following = url("caseload") + first.split("Next page")[0].rsplit('href="', 1)[1].split('"')[0]
    second = text_of(signed_in.get(following))
    assert "Page 2 of 2" in second
    assert names_in(second) == ["Crowd, Fictia50"]
    assert "Page 2 of 2" in text_of(signed_in.get(following.replace("page=2", "page=99")))
    assert "Page 1 of 2" in text_of(signed_in.get(following.replace("page=2", "page=x")))


def test_nobody_found_and_nothing_to_look_for(signed_in):
    PatientFactory(family_name="Example")
    assert "Nobody found for “zzz”" in text_of(searched(signed_in, "zzz"))
    assert "Nothing to search for in “''”" in text_of(searched(signed_in, "''"))
    assert "Everyone by family name" in text_of(searched(signed_in, " "))


def test_who_is_found_by_a_slip_is_told_apart(signed_in):
    PatientFactory(family_name="Hansson")
    assert "Found: 1, of whom 1 differs by a slip" in text_of(searched(signed_in, "hanson"))
    assert "by a slip" not in text_of(searched(signed_in, "hansson"))


def test_i07_everyone_is_listed_once_by_name_fifty_at_a_time(signed_in):
    people = [PatientFactory(given_name="Same", family_name="Same") for _ in range(120)]
    seen, page = [], url("caseload")
    while True:
        html = text_of(signed_in.get(page))
        seen.append([int(href.split("/")[0]) for href in html.split('href="/patients/')[1:]
                     if href.split("/")[0].isdecimal()])  # fmt: skip
        if "Later names" not in html:
            break
        page = url("caseload") + html.split("Later names")[0].rsplit('href="', 1)[1].split('"')[0]
    assert [len(part) for part in seen] == [50, 50, 20]
    assert sorted(pk for part in seen for pk in part) == sorted(one.pk for one in people)
    back = url("caseload") + f"?before={seen[2][0]}"
    html = text_of(signed_in.get(back))
    assert f"?before={seen[1][0]}" in html
    assert f"?after={seen[1][-1]}" in html
    assert "Earlier names" not in text_of(signed_in.get(url("caseload"), {"before": seen[1][0]}))


@pytest.mark.parametrize("place", ["x", "999999", "9" * 30, "-1"])
def test_a_place_that_there_is_not_gives_the_first_page(signed_in, place):
    PatientFactory(family_name="Example")
    assert "Example" in text_of(signed_in.get(url("caseload"), {"after": place}))


def test_the_list_counts_nobody_and_begins_where_the_index_does(signed_in):
    people = [PatientFactory(family_name=f"Example{n}") for n in range(3)]
    for sent in ({}, {"after": people[1].pk}, {"closed": "on"}):
        with CaptureQueriesContext(connection) as captured:
            signed_in.get(url("caseload"), sent)
        sql = [query["sql"] for query in captured if "patients_findable" in query["sql"]]
        assert sql
        assert not any("COUNT(" in one for one in sql)
        assert "LIMIT 51" in sql[-1] or "LIMIT 51" in sql[-2]


def test_closed_people_are_shown_only_where_asked_for(signed_in):
    patient = PatientFactory(family_name="Goneaway")
    close_record(patient=patient, what="moved", on=dt.date(2026, 2, 1), by=UserFactory(), at=MOMENT)
    assert "Goneaway" not in text_of(signed_in.get(url("caseload")))
    assert "Nobody found" in text_of(searched(signed_in, "goneaway"))
    html = text_of(searched(signed_in, "goneaway", closed="on"))
    assert "Closed: moved away on 1 Feb 2026" in html
    assert 'name="closed" checked' in html
    everyone = text_of(signed_in.get(url("caseload"), {"closed": "on"}))
    assert "Closed: moved away on 1 Feb 2026" in everyone


def test_a_search_after_the_session_has_lapsed_is_offered_again(client):
    response = client.post(url("caseload"), {"q": "smith"}, headers={"origin": "http://testserver"})
    assert response.status_code == 401
    assert "smith" in text_of(response)
    assert urlsplit(response.request["PATH_INFO"]).query == ""
