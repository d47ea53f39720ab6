"""Near-falls, illness and the breaks that it explains, in words."""

from datetime import timedelta

from programs.review.adherence import Gap
from programs.review.near_falls_and_illness import told_beside
from safety.findings import Modality
from tests.programs.logs import START, session


def test_nothing_told_is_nothing_said() -> None:
    found = told_beside([session(ill=False, near_fall=None)], {})
    assert (found.near_falls, found.ill, found.breaks) == ("", "", ())


def test_days_are_told_once_and_in_runs() -> None:
    days = [START + timedelta(days=n) for n in (5, 0, 1, 1)]
    log = [session(on, ill=True) for on in days] + [session(START, near_fall=True)]
    found = told_beside(log, {})
    assert found.ill == "Ill: 3 days (2 Mar 2026 to 3 Mar 2026, 7 Mar 2026)."
    assert found.near_falls == "Near-falls, no fall: 1 day (2 Mar 2026)."


def test_a_break_names_the_illness_within_it() -> None:
    log = [session(START + timedelta(days=n), ill=True) for n in (3, 12)]
    first = Gap(since=START, until=START + timedelta(days=1), still_open=False)
    second = Gap(since=START + timedelta(days=2), until=START + timedelta(days=10), still_open=True)
    found = told_beside(log, {Modality.BALANCE: [first, second], Modality.PLATE: []})
    assert found.breaks == ("Balance: break of 8 days from 4 Mar 2026, ill on 1 of them.",)


def test_a_break_of_one_day() -> None:
    gap = Gap(since=START, until=START + timedelta(days=1), still_open=False)
    found = told_beside([session(START, ill=True)], {Modality.PLATE: [gap]})
    assert found.breaks == ("Plate: break of 1 day from 2 Mar 2026, ill on 1 of them.",)
