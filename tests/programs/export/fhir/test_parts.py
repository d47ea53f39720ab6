"""Ids, dates, codes and quantities of FHIR."""

from __future__ import annotations

import uuid

import pytest

from programs.export.fhir.parts import (
    NAMESPACE,
    Ids,
    NotAFhirDate,
    date,
    moment,
    notes,
    quantity,
    uuid_of,
)


@pytest.mark.parametrize("name", ["", "patient/1", "Zoë"])
def test_a_name_has_the_uuid_that_the_standard_gives_it(name: str) -> None:
    assert uuid_of(name) == str(uuid.uuid5(uuid.UUID(NAMESPACE), name))


def test_two_clinics_never_share_an_id_and_one_keeps_its_own() -> None:
    here, there = Ids("a" * 64), Ids("b" * 64)
    assert here.of("patient", 1) == Ids("a" * 64).of("patient", 1)
    assert len({here.of("patient", 1), here.of("scan.t", 1), there.of("patient", 1)}) == 3
    assert here.reference("patient", 1) == {"reference": f"urn:uuid:{here.of('patient', 1)}"}


@pytest.mark.parametrize("text", ["1972", "1972-03", "1972-03-23", "2024-02-29"])
def test_a_day_a_month_or_a_year_is_a_date(text: str) -> None:
    assert date(text) == text


@pytest.mark.parametrize(
    "text",
    [
        *("1972-3-23", "1972-03-32", "2023-02-29", "1972-13", "72", "", "1972-03-23T00:00:00Z"),
        *("1972-03-23 ", "23.3.1972", "0000", "١٩٧٢"),
    ],
)
def test_m07_a_malformed_date_is_refused(text: str) -> None:
    with pytest.raises(NotAFhirDate):
        date(text)


@pytest.mark.parametrize("text", ["2026-03-02T09:30:00Z", "2026-03-02T09:30:00.000007Z"])
def test_a_moment_has_its_zone(text: str) -> None:
    assert moment(text) == text


@pytest.mark.parametrize(
    "text", ["2026-03-02", "2026-03-02T09:30:00", "2026-02-30T09:30:00Z", "2026-03-02T25:30:00Z"]
)
def test_a_moment_without_a_zone_or_that_never_was_is_refused(text: str) -> None:
    with pytest.raises(NotAFhirDate):
        moment(text)


def test_a_number_with_its_unit() -> None:
    told = quantity("-2.10", "1", "T-score")
    assert told["value"] == -2.1
    assert repr(quantity("520.000", "ng/L", "ng/L")["value"]) == "520"


def test_notes_that_say_nothing_are_left_out() -> None:
    assert notes(("", " ")) == {}
    assert notes(("", "Scanner A")) == {"note": [{"text": "Scanner A"}]}
