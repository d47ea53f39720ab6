"""Sex and gender where they differ: the risk tables' own sex, and nothing else of the rulebook."""

import pytest

from patients.facts.codes import EITHER, TABLE_SEXES
from programs.draft.document import write
from programs.draft.draft import draft
from safety.situation import situation
from tests.people import AS_OF, steady


def answer(facts):
    return write(draft(facts))


@pytest.mark.parametrize(
    "stands, table, abnormal",
    [
        (11, None, False),
        (11, "male", True),
        (11, EITHER, True),
        (12, "male", False),
        (12, EITHER, False),
        (10, None, True),
    ],
)
def test_both_sides_of_each_table_in_a_woman_of_65(stands, table, abnormal):
    tested = {"date": AS_OF, "chair_stands_30s": stands}
    person = {"table_sex": table} if table else {}
    found = situation(steady(person=person, tests=[tested]))
    assert any("chair stands" in told for told in found.tests.abnormal) is abnormal


def test_nothing_else_of_the_rulebook_changes():
    """With every test far from any table's edge, draft and screen are the same."""
    tests = [{"date": AS_OF, "chair_stands_30s": 25, "grip_kg": 40, "up_and_go_s": 6}]
    plain = answer(steady(tests=tests))
    for table in TABLE_SEXES:
        assert answer(steady(person={"table_sex": table}, tests=tests)) == plain
