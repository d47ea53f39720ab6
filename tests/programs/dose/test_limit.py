"""The one table of limits: each is declared whole, and a breach says what it must."""

from __future__ import annotations

import math

import pytest

from programs.dose import plate_limits, resistance
from programs.dose.clinic_limits import CLINIC_LIMITS
from programs.dose.could_lift import MOST, floor_of, percent_of
from programs.dose.limit import Limit
from programs.dose.limit_tables import TABLES, limit_tables
from programs.edit.changes import EXERCISES_OF, FIELDS
from safety.findings import Modality
from safety.sources import SOURCES
from tests.each import each

EVERY = [limit for table in TABLES.values() for limit in table]
every_limit = each("limit", EVERY, ids=lambda limit: limit.code)


@every_limit
def test_a_limit_is_declared_whole(limit: Limit) -> None:
    assert limit.text
    assert limit.unit
    assert limit.sources
    assert set(limit.sources) <= set(SOURCES)
    assert limit.judgement is None or limit.stands(limit.value)


@every_limit
def test_a_limit_stands_beside_a_field_that_can_be_changed(limit: Limit) -> None:
    if limit.beside:
        assert limit.modality is not None
        fields = {field.name for field in FIELDS[limit.modality]} | {EXERCISES_OF}
        assert limit.beside in fields


def test_every_limit_is_laid_out_for_reading() -> None:
    tables = {table.name: table.rows for table in limit_tables()}
    assert {name: len(rows) for name, rows in tables.items()} == {
        name: len(limits) for name, limits in TABLES.items()
    }
    assert all(row.text and row.value and row.source for rows in tables.values() for row in rows)
    lifting = {row.text: row for row in tables["Resistance"]}
    form_first = next(row for text, row in lifting.items() if text.startswith("Group C"))
    assert (form_first.value, form_first.judged) == ("70 % of 1RM", "74 % of 1RM")
    judged = {row.value: row.judged for row in tables["Vibration plate"]}
    assert judged["4 g peak"] == "with a written reason"
    assert "" in judged.values()


def test_no_two_limits_share_a_code() -> None:
    assert len({limit.code for limit in EVERY}) == len(EVERY)


@pytest.mark.parametrize("name", sorted(CLINIC_LIMITS))
def test_what_a_clinic_may_set_goes_from_tighter_to_no_tighter(name: str) -> None:
    one = CLINIC_LIMITS[name]
    assert one.modality in tuple(Modality)
    assert one.tightest != one.value
    assert not one.is_looser(one.tightest)
    assert one.loosest == one.value or one.is_looser(one.loosest)
    assert one.text
    assert one.counted == (one.unit not in ("g peak", "body weights"))
    assert set(one.limit.source) <= set(one.source)
    if one.loosest != one.value:
        assert one.limit.stands(one.loosest)


def test_a_reason_goes_as_far_as_the_judgement() -> None:
    """80 % with a reason to 86 %, 8 times: rows 19a and 19b, project choice."""
    top = resistance.top_percent("A", supervised=True)
    assert top.stands(86)
    assert not top.stands(86.1)
    form_first = resistance.top_percent("C", supervised=True)
    assert (form_first.value, form_first.stands(74), form_first.stands(74.1)) == (70, True, False)
    assert not plate_limits.REASONED_TOP_G.stands(5.0)
    assert plate_limits.TOP_G.judgement == math.inf


def test_below_a_floor_a_reason_goes_down_to_the_judgement() -> None:
    low = Limit(
        name="rest",
        modality=Modality.PLATE,
        value=60,
        unit="s",
        text="Rest",
        sources=("common",),
        floor=True,
        judgement=45,
    )
    assert low.stands(45)
    assert not low.stands(44)


@pytest.mark.parametrize(
    ("group", "supervised", "code"),
    [
        ("A", True, "resistance.percent_1rm.A"),
        ("B", False, "resistance.percent_1rm.B"),
        ("B", True, "resistance.percent_1rm.B.supervised"),
        ("C", True, "resistance.percent_1rm.C"),
    ],
)
def test_each_group_has_its_own_load(group: str, supervised: bool, code: str) -> None:
    assert resistance.top_percent(group, supervised=supervised).code == code


@pytest.mark.parametrize(
    ("group", "supervised", "could_lift", "heavier"),
    [("A", False, 11, 8), ("B", False, 14, None), ("B", True, 11, 8), ("C", True, 17, 14)],
)
def test_a_load_stands_beside_how_often_it_could_be_lifted(
    group: str, supervised: bool, could_lift: int, heavier: int | None
) -> None:
    """Rows 19a and 19b: the words name the number that the percent is a floor for."""
    top = resistance.top_percent(group, supervised=supervised)
    assert top.beside == "could_lift"
    assert floor_of(top.value) == could_lift
    assert f"{top.value:g} % ({could_lift} times)" in top.text
    assert top.judgement == (None if heavier is None else percent_of(heavier))
    if heavier is not None:
        assert f"{percent_of(heavier)} % ({heavier} times)" in top.text
    assert top.clinic is not None
    assert floor_of(top.clinic.tightest) == MOST


def test_a_breach_names_the_value_where_the_words_do_not() -> None:
    bare = plate_limits.TOP_BOUTS.breach("11", about=Modality.PLATE, week=3, judgement=False)
    assert bare.text == "A session has no more bouts (10 bouts): 11."
    assert (bare.path, bare.week, bare.name) == ("plate.bouts", 3, "top_bouts")
    whole = resistance.LIMITS["sets"].breach("4", about=Modality.RESISTANCE, week=1, judgement=True)
    assert whole.text.startswith("At most 3 sets; five only")
    assert "(3 sets)" not in whole.text
    unplaced = plate_limits.DELOAD_WEEKS.breach("x", about=Modality.PLATE, week=4, judgement=False)
    assert unplaced.path == "plate"
