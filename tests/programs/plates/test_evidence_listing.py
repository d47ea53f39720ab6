"""The list of trials and pooled analyses: filtered, sorted, and honest about both."""

from __future__ import annotations

import pytest

from patients.facts import codes
from programs.plates.evidence import POOLED, TRIALS, Checked
from programs.plates.evidence.listing import CERTAINTIES, CHECKS, ORDERS, Choice, Listed, listed


def names(rows: tuple[Listed, ...]) -> list[str]:
    return [row.citation.partition(",")[0] for row in rows]


def test_everything_is_listed_unless_less_is_asked_for() -> None:
    rows = listed(Choice())
    assert len(rows) == len(TRIALS) + len(POOLED)
    assert sum(row.pooled for row in rows) == len(POOLED)


@pytest.mark.parametrize("aim", sorted(codes.AIMS))
def test_by_aim_only_its_results_are_shown(aim: str) -> None:
    for row in listed(Choice(aim=aim)):
        assert row.retracted_on or row.results
        assert all(aim in result.aims for result in row.results)


@pytest.mark.parametrize("motion", sorted(codes.MOTIONS))
def test_by_kind_of_plate_no_pooled_analysis_stands(motion: str) -> None:
    rows = listed(Choice(motion=motion))
    assert rows
    assert all(motion in row.motions and not row.pooled for row in rows)


@pytest.mark.parametrize("certainty", sorted(CERTAINTIES))
def test_by_certainty(certainty: str) -> None:
    rows = listed(Choice(certainty=certainty))
    shown = {result.certainty for row in rows for result in row.results}
    assert shown
    assert all(one.startswith(CERTAINTIES[certainty]) for one in shown)
    pooled = {row.pooled for row in rows if row.results}
    assert pooled == {certainty != "trial"}


def test_high_certainty_holds_the_one_review_that_grades_so() -> None:
    rows = [row for row in listed(Choice(certainty="high")) if row.results]
    assert names(tuple(rows)) == ["de Oliveira 2023"]


@pytest.mark.parametrize("word", sorted(CHECKS))
def test_by_how_it_is_known(word: str) -> None:
    for row in listed(Choice(checked=word)):
        assert all(result.checked is CHECKS[word] for result in row.results)
        assert CHECKS[word] in row.checked
    assert listed(Choice(checked=word))


def test_from_memory_alone_holds_no_checked_trial_without_a_result_from_memory() -> None:
    found = names(listed(Choice(checked="memory")))
    assert "Slatkovska 2011" in found
    assert "Gusi 2006" not in found
    assert "Iwamoto 2005" not in found


@pytest.mark.parametrize("choice", [Choice(), Choice(aim="hip"), Choice(certainty="high")])
def test_the_retracted_trial_is_listed_with_no_result(choice: Choice) -> None:
    """Retraction note of 22 October 2019, doi 10.1007/BF03324589."""
    (row,) = (row for row in listed(choice) if row.retracted_on)
    assert row.citation.startswith("Iwamoto 2005")
    assert row.results == ()
    assert row.checked == frozenset({Checked.CHECKED})


def test_a_printed_g_that_does_not_follow_is_flagged() -> None:
    flagged = [row for row in listed(Choice()) if row.off]
    assert names(tuple(flagged)) == ["Verschueren 2004"]
    assert "printed: 2.28 g" in flagged[0].off[0]


def test_orders() -> None:
    assert set(ORDERS) == {"author", "year", "people", "months"}
    by_author = names(listed(Choice()))
    assert by_author == sorted(by_author, key=str.casefold)
    years = [row.year for row in listed(Choice(order="year"))]
    assert years == sorted(years, reverse=True)
    assert years[0] == 2025
    people = [row.people or 0 for row in listed(Choice(order="people"))]
    assert people == sorted(people, reverse=True)
    months = [row.months or 0 for row in listed(Choice(order="months"))]
    assert months == sorted(months, reverse=True)


def test_two_words_narrow_further() -> None:
    both = listed(Choice(aim="falls", motion="low_magnitude"))
    assert names(both) == ["Leung 2014"]
