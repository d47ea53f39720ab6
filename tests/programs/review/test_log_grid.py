"""The grid of the log: what it shows, as planned, falls asked once a week."""

import datetime as dt
from typing import Any

import pytest

from programs.log.cells import column_words, kinds_told
from programs.log.entries import Entry
from programs.review.adherence import LiftedSet, Session
from programs.review.log_grid import Grid, GridCell, Program
from programs.review.log_tables import below
from programs.review.logged_days import Row
from programs.week.week import LiftDose, ResistanceWeek
from safety.findings import Modality
from tests.programs.logs import START, balance, planned, week

MON, TUE, WED = (START + dt.timedelta(days=n) for n in range(3))
WEEK = [START + dt.timedelta(days=n) for n in range(7)]
LIFTS = ResistanceWeek(
    sessions=1,
    group="A",
    sets=1,
    reps=15,
    could_lift=20,
    percent_1rm=67,
    reps_in_reserve=5,
    exercises=(
        LiftDose(exercise="leg_press", load_kg=46),
        LiftDose(exercise="chair_stand", load_kg=None, reps=7),
    ),
)


def program(sessions: int = 3, **timetable: list[str]) -> Program:
    """Balance on three days, lifting on Monday."""
    weeks = [week(n, balance=balance(sessions=sessions), resistance=LIFTS) for n in (1, 2)]
    days = {"mon": ["balance", "resistance"], "wed": ["balance"], "fri": ["balance"]}
    return Program(planned=planned(weeks=weeks, timetable=days | timetable), plates=("at home",))


def grid(
    sent: dict[str, str] | None = None,
    *sessions: Session,
    days: list[dt.date] | None = None,
    of: Program | None = None,
) -> Grid:
    rows: dict[dt.date, list[Row]] = {}
    for n, one in enumerate(sessions, 1):
        rows.setdefault(one.on, []).append(Row(pk=n, session=one))
    return Grid(of or program(), days or WEEK, rows, sent)


def done(on: dt.date = MON, kind: Modality = Modality.BALANCE, **more: Any) -> Session:
    return Session(on=on, modality=kind, **{"done": "all"} | more)


def whole(on: dt.date = MON, **more: Any) -> Session:
    return Session(on=on, modality=Modality.BALANCE, done="none", whole_day=True, **more)


def cell(of: Grid, name: str) -> GridCell:
    return next(one for one in of.cells if one.name == name)


def told(of: Grid, on: dt.date = MON) -> dict[Modality | None, dict[str, Any]]:
    (day,) = [one for one in of.days if one.on == on]
    return {kind: dict(entry.told) for kind, entry in day.entries.items()}


# --- What it shows ----------------------------------------------------------------------------


def test_it_has_every_kind_of_the_program_and_the_day() -> None:
    found = grid()
    assert found.kinds == (Modality.RESISTANCE, Modality.BALANCE)
    first = [one.column and one.column.name for one in found.days[0].first]
    assert first == [
        *("resistance.done", "resistance.effort", "balance.done", "balance.effort"),
        *("day.pain", "day.pain_settled", "day.fell", "day.near_fall", "day.ill"),
    ]


def test_a_kind_that_was_logged_is_there_though_it_is_not_planned() -> None:
    found = grid(None, done(kind=Modality.PLATE, plate="sold"))
    assert found.kinds == (Modality.PLATE, Modality.RESISTANCE, Modality.BALANCE)
    which = cell(found, f"{MON}.plate.plate")
    assert (which.text, which.words) == ("2", {"1": "at home", "2": "sold", "0": "another plate"})


def test_what_is_planned_is_typed_next() -> None:
    found = grid()
    assert [day.planned for day in found.days] == [True, False, True, False, True, False, False]
    assert cell(found, f"{MON}.balance.effort").planned
    assert not cell(found, f"{MON}.day.fell").planned
    assert not cell(found, f"{TUE}.day.pain").planned


def test_what_stands_is_shown_by_its_keys() -> None:
    found = grid(None, done(effort=10), whole(pain=4, pain_settled=False, fell=False))
    texts = {one.name.partition(".")[2]: one.text for one in found.days[0].cells.values()}
    assert {name: text for name, text in texts.items() if text} == {
        "balance.done": "A",
        "balance.effort": "X",
        "day.pain": "4",
        "day.pain_settled": "N",
        "day.fell": "N",
    }
    assert found.days[0].was_text == "1-2"
    assert found.days[0].was_name == f"{MON}.was"
    assert found.weeks[0].falls.text == "N"


def test_lifts_with_a_load_are_asked_and_those_logged() -> None:
    other = done(kind=Modality.RESISTANCE, sets=(LiftedSet(lift="squat", kg=20),))
    names = [
        one.column and one.column.key
        for one in grid(None, other).days[0].more_of(Modality.RESISTANCE)
    ]
    assert names == ["kg:leg_press", "left:leg_press", "kg:squat", "left:squat"]


def test_a_cell_in_words() -> None:
    found = grid()
    kg = cell(found, f"{MON}.resistance.kg:leg_press")
    assert (kg.label, kg.short) == ("Mon 2 Mar, resistance, leg press, kg", "leg press, kg")
    assert (kg.options, kg.read) == ([], "number")
    assert cell(found, f"{MON}.balance.done").options == [
        ("A", "all"),
        ("P", "part"),
        ("N", "none"),
    ]
    assert cell(found, f"{MON}.day.fell").options == [("Y", "yes"), ("N", "no")]
    assert cell(found, "week1.falls").read == "falls"
    words = [column_words(one.column) for one in found.days[0].words if one.column]
    assert words[0] == "where it hurt"


# --- What was typed ---------------------------------------------------------------------------


def test_what_was_typed_is_read() -> None:
    sent = {f"{MON}.balance.done": "a", f"{MON}.balance.effort": "10", "week1.falls": "n"}
    found = grid(sent)
    assert not found.wrong
    assert told(found) == {
        Modality.BALANCE: {"done": "all", "effort": 10},
        None: {"fell": False},
    }
    assert told(found, TUE) == {}


def test_a_field_that_was_not_sent_stays_as_it_stands() -> None:
    found = grid({}, done(effort=3))
    assert told(found)[Modality.BALANCE] == {"done": "all", "effort": 3}


def test_what_is_wrong_stands_beside_its_cell_and_is_kept() -> None:
    found = grid({f"{MON}.balance.done": "Q", "week1.falls": "N"})
    (wrong,) = found.wrong
    assert (wrong.name, wrong.text, wrong.unreadable) == (f"{MON}.balance.done", "Q", True)
    assert found.days[0].errors == [wrong]
    assert not cell(found, f"{TUE}.balance.done").unreadable
    assert cell(found, f"{TUE}.balance.done").keys == "APN"


def test_rows_are_those_of_when_the_page_was_opened() -> None:
    found = grid({f"{MON}.was": "4-5-x-²"}, done())
    assert found.days[0].was == (4, 5)


@pytest.mark.parametrize("tick", ["week1.planned", "all.planned"])
def test_as_planned_fills_what_is_planned_and_blank(tick: str) -> None:
    sent = {tick: "on", f"{MON}.balance.done": "P", "week1.falls": "N"}
    found = grid(sent)
    assert told(found)[Modality.BALANCE] == {"done": "part"}
    assert told(found)[Modality.RESISTANCE] == {"done": "all"}
    assert told(found, WED)[Modality.BALANCE] == {"done": "all"}
    assert told(found, TUE) == {}


def test_as_planned_of_another_week_fills_nothing() -> None:
    assert told(grid({"week2.planned": "on"})) == {}


def test_days_to_spare_are_not_filled() -> None:
    """Three days may hold balance and two do: nobody knows which one was free."""
    spare = program(sessions=2, sun=["balance"])
    found = grid({"all.planned": "on", "week1.falls": "N"}, of=spare)
    assert found.weeks[0].spare == (Modality.BALANCE,)
    assert [one.spare for one in found.days[2].of_kind(Modality.BALANCE)] == [True, True]
    assert told(found, WED) == {}
    assert Modality.RESISTANCE in told(found)


# --- Falls are asked in any case ----------------------------------------------------------------


def test_falls_are_asked_as_planned_too() -> None:
    found = grid({"all.planned": "on"})
    assert [one.name for one in found.wrong] == ["week1.falls"]
    assert found.weeks[0].falls_wrong == found.wrong


@pytest.mark.parametrize(
    ("falls", "fell", "error"),
    [
        ("N", "", ""),
        ("U", "", ""),
        ("", "N", ""),
        ("", "Y", ""),
        ("Y", "Y", ""),
        ("", "", "Was there a fall"),
        ("Q", "", "Was there a fall"),
        ("Y", "", "Mark the fall"),
        ("Y", "N", "Mark the fall"),
        ("N", "Y", "write Y"),
    ],
)
def test_the_answer_fits_the_days(falls: str, fell: str, error: str) -> None:
    sent = {f"{MON}.balance.done": "A", f"{MON}.day.fell": fell, "week1.falls": falls}
    found = grid(sent)
    assert (error in found.weeks[0].falls.error) if error else not found.wrong
    assert bool(found.weeks[0].falls_wrong) is bool(error)


def test_nobody_asked_stays_unknown() -> None:
    found = grid({f"{MON}.balance.done": "A", "week1.falls": "U"})
    assert told(found) == {Modality.BALANCE: {"done": "all"}}


def test_a_week_that_nobody_touched_is_not_asked() -> None:
    assert not grid({"week1.falls": ""}, done()).wrong


def test_no_fall_is_told_of_every_day_where_it_is_said_now() -> None:
    found = grid({"week1.falls": "N"}, done(), done(WED))
    assert told(found)[None] == told(found, WED)[None] == {"fell": False}


def test_no_fall_that_stood_is_told_of_new_days_only() -> None:
    sent = {"week1.falls": "N", f"{WED}.balance.done": "A"}
    found = grid(sent, done(), done(TUE), whole(TUE, fell=False))
    assert None not in told(found)
    assert told(found, WED)[None] == {"fell": False}


# --- Below the grid -----------------------------------------------------------------------------


def test_weights_are_asked_on_days_of_lifting_and_words_on_all() -> None:
    lifting, words = below(grid())
    assert [day.on for day, _ in lifting.rows] == [MON]
    assert lifting.heads == ("Leg press kg", "Leg press left")
    assert len(words.rows) == 7
    assert kinds_told() in words.title
    assert not lifting.open
    assert not words.open


def test_the_plate_is_asked_where_it_was_logged() -> None:
    found = grid(None, done(TUE, Modality.PLATE), whole(WED, note="cold"))
    _, plate, words = below(found)
    assert [day.on for day, _ in plate.rows] == [TUE]
    assert plate.heads == ("Which plate", "Watched", "Broken off")
    assert words.open


def test_a_lift_of_one_week_only_leaves_the_others_without() -> None:
    weeks = [week(1, resistance=LIFTS), week(2, resistance=LIFTS)]
    other = done(MON, Modality.RESISTANCE, sets=(LiftedSet(lift="squat", kg=20),))
    plan = planned(weeks=weeks, timetable={"mon": ["resistance"], "thu": ["resistance"]})
    of = Program(planned=plan, plates=())
    found = grid(None, other, days=[MON, MON + dt.timedelta(days=7)], of=of)
    lifting = below(found)[0]
    assert [one and one.text for one in lifting.rows[0][1]] == ["", "", "20", ""]
    assert lifting.rows[1][1][2:] == (None, None)


def test_a_program_without_loads_asks_no_weights() -> None:
    plan = planned(weeks=[week(1, balance=balance())])
    found = grid(None, of=Program(planned=plan, plates=()), days=[MON])
    assert [table.heads[0] for table in below(found)] == ["Where it hurt"]


def test_what_is_typed_below_is_read_with_its_kind() -> None:
    sent = {
        f"{MON}.resistance.done": "A",
        f"{MON}.resistance.kg:leg_press": "46,5",
        f"{MON}.day.note": "cold",
        "week1.falls": "N",
    }
    found = grid(sent)
    entry = found.days[0].entries[Modality.RESISTANCE]
    assert entry == Entry(
        on=MON, kind=Modality.RESISTANCE, told={"done": "all", "kg:leg_press": 46.5}
    )
    assert told(found)[None] == {"note": "cold", "fell": False}
