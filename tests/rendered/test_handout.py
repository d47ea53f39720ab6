"""The handout as printed: its numbers, its letters, its margins, its structure.

The person with the most to do and the one with the longest texts, on both sizes of paper and in
both sizes of letters.
"""

import io
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

import page as pdf_rules
import pikepdf
import pytest
from PIL import ImageChops

from programs.actions import printing
from programs.papers import Block, Handout
from programs.signed.snapshot import Document
from tests.programs.sample_papers import PEOPLE, SIGNER, handout_of, snapshot_of
from tests.rendered import reading
from tests.rendered.reading import MM, squeezed

# What they print is looked at; its lines are counted by the quicker tests.
pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]

MARGIN_MM = 20
#: Weeks that are printed here: the sheets of more differ in nothing but their numbers.
WEEKS = 4
LAYOUTS = [(paper, pt) for paper in printing.PAPERS for pt in printing.TYPES_PT]
TESTED = (
    ("hip_first", "A4", 16),
    ("hip_first", "Letter", 20),
    ("vertebral_fracture", "A4", 20),
    ("vertebral_fracture", "Letter", 16),
)
FONTS = {
    *("Atkinson-Hyperlegible", "Atkinson-Hyperlegible-Bold"),
    *("Paper-Fallback", "Paper-Fallback-Bold"),
}


@dataclass(frozen=True, kw_only=True)
class Printed:
    """A handout: what went in, what it says, what came out."""

    held: Document
    told: Handout
    pdf: bytes
    pages: tuple[reading.Page, ...]
    type_pt: int


def print_handout(held: Document, paper: str = "A4", type_pt: int = 16) -> bytes:
    told = handout_of(held, last_week=WEEKS)
    return printing.pdf(
        "handout.html",
        {"handout": told},
        issue=told.issue,
        language="en",
        paper=paper,
        type_pt=type_pt,
        draft=not told.issue.signed_by,
    )


@cache
def printed_once(person: str, paper: str, type_pt: int) -> Printed:
    held = snapshot_of(person)
    made = print_handout(held, paper, type_pt)
    told = handout_of(held, last_week=WEEKS)
    pages = reading.pages_of(made)
    return Printed(held=held, told=told, pdf=made, pages=pages, type_pt=type_pt)


@pytest.fixture(
    params=TESTED,
    ids=lambda param: "-".join(map(str, param)),
)
def printed(request: pytest.FixtureRequest) -> Printed:
    return printed_once(*request.param)


def test_its_numbers_are_those_that_were_signed(printed: Printed) -> None:
    text = squeezed("".join(page.text for page in printed.pages))
    for chapter in printed.told.chapters:
        for dose in (*chapter.doses, *(d for block in chapter.blocks for d in block.doses)):
            assert squeezed(f"{dose.weeks}: {dose.text}") in text
        for row in chapter.table.rows if chapter.table else ():
            assert squeezed("".join(row)) in text
    for week in printed.held["weeks"][:WEEKS]:
        for one in week["resistance"]["exercises"]:
            assert one["load_kg"] is None or squeezed(f": {one['load_kg']:g} kg") in text


def test_the_plates_table_stands_as_set(printed: Printed) -> None:
    assert printed.told.plate is not None
    text = squeezed("".join(page.text for page in printed.pages))
    for row in printed.told.plate.rows:
        assert squeezed("".join(row)) in text


def test_nothing_it_says_is_lost(printed: Printed) -> None:
    text = squeezed("".join(page.text for page in printed.pages))
    said = [line for section in printed.told.advice for line in (*section.tell, *section.do)]
    said += [line for chapter in printed.told.chapters for line in chapter.do]
    said += [
        s for c in printed.told.chapters for b in c.blocks for s in (*b.steps, b.feel, b.avoid)
    ]
    said += [day for sheet in printed.told.sheets for day in sheet.days]
    said += [line for sheet in printed.told.sheets for line in (*sheet.lines, *sheet.changes)]
    said += printed.told.about.tell
    for line in said:
        assert squeezed(line) in text


def test_no_letter_is_small(printed: Printed) -> None:
    """Sixteen and twenty points are what they say on every page, in its pictures as well."""
    letters = list(reading.letters_of(printed.pdf))
    assert len(letters) > 5000
    small = [one for one in letters if one.size_pt < printed.type_pt - 0.01]
    assert [(one.page, one.sign, one.size_pt) for one in small] == []
    assert {one.page for one in letters} == set(range(1, len(printed.pages) + 1))


def test_all_of_it_stands_inside_the_margins(printed: Printed) -> None:
    edge = MARGIN_MM * MM
    for page, ink in zip(printed.pages, reading.ink_of(printed.pdf), strict=True):
        left, top, right, bottom = ink
        assert left >= edge
        assert top >= edge
        assert right <= page.width - edge
        assert bottom <= page.height - edge


def test_paper_stands_upright(printed: Printed) -> None:
    sizes = {(round(page.width / MM), round(page.height / MM)) for page in printed.pages}
    assert sizes in ({(210, 297)}, {(216, 279)})


def test_each_page_says_whose_it_is(printed: Printed) -> None:
    count = len(printed.pages)
    for number, page in enumerate(printed.pages, 1):
        text = squeezed(page.text)
        assert squeezed("Orla Testwick, born 14 August 1960") in text
        assert squeezed("Plan 2, signed 2 Mar 2026 · 01 000 000") in text
        assert squeezed(f"Page {number} of {count}") in text


def test_page_one_says_when_to_stop(printed: Printed) -> None:
    first = squeezed(printed.pages[0].text)
    alarm = printed.told.sheets[0].alarm
    for line in (*alarm.ambulance, *alarm.stop, alarm.phone):
        assert squeezed(line) in first
    assert squeezed(printed.told.sheets[0].title) in first


def test_no_block_is_split(printed: Printed) -> None:
    """Case F05: each exercise stands whole on one page."""
    texts = [squeezed(page.text) for page in printed.pages]
    for chapter in printed.told.chapters:
        for block in chapter.blocks:
            steps = squeezed("".join(block.steps))
            (at,) = [n for n, text in enumerate(texts) if steps in bare(text)]
            for line in (block.name, block.feel, block.avoid):
                assert squeezed(line) in texts[at]
            held = squeezed("".join(f"{dose.weeks}: {dose.text}" for dose in block.doses))
            assert any(held in text for text in texts)


def bare(text: str) -> str:
    """Return a page's text without the numbers of its lists."""
    kept, at = [], 0
    while at < len(text):
        if text[at].isdigit() and text[at + 1 : at + 2] == "." and not text[at - 1].isdigit():
            at += 2
            continue
        kept.append(text[at])
        at += 1
    return "".join(kept)


def test_fonts_are_ours_and_embedded(printed: Printed) -> None:
    found = reading.fonts_of(printed.pdf)
    assert set(found) <= FONTS
    assert all(found.values())
    assert reading.missing_glyphs(printed.pdf) == 0


def test_it_passes_the_machine_rules_of_pdf_ua(printed: Printed) -> None:
    report = pdf_rules.validate_pdf_bytes(printed.pdf, profile="ua1")
    assert [(f.rule_id, f.message) for f in report.failures] == []
    assert report.is_compliant
    assert report.rules.total > 100


def test_each_picture_is_there_and_described(printed: Printed) -> None:
    """Case F03: the plate's panel, how to stand on it, each exercise and its wrong way."""
    assert printed.told.plate is not None
    blocks = [block for chapter in printed.told.chapters for block in chapter.blocks]
    # Two for the plate, one for the scale of pain, one for getting up after a fall.
    wanted = len(blocks) + sum(bool(block.wrong) for block in blocks) + 4
    told = [alt for kind, alt in reading.structure_of(printed.pdf) if kind == "Figure"]
    assert len(told) == wanted
    for block in blocks:
        (alt,) = (one for one in told if one.startswith(f"{block.name}. "))
        assert alt.endswith(".")


def test_its_structure_is_that_of_a_text(printed: Printed) -> None:
    kinds = reading.kinds_of(printed.pdf)
    # Each week begins anew.
    assert kinds["H1"] == WEEKS
    assert min(kinds[kind] for kind in ("H2", "H3", "L", "LI", "Table", "TH", "TD")) > 0
    levels = [int(kind[1]) for kind, _ in reading.structure_of(printed.pdf) if kind in HEADINGS]
    for before, after in pairwise(levels):
        assert after <= before + 1


HEADINGS = {"H1", "H2", "H3", "H4"}


def test_it_names_itself_and_its_language(printed: Printed) -> None:
    with pikepdf.open(io.BytesIO(printed.pdf)) as document:
        assert document.Root.Lang == "en"
        assert document.Root.ViewerPreferences.DisplayDocTitle
        with document.open_metadata() as metadata:
            assert metadata["dc:title"] == "Exercise program of Orla Testwick"
            assert metadata["pdfuaid:part"] == "1"


def test_pictures_are_wide_and_two_exercises_share_a_page() -> None:
    printed = printed_once("vertebral_fracture", "Letter", 16)
    texts = [squeezed(page.text) for page in printed.pages]
    (balance,) = [one for one in printed.told.chapters if one.title == "Balance"]
    found = [n for block in balance.blocks for n, text in enumerate(texts) if begun(block, text)]
    assert len(found) == len(balance.blocks)
    assert len(set(found)) <= (len(found) + 2) // 2 + 1


def begun(block: Block, text: str) -> bool:
    return squeezed("".join(block.steps)) in bare(text)


def test_printed_again_it_is_the_same_byte_by_byte() -> None:
    once = printed_once("hip_first", "A4", 16)
    assert print_handout(snapshot_of("hip_first")) == once.pdf


@pytest.mark.parametrize("person", sorted(set(PEOPLE) - {"hip_first", "vertebral_fracture"}))
def test_other_people_fit_as_well(person: str) -> None:
    printed = printed_once(person, "Letter", 20)
    test_page_one_says_when_to_stop(printed)
    test_all_of_it_stands_inside_the_margins(printed)
    test_no_block_is_split(printed)
    test_it_passes_the_machine_rules_of_pdf_ua(printed)


def test_nothing_is_told_by_colour() -> None:
    """Printed in black and white it is the same: each dot is grey."""
    for picture in pictures(printed_once("hip_first", "A4", 16).pdf, 12):
        red, green, blue = picture.split()
        for one, other in ((red, green), (green, blue)):
            assert ImageChops.difference(one, other).getbbox() is None


def pictures(pdf: bytes, most: int) -> Iterator[object]:
    import pypdfium2

    document = pypdfium2.PdfDocument(pdf)
    try:
        for number in range(min(most, len(document))):
            yield document[number].render(scale=0.5).to_pil().convert("RGB")
    finally:
        document.close()


def test_a_draft_says_so_across_each_page() -> None:
    unsigned = dict.fromkeys(SIGNER, "")
    made = print_handout(snapshot_of(signer=unsigned))
    for page in reading.pages_of(made):
        assert "DRAFT" in page.text.replace("DRAFT, not signed", "")
        assert "DRAFT, not signed" in page.text
        assert "signed 2" not in page.text


def test_a_missing_picture_stops_the_printing() -> None:
    """Case F03."""
    held = snapshot_of()
    held["weeks"][0]["impact"]["exercises"] = ["no_such_exercise"]
    with pytest.raises(KeyError):
        print_handout(held)
