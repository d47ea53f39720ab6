"""Which parts of a week's sheet stand on its front, and which beside the log."""

from dataclasses import replace

from programs.papers.paper_parts import SheetItem, WeekSheet
from programs.papers.picture_room import height_mm
from programs.papers.sheet_room import LARGE_PT, Sides, front_mm, log_mm, sides
from tests.programs.sample_papers import handout_of, sheet_of, snapshot_of

#: Sixteen points in millimetres; lines of the head and the foot of a page.
EM, EDGES = 16 / 72 * 25.4, 2
CALLS = ("Call the ambulance now", "Stop, rest and call us")
FULL = Sides(goal=False, key=True, lines=True, lifts=True)


def placed(sheet: WeekSheet, paper: str = "A4", type_pt: int = 16) -> Sides:
    return sides(sheet, type_pt, paper, EDGES, CALLS)


def with_lifts(sheet: WeekSheet, count: int) -> WeekSheet:
    assert sheet.lifts is not None
    one = SheetItem(name="Leg press", dose="46 kg", code="leg_press")
    return replace(sheet, lifts=replace(sheet.lifts, items=(one,) * count))


def with_a_long_log(sheet: WeekSheet, paper: str = "A4") -> WeekSheet:
    """Return a sheet whose log leaves no room on the back for anything else."""
    (row, *_) = sheet.of_day
    rows = sheet.of_day
    while log_mm(replace(sheet, of_day=(*rows, row)), EM) < height_mm(paper, 16, EDGES):
        rows = (*rows, row)
    return replace(sheet, of_day=rows)


def most(sheet: WeekSheet, paper: str) -> int:
    """Return how many lifts the front has room for where the back has none."""
    full = with_a_long_log(sheet, paper)
    return sum(placed(with_lifts(full, n), paper).lifts for n in range(1, 20))


def test_a_few_lifts_stand_in_front_and_many_do_not() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    assert 4 <= most(sheet, "A4") <= 7
    # Letter paper is 17 mm lower than A4: a row or two.
    assert most(sheet, "A4") - most(sheet, "Letter") in (1, 2)


def test_a_front_that_says_more_has_less_room() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    long = replace(sheet, changes=("Balance: it starts this week.",) * 4)
    knock = replace(sheet, alarm=replace(sheet.alarm, knock="A knock on the head. " * 6))
    for more in (long, knock):
        assert front_mm(more, EM, CALLS) > front_mm(sheet, EM, CALLS)
        assert most(more, "A4") < most(sheet, "A4")


def test_what_the_front_has_no_room_for_stands_beside_a_short_log() -> None:
    """So that a week takes one sheet: first the lifts go to the back, the rest stays together."""
    sheet = with_lifts(sheet_of(snapshot_of(), 1), 9)
    assert placed(with_lifts(sheet, 2)) == FULL
    short = replace(sheet, kinds=sheet.kinds[:1])
    assert placed(short) == replace(FULL, lifts=False)


def test_a_log_that_fills_its_page_takes_nothing_beside_it() -> None:
    """Then the lifts have a page of their own, after the log."""
    assert placed(with_lifts(with_a_long_log(sheet_of(snapshot_of(), 1)), 15)) == replace(
        FULL, lifts=False
    )


def test_the_key_of_the_log_goes_to_the_log_before_the_lifts_take_a_page() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    found = {placed(with_lifts(sheet, n)) for n in range(1, 12)}
    assert replace(FULL, key=False) in found


def test_a_number_too_long_for_the_words_before_it_stands_under_them() -> None:
    sheet = sheet_of(snapshot_of(), 1)
    short, long, none = (
        front_mm(replace(sheet, alarm=replace(sheet.alarm, number=told)), EM, CALLS)
        for told in ("112", "0123 456 789 0123", "")
    )
    assert short < long
    assert none != short


def test_without_lifts_the_rest_stands_in_front() -> None:
    assert placed(replace(sheet_of(snapshot_of(), 1), lifts=None)) == FULL


def test_what_she_wants_stands_on_page_one_where_it_has_room() -> None:
    first, *later = handout_of(snapshot_of("hip_first"), last_week=2).sheets
    assert first.goal == "You told us: “Walk to O'Dell's & carry 2 bags”"
    assert [sheet.goal for sheet in later] == [""]
    for type_pt in (16, LARGE_PT):
        assert placed(first, "A4", type_pt).goal
        assert not placed(later[0], "A4", type_pt).goal
        assert not placed(replace(first, goal="To walk. " * 150), "A4", type_pt).goal


def test_larger_letters_leave_the_front_to_whom_to_call() -> None:
    first = handout_of(snapshot_of("hip_first"), last_week=1).sheets[0]
    assert placed(first, "A4", LARGE_PT) == Sides(goal=True, key=False, lines=False, lifts=False)


def test_who_said_nothing_reads_what_matters_most() -> None:
    (first,) = handout_of(snapshot_of("vertebral_fracture"), last_week=1).sheets
    assert first.goal == "You told us what matters most: my back, not to fall."
