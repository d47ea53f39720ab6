"""Which figures are told of small groups, on both sides of five; the file and the pictures."""

import csv
import datetime as dt
import io
import re
from typing import Any
from xml.etree import ElementTree

import pytest

from patients.facts.declared import Scan
from patients.facts.declared import Tests as Results
from programs.outcomes import picture, table
from programs.outcomes.counted import Now, Person, in_program
from programs.outcomes.figures import (
    ADHERENCE,
    DENSITY,
    DONE,
    FUNCTION,
    HARMS,
    MIDDLE,
    TODAY,
    Figure,
    figures,
)
from programs.outcomes.intervals import Estimate
from programs.review.adherence import Planned
from tests.programs.logs import START, balance, planned, posture, steady, week

LATE = START + dt.timedelta(weeks=60)
YEAR = dt.timedelta(days=366)


def of_weeks(**modalities: Any) -> Planned:
    return planned(weeks=[week(n, **modalities) for n in range(1, 27)])


BOTH, BALANCE_ONLY = of_weeks(balance=balance(), posture=posture()), of_weeks(balance=balance())


def person(program: Planned = BALANCE_ONLY, day: dt.date = LATE, **more: Any) -> Person:
    held = in_program(program, day, None, None)
    told = {"log": tuple(steady(range(1, 11))), "stopped": False}
    return Person(**{"day": day, "programs": (held,), **told, **more})


def faller(**more: Any) -> Person:
    return person(log=tuple(steady([1], fell=True)), **more)


def result_of(before: float, after: float) -> Person:
    results = (
        Results(date=START, up_and_go_s=before),
        Results(date=START + dt.timedelta(weeks=12), up_and_go_s=after),
    )
    return person(tests=results)


def scanned(factor: float, scanner: str = "A") -> Person:
    hip = {"site": "total_hip"}
    scans = (
        Scan(date=START, bmd_g_cm2=0.7, scanner="A", **hip),
        Scan(date=START + YEAR, bmd_g_cm2=0.7 * factor, scanner=scanner, **hip),
    )
    return person(scans=scans)


def one(people: list[Person], topic: str, measure: str, group: str = "") -> Figure:
    (found,) = [
        f
        for f in figures(people, {})
        if (f.topic, f.measure) == (topic, measure) and group in ("", f.group)
    ]
    return found


# --- Small groups -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fallers", "told", "days"), [(0, "0", "0"), (1, "fewer than 5", ""), (4, "fewer than 5", ""),
                                  (5, "5", "15"), (8, "at least 8", "24"), (12, "12", "36")]
)  # fmt: skip
def test_harms_of_few_are_not_told(fallers: int, told: str, days: str) -> None:
    people = [faller() for _ in range(fallers)] + [person() for _ in range(12 - fallers)]
    falls = one(people, HARMS, "falls")
    assert (falls.people, falls.count) == (told, days)
    assert (falls.estimate is None) is (days == "")
    assert falls.per == str(sum(p.done for p in people))


@pytest.mark.parametrize(
    ("with_posture", "told"), [(4, "fewer than 5"), (5, "5"), (9, "at least 8")]
)
def test_a_kind_that_few_have_is_not_told(with_posture: int, told: str) -> None:
    people = [person(BOTH) for _ in range(with_posture)]
    people += [person() for _ in range(12 - with_posture)]
    done = one(people, ADHERENCE, DONE, "Posture")
    assert done.people == told
    assert bool(done.per) is (with_posture >= 5)


def test_beside_one_small_kind_another_is_kept_back() -> None:
    """Else its sessions were those of all less those of the others."""
    people = [person(BOTH) for _ in range(4)] + [person() for _ in range(8)]
    done = one(people, ADHERENCE, DONE, "Balance")
    assert (done.people, done.count, done.per, done.estimate) == ("not shown", "", "", None)
    assert one(people, ADHERENCE, DONE, "Impact").people == "0"


@pytest.mark.parametrize(
    ("size", "told", "shown"),
    [(0, "0", False), (4, "fewer than 5", False), (5, "5", True), (9, "at least 8", True)],
)
def test_a_change_of_few_is_not_told(size: int, told: str, shown: bool) -> None:
    people = [result_of(12 + n, 10) for n in range(size)] + [person() for _ in range(12 - size)]
    change = one(people, FUNCTION, "Timed Up and Go")
    assert change.people == told
    assert (change.estimate is not None) is shown


def test_where_they_are_today_adds_up_or_is_coarse() -> None:
    over = [person() for _ in range(18)]
    assert one(over, TODAY, Now.OVER).people == "18"
    stopped = [*over, *(person(stopped=True) for _ in range(4))]
    assert one(stopped, TODAY, Now.STOPPED).people == "fewer than 5"
    assert one(stopped, TODAY, Now.OVER).people == "5 or more"
    stopped.append(person(stopped=True))
    assert one(stopped, TODAY, Now.STOPPED).people == "5"
    assert one(stopped, TODAY, Now.OVER).people == "18"


def test_density_of_five_is_told_and_of_four_is_not() -> None:
    rest = [person() for _ in range(10)]
    people = [*(scanned(1.1) for _ in range(5)), *rest]
    assert one(people, DENSITY, "gain beyond the error", "Total hip").people == "5"
    people = [*(scanned(1.1) for _ in range(4)), *rest]
    (hip,) = [f for f in figures(people, {}) if f.group == "Total hip"]
    assert hip.people == "fewer than 5"


# --- The file -----------------------------------------------------------------------------------


def everybody() -> list[Person]:
    people = [result_of(12 + n % 3, 10) for n in range(7)] + [faller() for _ in range(6)]
    people += [scanned(1.1) for _ in range(6)] + [scanned(1.0) for _ in range(5)]
    return people + [person(BOTH, stopped=True) for _ in range(6)]


def test_the_file_has_one_row_a_measure_and_group() -> None:
    found = figures(everybody(), {})
    text = table.written(found).decode("utf-8-sig")
    held = list(csv.DictReader(io.StringIO(text)))
    assert tuple(held[0]) == table.HEADS
    assert len(held) == len(found) == len({(r["topic"], r["group"], r["measure"]) for r in held})
    falls = next(row for row in held if row["measure"] == "falls")
    assert (falls["people"], falls["of_people"], falls["per_is"]) == ("6", "30", "sessions done")
    assert float(falls["low"]) < float(falls["value"]) < float(falls["high"])
    todays = [row for row in held if row["topic"] == TODAY]
    assert {row["value"] + row["low"] + row["high"] for row in todays} == {""}
    assert all(row["of_people"] for row in held)


def test_text_that_sets_off_a_formula_is_guarded_and_numbers_stand_bare() -> None:
    odd = Figure(
        topic="=1+1",
        group="@x",
        measure="-y",
        people="5",
        of_people="10",
        estimate=Estimate(value=-1.25, low=None, high=None),
    )
    row = list(csv.reader(io.StringIO(table.written([odd]).decode("utf-8-sig"))))[1]
    assert row[:5] == ["'=1+1", "'@x", "'-y", "5", "10"]
    assert row[8:11] == ["-1.25", "", ""]


def test_no_name_date_or_id_is_in_it() -> None:
    text = table.written(figures(everybody(), {})).decode("utf-8-sig")
    assert not re.search(r"\d{4}-\d\d|\bid\b|born", text)


# --- The pictures ---------------------------------------------------------------------------------


def drawn(svg: str) -> str:
    """Return all words of a picture, which is whole XML."""
    return " ".join(ElementTree.fromstring(svg).itertext())


def test_each_picture_tells_its_table_in_words() -> None:
    found = figures(everybody(), {})
    of = {topic: [f for f in found if f.topic == topic] for topic in
          (ADHERENCE, HARMS, FUNCTION, DENSITY)}  # fmt: skip
    pictures = {
        ADHERENCE: picture.adherence(of[ADHERENCE]),
        HARMS: picture.harms(of[HARMS]),
        FUNCTION: picture.function(of[FUNCTION]),
        DENSITY: picture.density(of[DENSITY]),
    }
    for topic, svg in pictures.items():
        words = drawn(svg)
        for figure in of[topic]:
            if topic != DENSITY and figure.range_is and figure.estimate:
                assert picture.words_of(figure) in words
    assert "6 gain beyond the error" in drawn(pictures[DENSITY])
    assert "0 loss beyond the error" in drawn(pictures[DENSITY])


def test_nothing_told_is_no_picture() -> None:
    people = [person(log=()) for _ in range(10)]
    found = figures(people, {})
    for topic, draw in ((FUNCTION, picture.function), (DENSITY, picture.density)):
        assert draw([f for f in found if f.topic == topic]) == ""
    assert picture.harms([]) == picture.adherence([]) == ""


def test_a_density_that_is_told_in_part_is_not_drawn() -> None:
    people = [scanned(1.1) for _ in range(20)] + [scanned(0.9) for _ in range(4)]
    found = [f for f in figures(people, {}) if f.topic == DENSITY]
    assert {f.people for f in found} >= {"5 or more", "fewer than 5"}
    assert picture.density(found) == ""


@pytest.mark.parametrize(("before", "after", "right"), [(14, 10, True), (10, 14, False)])
def test_better_is_to_the_right_of_tests_where_less_is_better(
    before: float, after: float, right: bool
) -> None:
    svg = picture.function([one([result_of(before, after)] * 10, FUNCTION, "Timed Up and Go")])
    tree = ElementTree.fromstring(svg)
    dot = next(e for e in tree.iter() if e.tag.endswith("circle"))
    axis = next(
        e for e in tree.iter() if e.get("stroke") == "#5c574e" and e.get("x1") == e.get("x2")
    )
    assert (float(dot.get("cx", 0)) > float(axis.get("x1", 0))) is right


def test_a_value_without_a_range_is_a_dot_alone() -> None:
    lone = Figure(
        topic=FUNCTION,
        group="x",
        measure="Timed Up and Go",
        people="5",
        of_people="10",
        estimate=Estimate(value=1.0, low=None, high=None),
        unit="s",
        better=-1,
    )
    assert picture.words_of(lone) == "1.0 s"
    assert picture.function([lone]).count("<circle") == 1
    assert picture.words_of(Figure(topic="", group="", measure="", people="", of_people="")) == ""


def test_the_middle_of_all_is_drawn_in_percent() -> None:
    svg = picture.adherence([f for f in figures(everybody(), {}) if f.measure == MIDDLE])
    assert "Balance: " in drawn(svg)
    assert " % (" in drawn(svg)
