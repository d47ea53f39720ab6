"""A simulated year: nothing restarts above what was done, and what stops is not handed out."""

import sys

import pytest
from django.contrib.auth.models import User

from programs.actions import papers
from tests.programs.simulated_year import simulate

pytestmark = [pytest.mark.django_db, pytest.mark.slow]
#: Whose balance once began a half year with more minutes than were done: her other lifts, shorter,
#: left her more time.
FOUND = (34,)


def test_nobody_is_hurt_by_the_loop(
    clinician: User, monkeypatch: pytest.MonkeyPatch, request: pytest.FixtureRequest
) -> None:
    """Few people here; `./check --campaign` lives the year of 200."""
    people = {*range(request.config.getoption("people")), *FOUND}
    monkeypatch.setattr(papers, "pdf", lambda *_, **__: b"%PDF")
    year = simulate(clinician, people)
    told = f"a simulated year: {dict(sorted(year.counts.items()))}, {len(year.wrong)} breaches"
    sys.stdout.write(f"{told}\n")
    assert year.wrong == []
    assert year.counts["people"] == len(people)
    # What is looked at has to have happened.
    assert year.counts["reviews"] > len(people)
    assert year.counts["papers"] >= len(people)
    assert year.counts["weeks ill"] > 0
