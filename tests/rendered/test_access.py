"""Papers for readers who do not see the page: heads, names, edges and blanks of the tags."""

import datetime as dt
import io
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pikepdf
import pytest

from programs.actions import printing
from programs.actions.papers import words_of
from programs.papers import Span, issue_of, pages
from programs.papers.kinds import QUESTIONNAIRE
from tests.programs.sample_papers import DIGEST, OF_TODAY, program_of, snapshot_of

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]


@cache
def handout(language: str, type_pt: int) -> bytes:
    words, held = words_of(language), program_of(snapshot_of("hip_first"))
    issue = issue_of(held, words, digest=DIGEST, zone=dt.UTC)
    told = pages(held, words, issue, Span(first=1, last=4))
    return printing.pdf(
        "handout.html",
        {"handout": told},
        issue=issue,
        language=language,
        paper="A4",
        type_pt=type_pt,
    )


@cache
def form(language: str, type_pt: int) -> bytes:
    said = QUESTIONNAIRE.make(words_of(language), OF_TODAY)
    shown = {QUESTIONNAIRE.part: said}
    options: dict[str, Any] = {"language": language, "paper": "Letter", "type_pt": type_pt}
    return printing.pdf(QUESTIONNAIRE.template, shown, issue=None, **options)


@pytest.fixture(params=[("en", 16), ("es", 20)], ids=str)
def papers(request: pytest.FixtureRequest) -> tuple[bytes, ...]:
    return handout(*request.param), form(*request.param)


def elements(pdf: pikepdf.Pdf) -> Iterator[tuple[Any, tuple[str, ...]]]:
    """Yield each element of the tree with the kinds that it stands in."""

    def below(one: Any, within: tuple[str, ...]) -> Iterator[tuple[Any, tuple[str, ...]]]:
        for child in one.get("/K", []):
            if isinstance(child, pikepdf.Dictionary) and "/S" in child:
                yield child, within
                yield from below(child, (*within, str(child.S)))

    yield from below(pdf.Root.StructTreeRoot, ())


def opened(pdf: bytes) -> pikepdf.Pdf:
    return pikepdf.open(io.BytesIO(pdf))


def test_each_head_says_what_it_is_the_head_of(papers: tuple[bytes, ...]) -> None:
    """PDF/UA-1, 7.5 (ISO 14289-1): heads of a table have a scope; from memory."""
    for made in papers:
        scopes = {
            (within[-2], str(one.A.Scope))
            for one, within in elements(opened(made))
            if one.S == "/TH"
        }
        assert scopes == {("/THead", "/Column"), ("/TBody", "/Row")}


def test_a_corner_is_a_head(papers: tuple[bytes, ...]) -> None:
    for made in papers:
        kinds = {
            str(one.S) for one, within in elements(opened(made)) if within[-2:-1] == ("/THead",)
        }
        assert kinds == {"/TH"}


def test_the_heads_of_a_cell_are_found_by_name(papers: tuple[bytes, ...]) -> None:
    for made in papers:
        pdf = opened(made)
        named = [str(one) for one in pdf.Root.StructTreeRoot.IDTree.Names[::2]]
        assert named == sorted(set(named))
        asked = {
            str(head)
            for one, _ in elements(pdf)
            if one.S == "/TD"
            for head in one.A.get("/Headers", [])
        }
        assert asked
        assert asked <= set(named)


def test_the_edges_of_a_page_are_no_content(papers: tuple[bytes, ...]) -> None:
    """Matterhorn Protocol 1.02, 18-001 and 18-002: heads and feet are artifacts; from memory."""
    for made in papers:
        pdf = opened(made)
        held = {
            (one.Pg.objgen, int(mark))
            for one, _ in elements(pdf)
            for mark in one.get("/K", [])
            if isinstance(mark, int)
        }
        for page in pdf.pages:
            drawn = page.Contents.read_bytes()
            on_page = {(page.objgen, int(mark)) for mark in re.findall(rb"/MCID (\d+)", drawn)}
            assert on_page <= held
            assert b"/Artifact\n<</Type/Pagination>>\nBDC" in drawn


def test_a_blank_to_fill_in_is_no_empty_element(papers: tuple[bytes, ...]) -> None:
    """A cell that is left empty is one to write in."""
    for made in papers:
        empty = {str(one.S) for one, _ in elements(opened(made)) if not len(one.get("/K", []))}
        assert empty <= {"/TD"}


@pytest.mark.counted
def test_the_same_program_gives_the_same_bytes() -> None:
    once = form("en", 16)
    form.cache_clear()
    assert form("en", 16) == once
