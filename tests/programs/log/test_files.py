"""Files of the log: the table, the log that was carried away, and what of them can be taken."""

import datetime as dt
import json
from typing import Any

import pytest

from patients.files.columns import Unfit
from patients.files.reading import EncodingAsked
from patients.files.rows import Choices
from programs.log.carried import (
    MOST_DAYS,
    SAYS,
    PlannedDay,
    contents,
    is_carried,
    read_carried,
)
from programs.log.day import all_columns
from programs.log.entries import Entry, read_day
from programs.log.file_days import Bad, FileDay, Found, OnRecord, sort_out
from programs.log.table import TableRead, head, read_table, write_table
from programs.papers import ENGLISH
from safety.findings import Modality

DAY = dt.date(2026, 3, 2)
NEXT = DAY + dt.timedelta(days=1)
COLUMNS = all_columns(tuple(Modality), ("leg_press",))
BY_NAME = {column.name: column for column in COLUMNS}
PLATES = ("at home",)


def table(text: str, **choices: str) -> TableRead:
    found = read_table(text.encode(), Choices(**choices), COLUMNS, 7)
    assert isinstance(found, TableRead)
    return found


def texts(day: FileDay) -> dict[str, str]:
    return {column.name: text for column, text in day.texts.items()}


# --- The table ------------------------------------------------------------------------------


def test_a_table_is_read_by_its_heads_in_any_order() -> None:
    found = table("Pain;DATE;plate done;resistance kg leg_press;mood\n3;2026-03-02;A;46,5;fine\n")
    (day,) = found.days
    assert (day.on, day.where) == (DAY, "line 2")
    assert texts(day) == {
        "plate.done": "A",
        "resistance.kg:leg_press": "46,5",
        "day.pain": "3",
    }
    assert found.ignored == ("mood",)


def test_a_row_of_another_patient_or_without_a_day_is_not_taken() -> None:
    rows = "8,2026-03-02,1\n7,2026-02-30,1\n,2026-03-03\n"
    found = table(f"patient id,date,pain\n{rows}")
    assert [one.text[:22] for one in found.bad] == [
        "Patient id 8 is anothe",
        "date: The calendar has",
    ]
    assert [(one.on, one.texts) for one in found.days] == [(NEXT, {})]


def test_the_order_of_dates_is_asked_never_guessed() -> None:
    text = "date,pain\n03/04/2026,1\n"
    assert table(text).order is not None
    assert [one.on for one in table(text, order="day_first").days] == [dt.date(2026, 4, 3)]


def test_the_encoding_is_asked() -> None:
    data = "date,note\n2026-03-02,Müller\n".encode("cp1252")
    assert isinstance(read_table(data, Choices(), COLUMNS, 7), EncodingAsked)
    found = read_table(data, Choices(encoding="cp1252"), COLUMNS, 7)
    assert isinstance(found, TableRead)
    assert texts(found.days[0]) == {"day.note": "Müller"}


@pytest.mark.parametrize("heads", ["pain,note", "date,mood", "date,patient id"])
def test_a_table_without_days_or_cells_is_refused(heads: str) -> None:
    with pytest.raises(Unfit, match="No column date"):
        table(f"{heads}\n1,2\n")


def test_a_column_twice_is_refused() -> None:
    with pytest.raises(Unfit, match="Two columns are called pain"):
        table("date,pain,Pain\n2026-03-02,1,2\n")


def test_a_table_reads_in_again_as_it_was() -> None:
    told: dict[Modality | None, Entry] = {
        Modality.PLATE: Entry(
            on=DAY, kind=Modality.PLATE, told={"done": "all", "plate": "at home"}
        ),
        None: Entry(on=DAY, kind=None, told={"pain": 10, "note": "=SUM(1)"}),
    }
    data = write_table(7, [DAY, NEXT], {DAY: told}, COLUMNS)
    assert b"'=SUM(1)" in data
    found = table(data.decode())
    assert not found.bad
    assert not found.ignored
    read = read_day(DAY, found.days[0].texts, PLATES)
    assert read.entries == told
    assert found.days[1].texts == {}


def test_heads_are_words() -> None:
    assert head(BY_NAME["resistance.left:leg_press"]) == "resistance left leg press"
    assert head(BY_NAME["day.pain_settled"]) == "pain settled"
    assert head(BY_NAME["plate.plate"]) == "plate name"
    assert len({head(column) for column in COLUMNS}) == len(COLUMNS)


# --- The log carried away ---------------------------------------------------------------------


def carried(**changes: Any) -> bytes:
    document = {
        "format": "calcar-log/1",
        "file": "f1",
        "patient": 7,
        "days": {"2026-03-02": {"plate.done": "A", "day.pain": ""}},
    }
    return json.dumps(document | changes).encode()


def test_a_carried_log_is_read() -> None:
    found = read_carried(carried(), COLUMNS, 7)
    assert (found.file, found.bad) == ("f1", ())
    assert [(one.on, texts(one)) for one in found.days] == [(DAY, {"plate.done": "A"})]


def test_half_a_sign_in_a_carried_log_is_told_as_a_question_mark() -> None:
    """A device that cuts a text may cut a sign in two; no page and no database can hold that."""
    half = carried(file="f\ud83d", days={DAY.isoformat(): {"day.note": "Slept \ud83d"}})
    found = read_carried(half, COLUMNS, 7)
    assert (found.file, texts(found.days[0])) == ("f?", {"day.note": "Slept ?"})


def test_a_carried_log_and_a_table_are_told_apart() -> None:
    assert is_carried(b"\xef\xbb\xbf " + carried())
    assert not is_carried(b"date,pain\n")


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b'{"format": "calcar-log/1", "patient": 7', "cut short"),
        (b"{\xff", "cut short"),
        (b"{" * 100_000, "cut short"),
        (carried(format="other/1"), "not a log that was carried"),
        (carried(patient=8), "another patient"),
        (carried(days=[]), "cannot be read"),
        (carried(days={str(n): {} for n in range(MOST_DAYS + 1)}), "cannot be read"),
    ],
)
def test_a_carried_log_that_cannot_be_taken(data: bytes, why: str) -> None:
    with pytest.raises(Unfit, match=why):
        read_carried(data, COLUMNS, 7)


@pytest.mark.parametrize(
    ("days", "why"),
    [
        ({"2026-02-30": {}}, "no such day in the calendar"),
        ({"2026-03-02": {"plate.mood": "A"}}, "Not known here: plate.mood"),
        ({"2026-03-02": {"plate.done": 1}}, "cannot be read"),
        ({"2026-03-02": "A"}, "cannot be read"),
    ],
)
def test_a_day_of_it_that_cannot_be_taken(days: dict[str, Any], why: str) -> None:
    found = read_carried(carried(days=days), COLUMNS, 7)
    assert why in found.bad[0].text
    assert not found.days


def test_the_file_holds_all_that_its_page_asks() -> None:
    day = PlannedDay(
        on=DAY, week=1, title="Mon 2 Mar", kinds=(Modality.PLATE,), lifts=("leg_press",)
    )
    told = contents(
        file="f1",
        patient_id=7,
        language="en",
        kinds=tuple(Modality),
        days=[day],
        plates=PLATES,
        lift_names={"leg_press": "Leg press"},
        words=ENGLISH,
    )
    assert json.loads(json.dumps(told)) == told
    assert [one["name"] for one in told["columns"]] == list(BY_NAME)
    options = {one["name"]: one["options"] for one in told["columns"]}
    assert options["plate.done"] == [["A", "All of it"], ["P", "Part of it"], ["N", "None of it"]]
    assert options["day.pain"][-1] == ["X", "10"]
    assert options["plate.plate"] == [["at home", "at home"], ["another plate", "Another plate"]]
    assert options["day.pain_with"][0] == ["V", "Vibration plate"]
    assert options["day.note"] == []
    assert told["days"][0]["on"] == "2026-03-02"
    assert told["lifts"] == {"leg_press": "Leg press"}
    assert set(told["says"]) == set(SAYS)


# --- What can be taken ------------------------------------------------------------------------


def sorted_out(
    *days: tuple[dt.date, dict[str, str]], bad: tuple[Bad, ...] = (), **record: Any
) -> Found:
    held = [
        FileDay(where=f"line {n}", on=on, texts={BY_NAME[k]: v for k, v in told.items()})
        for n, (on, told) in enumerate(days, 2)
    ]
    on_record: dict[str, Any] = {"standing": {}, "struck": {}, "first": DAY, "last": NEXT}
    return sort_out(held, bad, OnRecord(**on_record | record), PLATES)


def test_what_is_new_is_taken_and_what_stands_is_known() -> None:
    told = {"plate.done": "A", "day.pain": "2"}
    stands = read_day(DAY, {BY_NAME["day.pain"]: "2"}).entries
    found = sorted_out((DAY, told), standing={DAY: stands})
    assert [entry.kind for _, entry in found.new] == [Modality.PLATE]
    assert [entry.kind for _, entry in found.known] == [None]
    assert (found.bad, found.days) == ((), 1)


def test_what_stands_otherwise_is_left_to_the_log_page() -> None:
    stands = read_day(DAY, {BY_NAME["day.pain"]: "2"}).entries
    found = sorted_out((DAY, {"day.pain": "5"}), standing={DAY: stands})
    assert not found.new
    assert "logged otherwise already (pain 2)" in found.bad[0].text


def test_what_was_struck_out_stays_out() -> None:
    struck = read_day(DAY, {BY_NAME["day.pain"]: "5"}).entries
    found = sorted_out((DAY, {"day.pain": "5"}), struck={DAY: [struck]})
    assert "struck out as entered in error" in found.bad[0].text
    assert sorted_out((DAY, {"day.pain": "4"}), struck={DAY: [struck]}).new


def test_a_day_before_the_program_after_today_or_twice_is_not_taken() -> None:
    told = {"day.pain": "1"}
    before, after = DAY - dt.timedelta(days=1), NEXT + dt.timedelta(days=1)
    found = sorted_out((before, told), (DAY, told), (NEXT, told), (after, told), (DAY, told))
    assert [one.text.partition(" 2026 ")[2][:22] for one in found.bad] == [
        "lies before the first ",
        "lies after today.",
        "stands at line 3 alrea",
    ]
    assert found.days == 2


def test_a_wrong_cell_keeps_its_whole_day_out() -> None:
    told = {"plate.done": "A", "day.pain": "11"}
    found = sorted_out((DAY, told), bad=(Bad(where="line 9", text="date"),))
    assert not found.new
    assert [one.where for one in found.bad] == ["line 9", "line 2"]
    assert found.bad[1].text.startswith("pain: Write 0 to 9")
