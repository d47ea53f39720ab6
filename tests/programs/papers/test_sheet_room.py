"""Whether the boxes of the lifts find room on the front of a week's sheet."""

from dataclasses import replace

from programs.papers.paper_parts import SheetItem, WeekSheet
from programs.papers.sheet_room import front_mm, goal_in_front, lifts_in_front
from tests.programs.sample_papers import handout_of, sheet_of, snapshot_of

#: Sixteen points in millimetres; lines of the head and the foot of a page.
EM, EDGES = 16 / 72 * 25.4, 2


def with_lifts(sheet: WeekSheet, count: int) -> WeekSheet:
    assert sheet.lifts is not None
    one = SheetItem(name="Leg press", dose="46 kg", code="leg_press")
    return replace(sheet, lifts=replace(sheet.lifts, items=(one,) * count))


def most(sheet: WeekSheet, paper: str, type_pt: int = 16) -> int:
    """Return how many lifts the front has room for."""
    counts = range(20)
    return sum(lifts_in_front(with_lifts(sheet, n), type_pt, paper, EDGES) for n in counts) - 1


def test_a_few_lifts_stand_in_front_and_many_do_not() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    assert 4 <= most(sheet, "A4") <= 6
    # Letter paper is 16 mm lower than A4: a row or two.
    assert most(sheet, "A4") - most(sheet, "Letter") in (1, 2)


def test_a_front_that_says_more_has_less_room() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    long = replace(sheet, changes=("Balance: it starts this week.",) * 4)
    assert most(long, "A4") < most(sheet, "A4")
    knock = replace(sheet, alarm=replace(sheet.alarm, knock="A knock on the head. " * 6))
    assert most(knock, "A4") < most(sheet, "A4")
    assert front_mm(knock, EM) > front_mm(sheet, EM)


def test_without_lifts_there_is_nothing_to_place() -> None:
    assert not lifts_in_front(replace(sheet_of(snapshot_of(), 1), lifts=None), 16, "A4", EDGES)


def test_what_she_wants_stands_on_page_one_where_it_has_room() -> None:
    first, *later = handout_of(snapshot_of("hip_first"), last_week=2).sheets
    assert first.goal == "You told us: “Walk to O'Dell's & carry 2 bags”"
    assert [sheet.goal for sheet in later] == [""]
    for type_pt in (16, 20):
        assert goal_in_front(first, type_pt, "Letter", EDGES)
        assert not goal_in_front(later[0], type_pt, "Letter", EDGES)
        assert not goal_in_front(replace(first, goal="To walk. " * 150), type_pt, "A4", EDGES)
    assert front_mm(first, EM) > front_mm(replace(first, goal=""), EM)


def test_who_said_nothing_reads_what_matters_most() -> None:
    (first,) = handout_of(snapshot_of("vertebral_fracture"), last_week=1).sheets
    assert first.goal == "You told us what matters most: my back, not to fall."
