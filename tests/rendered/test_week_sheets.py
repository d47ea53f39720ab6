"""The sheets of the weeks as printed: front and back, boxes, the pages of the exercises."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from programs.actions import pdf_process, printing
from programs.papers import ENGLISH, Span, sheets
from programs.signed.snapshot import Document
from tests.programs.sample_papers import handout_of, program_of, snapshot_of
from tests.rendered import test_handout as in_general
from tests.rendered.reading import squeezed
from tests.rendered.test_handout import Printed

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]


@pytest.fixture(params=in_general.TESTED, ids=lambda param: "-".join(map(str, param)))
def printed(request: pytest.FixtureRequest) -> Printed:
    return in_general.printed_once(*request.param)


def starts_of(printed: Printed) -> list[int]:
    """Return the page on which each sheet begins, and the one after the last sheet."""
    texts = [squeezed(page.text) for page in printed.pages]
    titles = [squeezed(sheet.title) for sheet in printed.told.sheets]
    found = [next(n for n, text in enumerate(texts) if title in text) for title in titles]
    return [*found, next(n for n, text in enumerate(texts) if "Whyyoudothis" in text)]


@pytest.mark.parametrize("person", ["hip_first", "seated", "no_plate", "faller"])
@pytest.mark.parametrize("paper", printing.PAPERS)
def test_a_week_is_front_and_back_of_one_sheet(person: str, paper: str) -> None:
    """In letters of 16 pt, also where all five kinds are done, with weights."""
    printed = in_general.printed_once(person, paper, 16)
    starts = starts_of(printed)
    assert [after - at for at, after in pairwise(starts)] == [2] * in_general.WEEKS


def test_front_and_back_say_what_they_are_for(printed: Printed) -> None:
    """Whom to call stands before plan and log, and these begin on a page of their own."""
    for at, sheet in zip(starts_of(printed), printed.told.sheets, strict=False):
        texts = [squeezed(page.text) for page in printed.pages]
        front = texts[at]
        assert squeezed(sheet.alarm.phone) in "".join(texts[at : at + 2])
        assert squeezed(sheet.brief + ":" + "|".join(sheet.heads)) not in front
        back = "".join(texts[at + 1 : at + 4])
        for kind in sheet.kinds:
            assert squeezed(kind.title) in back
            for item in kind.items:
                assert squeezed(item.name) in back
                assert squeezed(item.dose) in back


def test_the_page_of_each_exercise_is_said_and_is_right(printed: Printed) -> None:
    """Told as "page 8"; there its steps stand."""
    texts = [squeezed(page.text) for page in printed.pages]
    bodies = [in_general.bare(text) for text in texts]
    blocks = {b.code: b for chapter in printed.told.chapters for b in chapter.blocks}
    said = "".join(texts[: starts_of(printed)[1]])
    sheet = printed.told.sheets[0]
    items = [item for kind in sheet.kinds for item in kind.items if item.code in blocks]
    items += sheet.lifts.items if sheet.lifts else ()
    assert len(items) > 5
    for item in items:
        steps = squeezed("".join(blocks[item.code].steps))
        (at,) = [n for n, text in enumerate(bodies, 1) if steps in text]
        dose = f":{item.dose}" if item.dose else ""
        assert squeezed(f"{item.name}{dose},page{at}") in said


@pytest.mark.parametrize(("person", "paper", "type_pt"), in_general.TESTED)
def test_each_box_can_be_written_in_by_a_shaking_hand(
    person: str, paper: str, type_pt: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A centimetre each way at least, inside the rules that are drawn around it."""
    boxes = boxes_of(snapshot_of(person), paper, type_pt, monkeypatch)
    assert len(boxes) > 100
    assert min(wide for wide, _ in boxes) >= 10
    assert min(high for _, high in boxes) >= 10


@pytest.mark.parametrize("days", range(1, 8))
def test_boxes_are_as_large_on_any_number_of_days(
    days: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    held = snapshot_of(timetable={day: ["balance", "resistance"] for day in WEEK[:days]})
    for week in held["weeks"]:
        week |= dict.fromkeys(("plate", "impact", "posture"))
        week["balance"] = week["balance"] | {"sessions": days}
    boxes = boxes_of(held, "Letter", 20, monkeypatch)
    assert min(min(box) for box in boxes) >= 10


WEEK = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def boxes_of(
    held: Document, paper: str, type_pt: int, monkeypatch: pytest.MonkeyPatch
) -> list[tuple[float, float]]:
    """Return width and height in mm of each box to write in, without the rules around it."""
    from weasyprint import CSS, HTML

    found: list[tuple[float, float]] = []

    def lay_out(order: pdf_process.Order) -> bytes:
        fetcher = pdf_process._fetcher(order.files)
        page = HTML(string=order.text, base_url=pdf_process.HERE, url_fetcher=fetcher)
        sheet = CSS(string=order.sheet, base_url=pdf_process.HERE, url_fetcher=fetcher)
        for made in page.render(stylesheets=[sheet]).pages:
            for box in made._page_box.descendants():
                if "write" in (box.element.get("class", "") if box.element is not None else ""):
                    ruled = box.border_left_width + box.border_right_width
                    high = box.border_top_width + box.border_bottom_width
                    wide = (box.border_width() - ruled / 2, box.border_height() - high / 2)
                    found.append((wide[0] * 25.4 / 96, wide[1] * 25.4 / 96))
        return b""

    monkeypatch.setattr(pdf_process, "apart", lay_out)
    program = program_of(held)
    told = sheets(program, ENGLISH, Span(first=1, last=2))
    issue = handout_of(held, last_week=1).issue
    how: dict[str, Any] = {"language": "en", "paper": paper, "type_pt": type_pt}
    printing.pdf("paper/sheets.html", {"sheets": told}, issue=issue, **how)
    return found
