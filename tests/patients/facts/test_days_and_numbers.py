"""Complaints that users of other kinds of software made in public, held against this one.

Each test is named by the complaint's row. Other rows are tests of the modules they touch and
carry their row in the docstring.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from zoneinfo import ZoneInfo

import pytest
from django.contrib.auth.models import User
from django.utils import timezone

from patients.facts.ages import age_on
from patients.facts.declared import Scan
from patients.facts.units import NotANumber, parse_number, parse_whole
from patients.measured.density import density
from programs.actions.sessions import log_session
from programs.review.adherence import Session
from safety.findings import Modality
from tests.people import steady
from tests.programs import rows


def test_a01_nobody_is_a_year_older_on_a_leap_day() -> None:
    """A01: the age was a year too high where today is 29 February."""
    assert age_on(dt.date(2003, 3, 1), dt.date(2024, 2, 29)) == 20
    assert age_on(dt.date(2003, 3, 1), dt.date(2024, 3, 1)) == 21


@pytest.mark.parametrize(
    ("day", "age"),
    [(dt.date(2025, 2, 28), 76), (dt.date(2025, 3, 1), 77), (dt.date(2024, 2, 29), 76)],
)
def test_a03_a_leap_day_birthday_has_one_policy(day: dt.date, age: int) -> None:
    """A03: born on 29 February; the birthday is 1 March in common years."""
    assert age_on(dt.date(1948, 2, 29), day) == age


@pytest.mark.django_db
@pytest.mark.parametrize("fold", [0, 1])
def test_a11_a_session_is_kept_in_the_hour_that_comes_twice(clinician: User, fold: int) -> None:
    """A11: a form refused a time in the repeated hour. Sessions have a day and no hour here."""
    london = ZoneInfo("Europe/London")
    at = dt.datetime(2026, 10, 25, 1, 30, fold=fold, tzinfo=london)
    with timezone.override(london):
        signed = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
        session = Session(on=at.date(), modality=Modality.BALANCE, done="all")
        row = log_session(patient=signed.patient, session=session, by=clinician, at=at)
    row.refresh_from_db()
    assert row.on == dt.date(2026, 10, 25)
    assert row.entered_at == at.astimezone(dt.UTC)


@pytest.mark.parametrize(
    ("reported", "score", "category"),
    [
        (-2.46, -2.5, "osteoporosis"),
        (-2.45, -2.5, "osteoporosis"),
        (-2.44, -2.4, "low_bone_mass"),
    ],
)
def test_b11_what_is_shown_and_what_is_decided_agree(
    reported: float, score: float, category: str
) -> None:
    """B11: "0.80 fails the threshold 0.80". T is read at one decimal, as it is printed."""
    scan = Scan(date=dt.date(2026, 1, 20), site="femoral_neck", t=reported)
    found = density(replace(steady(), scans=(scan,)))
    assert (found.score, found.category) == (score, category)


@pytest.mark.parametrize("text", ["1e3", "1E3", "0x10", "1_000", "٣"])
def test_b15_numbers_are_written_in_figures_alone(text: str) -> None:
    """B15: scientific and odd figures were taken for numbers."""
    with pytest.raises(NotANumber):
        parse_whole(text)


def test_b15_full_width_figures_are_read_as_what_they_are() -> None:
    """B15: figures of full width are normalised."""
    assert parse_whole("12") == 12
    assert parse_number("68,5") == 68.5
