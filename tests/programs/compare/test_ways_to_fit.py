"""Ways to fit the week: which there are, that none passes the time, what each gains and loses."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import HealthCheck, given, settings

from patients.facts.declared import Facts
from patients.facts.document import read
from programs.compare import changed_facts as changed
from programs.compare.numbers_of_each_way import differences, left_out, numbers, verdict
from programs.compare.table_of_ways import beyond_time, table
from programs.compare.two_sessions_a_day import bouts
from programs.compare.ways_to_fit import Fit, find_fits
from programs.draft.days import gap_days
from programs.draft.draft import draft
from programs.draft.standings import weeks_named
from programs.week.week import WEEK
from safety.findings import Modality
from safety.screen import Status
from tests.documents import Document, documents
from tests.people import steady

TIMES = [
    (("tue", "fri"), 20),
    (("mon", "wed", "fri"), 30),
    (("mon", "tue", "wed", "thu", "fri", "sat"), 50),
    (WEEK, 15),
    (("sun",), 200),
]


def with_time(days: tuple[str, ...] | None, minutes: int | None) -> Facts:
    return changed.with_resources(steady(), days=days, minutes_per_day=minutes)


def by_code(facts: Facts) -> dict[str, Fit]:
    return {fit.code: fit for fit in find_fits(facts)}


def hold_to_their_time(facts: Facts) -> None:
    """Hold each way to its own days and minutes, and to the days that must lie apart."""
    for fit in find_fits(facts):
        assert len(fit.made.weeks) == len(fit.made.fitted)
        for number, week in enumerate(fit.made.fitted, start=1):
            assert set(week.minutes_on) == set(fit.days)
            assert max(week.minutes_on.values(), default=0) <= fit.minutes_a_day
            assert fit.longest_min(number) <= fit.minutes_a_day
            lifted = week.days.get(Modality.RESISTANCE, ())
            assert all(gap_days(a, b) >= 2 for a, b in combinations(lifted, 2))
            for day in fit.sessions(number) if number in (1, 26) else ():
                assert sum(day.minutes) <= week.minutes_on[day.day] + 0.11


@pytest.mark.parametrize(("days", "minutes"), TIMES)
def test_no_way_passes_the_time_it_takes(days: tuple[str, ...], minutes: int) -> None:
    """48 hours between lifting sessions: common practice."""
    hold_to_their_time(with_time(days, minutes))


@pytest.mark.slow
@settings(max_examples=25, suppress_health_check=[HealthCheck.too_slow])
@given(documents)
def test_no_way_passes_it_for_anybody(document: Document) -> None:
    facts = read(document)
    assert isinstance(facts, Facts)
    hold_to_their_time(facts)


@pytest.mark.parametrize(("days", "minutes"), TIMES)
def test_the_first_is_the_draft_itself_and_the_same_minutes_stay_the_same(
    days: tuple[str, ...], minutes: int
) -> None:
    facts = with_time(days, minutes)
    found = by_code(facts)
    now = found["now"]
    assert now.made == draft(facts)
    assert (now.days, now.minutes_a_day) == (days, minutes)
    assert found["two"].made == now.made
    for code, step in (("fewer", -1), ("shorter", 1)):
        if (fit := found.get(code)) is not None:
            assert len(fit.days) == len(days) + step
            assert now.minutes_a_week - len(fit.days) < fit.minutes_a_week <= now.minutes_a_week


def test_which_ways_there_are() -> None:
    every = ("now", "two", "day", "minutes", "fewer", "shorter")
    assert tuple(by_code(with_time(("tue", "fri"), 20))) == every
    assert tuple(by_code(with_time(WEEK, 240))) == ("now", "two")
    assert tuple(by_code(with_time(("mon",), 1))) == ("now", "two", "day", "minutes")


def test_the_day_that_goes_leaves_the_others_even() -> None:
    assert by_code(with_time(("mon", "tue", "thu"), 20))["fewer"].days == ("mon", "thu")
    assert by_code(with_time(("tue", "mon"), 20))["fewer"].minutes_a_day == 40
    assert "fewer" in by_code(with_time(("mon", "thu"), 120))
    assert "fewer" not in by_code(with_time(("mon", "thu"), 121))


def test_no_day_at_all_gets_one_more_and_nothing_else() -> None:
    found = by_code(with_time((), 30))
    assert tuple(found) == ("now", "day")
    assert found["now"].longest_min(26) == 0
    assert found["now"].sessions(26) == ()
    assert found["day"].days == ("mon",)
    assert table(tuple(found.values()), 26)[1].cells[0].text == "none"


def test_what_is_not_recorded_is_taken_as_drafted() -> None:
    now = by_code(with_time(None, None))["now"]
    assert (now.days, now.minutes_a_day) == (("mon", "wed", "fri"), 30)


def test_where_no_time_would_help_there_is_no_way() -> None:
    assert find_fits(steady(symptoms={"chest_pain": "yes"})) == ()
    out = draft(steady(conditions={"vertigo": "yes"}))
    assert beyond_time(by_code(steady(conditions={"vertigo": "yes"}))["now"]) == (
        (Modality.PLATE, out.standings[Modality.PLATE].status),
    )


def test_nothing_included_has_no_way(monkeypatch: pytest.MonkeyPatch) -> None:
    made = draft(steady())
    held = {m: replace(one, status=Status.ON_HOLD) for m, one in made.standings.items()}
    monkeypatch.setattr(
        "programs.compare.ways_to_fit.draft", lambda *_: replace(made, standings=held)
    )
    assert find_fits(steady()) == ()


# --- Two short sessions ---------------------------------------------------------------------


def test_two_sessions_share_the_impacts_and_shorten_the_longest() -> None:
    found = by_code(with_time(("tue", "fri"), 20))
    now, two = found["now"], found["two"]
    for day in two.sessions(26):
        counts = [[i.impacts for i in each if i.impacts] for each in (day.first, day.second)]
        assert counts == [[30], [20]]
    assert two.longest_min(26) < now.longest_min(26)
    assert numbers(two, 26)["impacts"] == numbers(now, 26)["impacts"] == 100
    for index in ("hip_index", "spine_index"):
        assert numbers(two, 26)[index] > numbers(now, 26)[index]
    assert differences(two, now)[0].planning == (
        "osteogenic index of the hip 20, now 15",
        "osteogenic index of the spine 25, now 18",
    )
    assert verdict(differences(two, now)) == "planning number only"


def test_a_single_set_is_not_shared() -> None:
    found = by_code(with_time(("tue", "fri"), 20))
    for index in ("hip_index", "spine_index"):
        now = numbers(found["now"], 1)[index]
        assert numbers(found["two"], 1)[index] == pytest.approx(now, 0.01)
    assert bouts(found["now"].made.weeks[0].impact) is None


def test_bouts_by_the_hours_between() -> None:
    """About 8 hours: Robling 2001. 74 % after 8, 49 % after 4: Turner and Robling, from memory."""
    part = by_code(with_time(("tue", "fri"), 20))["now"].made.weeks[25].impact
    found = bouts(part)
    assert found is not None
    assert (found.impacts, found.shared, found.sessions) == (50, (30, 20), 2)
    assert [(one.hours, one.percent, one.may_be) for one in found.two] == [
        (1, 15, False),
        (4, 49, False),
        (8, 74, True),
        (12, 86, True),
    ]
    # A stamp, effort 5: 3.08 body weights on one leg, which takes half of the contacts (row 20).
    assert (found.force, found.one.measured) == ("3.08", True)
    assert found.one.spine == pytest.approx(2 * 3.08 * math.log(51))
    assert found.one.hip == pytest.approx(2 * 3.08 * math.log(26))
    after_8_h = 0.736
    assert found.two[2].index.spine == pytest.approx(
        2 * 3.08 * (math.log(31) + after_8_h * math.log(21)), rel=0.001
    )
    assert found.two[2].index.hip == pytest.approx(
        2 * 3.08 * (math.log(16) + after_8_h * math.log(11)), rel=0.001
    )
    assert bouts(None) is None


def test_a_walk_stays_one_walk() -> None:
    """Twenty minutes of brisk walking with vertebral fractures: Brooke-Wavell 2022."""
    facts = changed.with_lowest_t(steady(), -3.6)
    now = by_code(facts)["now"]
    walk = now.made.weeks[25].impact
    assert walk is not None
    assert bouts(walk) is None
    assert numbers(now, 26)["walk"] == walk.sessions * (walk.minutes or 0)
    assert not {"hip_index", "spine_index"} & set(numbers(now, 26))
    for day in now.sessions(26):
        held = [i for i in (*day.first, *day.second) if i.modality is Modality.IMPACT]
        assert len(held) <= 1


# --- What each gains and loses --------------------------------------------------------------


def test_gains_and_losses_in_words() -> None:
    found = by_code(with_time(("tue", "fri"), 20))
    now = found["now"]
    assert differences(now, now) == ()
    assert verdict(()) == "no difference"
    day = {one.modality: one for one in differences(found["day"], now)}
    assert day[Modality.IMPACT].gains[0] == "3 days a week, now 2"
    assert day[Modality.BALANCE].gains == ("room in 26 of the 26 weeks, now none",)
    assert verdict(list(day.values())) == "gains only"
    fewer = {one.modality: one for one in differences(found["fewer"], now)}
    assert fewer[Modality.RESISTANCE].losses[0] == "1 session a week, now 2"
    assert fewer[Modality.PLATE].gains == ("room in 26 of the 26 weeks, now none",)
    assert verdict(list(fewer.values())) == "gains and loses"
    assert verdict([fewer[Modality.RESISTANCE]]) == "loses only"
    assert left_out(now) == (
        (Modality.PLATE, "weeks 1 to 26"),
        (Modality.BALANCE, "weeks 1 to 26"),
        (Modality.POSTURE, "weeks 1 to 26"),
    )


def test_the_table_says_more_and_less_beside_the_number() -> None:
    found = find_fits(with_time(("tue", "fri"), 20))
    rows = {row.name: row.cells for row in table(found, 26)}
    assert [cell.text for cell in rows["Days"]][:3] == ["Tue, Fri", "Tue, Fri", "Tue, Fri, Sun"]
    assert rows["Minutes on each"][1].text == "20 in two sessions"
    assert rows["Minutes used in the week"][0].text == "37 of 40"
    lifting, balance = rows["Lifting sessions a week"], rows["Balance, min a week"]
    assert (lifting[0].against, lifting[4].text, lifting[4].against) == ("", "1", "less")
    assert (balance[0].text, balance[0].against, balance[2].against) == ("no room", "", "more")
    assert rows["Longest session, min"][1].against == "shorter"
    assert (rows["Impacts a week"][5].text, rows["Impacts a week"][5].against) == ("60", "less")
    assert "Brisk walking, min a week" not in rows


def test_what_no_time_brings_in_has_no_row() -> None:
    rows = [row.name for row in table(find_fits(steady(conditions={"vertigo": "yes"})), 26)]
    assert not any("late" in name for name in rows)


@pytest.mark.parametrize(
    ("numbers_", "words"),
    [([3], "week 3"), ([3, 4, 5], "weeks 3 to 5"), ([3, 5], "some of weeks 3 to 5")],
)
def test_weeks_are_named(numbers_: list[int], words: str) -> None:
    assert weeks_named(numbers_) == words


def test_what_has_no_load_has_no_percent() -> None:
    """Rulebook row 19c: none of her exercises has a load."""
    bare = steady(resources={"equipment": ["chair"]}, lifts=None)
    held = numbers(by_code(bare)["now"], 26)
    assert held["lifting"] == 2
    assert "percent" not in held
