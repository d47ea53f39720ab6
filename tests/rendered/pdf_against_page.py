"""The numbers in a paper's PDF against those of the page it was made from."""

from __future__ import annotations

import datetime as dt
import re
from collections import Counter
from html import unescape
from typing import Any
from unittest import mock
from xml.etree.ElementTree import Element

import tinyhtml5
from django.template.loader import render_to_string
from django.utils import translation

from programs.actions import pdf_process, printing
from programs.actions.papers import words_of
from programs.papers import issue_of, pages
from programs.papers.span import to_next_visit
from tests.programs.papers.test_cross_check import held_of
from tests.programs.papers.under_check import of_class
from tests.programs.sample_papers import DIGEST, program_of
from tests.rendered import reading

_NUMBER = re.compile(r"\d+")


def lacking(who: str, language: str, paper: str, type_pt: int, broken: str = "") -> list[str]:
    """Return which numbers the PDF has too few or too many of; the page is made from `who`.

    broken   a number of the page, and another, "45>54": the first of it is changed in the PDF
             alone, as a fault of the press would
    """
    program, words = program_of(held_of(who)), words_of(language)
    issue = issue_of(program, words, digest=DIGEST, zone=dt.UTC)
    told = pages(program, words, issue, to_next_visit(program, program.starts_on))
    how: dict[str, Any] = {"language": language, "paper": paper, "type_pt": type_pt}
    shown = {"handout": told, "issue": issue, "draft": False, **how}
    with translation.override(language):
        page = render_to_string("handout.html", shown)
    printed = page
    if broken:
        before, _, after = broken.partition(">")
        printed = re.sub(rf"(?<=>){before}(?=\D)", after, page, count=1)
        assert printed != page
    with (
        mock.patch.object(printing, "render_to_string", return_value=printed),
        mock.patch.object(pdf_process, "apart", pdf_process.print_page),
    ):
        made = printing.pdf("handout.html", shown, issue=issue, **how)
    return _differences(page, made)


def _differences(page: str, made: bytes) -> list[str]:
    tree = tinyhtml5.parse(page, namespace_html_elements=False)
    body = tree.find("body")
    assert body is not None
    sheets = reading.pages_of(made)
    wanted = _of_edges(page, len(sheets)) + _of_body(body)
    found: Counter[str] = Counter()
    for sheet in sheets:
        found.update(_NUMBER.findall(sheet.text))
    few = wanted - found
    return [f"{count} of {number} too few" for number, count in sorted(few.items())] + _too_many(
        found - wanted, body, len(sheets)
    )


def _of_edges(page: str, count: int) -> Counter[str]:
    """Return the numbers at head and foot of so many pages, the pages' own among them."""
    held: Counter[str] = Counter()
    for part in (printing._HEAD, printing._FOOT):
        found = part.search(page)
        assert found is not None
        held.update(_NUMBER.findall(re.sub("<[^>]*>", "", unescape(found[1]))))
    every = Counter({number: times * count for number, times in held.items()})
    return every + Counter(map(str, range(1, count + 1))) + Counter({str(count): count})


def _of_body(body: Element) -> Counter[str]:
    """Return the numbers of a page's texts and of its numbered lists."""
    held: Counter[str] = Counter()
    edges = {id(one) for name in ("head", "foot") for one in of_class(body, name)[0].iter()}
    pictures = {id(one) for svg in body.iter() if _is(svg, "svg") for one in svg.iter()}
    for part in body.iter():
        inside = id(part) in edges | pictures
        texts = [] if inside else [part.text or ""]
        texts += [child.tail or "" for child in part] if not inside else []
        for text in texts:
            held.update(_NUMBER.findall(text))
        if _is(part, "ol"):
            held.update(str(n) for n, _ in enumerate(part, 1))
    return held


def _is(part: Element, name: str) -> bool:
    return str(part.tag).rpartition("}")[2] == name


def _too_many(more: Counter[str], body: Element, count: int) -> list[str]:
    """Let be the pages that exercises are on, and the heads of tables that come again."""
    heads = {n for part in body.iter("thead") for n in _NUMBER.findall("".join(part.itertext()))}
    ats = len(of_class(body, "at"))
    pages_told = Counter({n: c for n, c in more.items() if n not in heads})
    odd = [n for n in pages_told if int(n) > count]
    told = [f"{more[number]} of {number} too many" for number in sorted(odd)]
    return told if pages_told.total() <= ats else [*told, f"{pages_told.total()} page numbers"]
