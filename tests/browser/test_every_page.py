"""Each page of the URL table once: narrow, in the dark, in forced colours, what is folded open."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.test import Client
from django.urls import resolve
from playwright.sync_api import Page

from programs.actions import pdf_process
from tests.test_every_form import addresses, bit_of_everything

#: Narrowest width that WCAG 2.2, 1.4.10 asks for, in CSS pixels.
NARROW = 320
FOLDED = "for (const one of document.querySelectorAll('details')) one.open = true"
#: The lines of those that stand still, and of the one that is current, as they are painted.
LINES = """() => [...document.querySelectorAll('.steps li, .masthead nav li')].map(one => [
  !!one.querySelector('[aria-current]'),
  getComputedStyle(one).borderBottomStyle !== 'none'
    && getComputedStyle(one).borderBottomColor !== 'rgba(0, 0, 0, 0)'])"""

#: What asks for a picture that no page may load.
FORBIDDEN = """() => [...document.querySelectorAll('*')]
  .filter(one => getComputedStyle(one).backgroundImage.includes('data:'))
  .map(one => one.outerHTML.slice(0, 90))"""

#: What is still seen of fields and buttons when the page is printed.
PRINTED = """() => [...document.querySelectorAll('main :is(input, select, textarea, button)')]
  .filter(one => one.checkVisibility()).map(one => one.outerHTML.slice(0, 90))"""


@pytest.fixture
def pages(
    transactional_db: None, clinician: User, signed_in: Client, monkeypatch: pytest.MonkeyPatch
) -> Iterator[list[str]]:
    """Return one address of each page that is there, as an answer of text."""
    monkeypatch.setattr(pdf_process, "apart", lambda order: b"%PDF")
    numbers, more = bit_of_everything(clinician)
    found = {}
    for address in [*addresses(numbers), *more]:
        match = resolve(address)
        answer = signed_in.get(address)
        # What is sent in pieces is closed once it is read to its end.
        whole = b"</html>" in answer.getvalue()
        if answer.status_code == 200 and whole and "Content-Disposition" not in answer.headers:
            found[match.view_name, answer.content[:400]] = address
    return list(found.values())


def looked_at(page: Page, save: Callable[[Page, str], None], name: str) -> list[str]:
    """Return what is wrong with the page that is open, in the dark and in forced colours."""
    page.evaluate(FOLDED)
    save(page, f"every{name.replace('/', '-')}dark")
    wide = page.evaluate("document.documentElement.scrollWidth")
    wrong = [f"scrolls sideways: {wide} px"] if wide > NARROW else []
    wrong += [f"asks for a picture: {name}" for name in page.evaluate(FORBIDDEN)]
    wrong += [violation_words(one) for one in Axe().run(page).response["violations"]]
    page.emulate_media(forced_colors="active")
    seen = page.evaluate(LINES)
    wrong += [
        f"forced colours: step {current}, line {line}"
        for current, line in seen
        if line and not current
    ]
    page.emulate_media(media="print")
    wrong += [f"printed: {name}" for name in page.evaluate(PRINTED)]
    page.emulate_media(media="screen", forced_colors="none")
    return wrong


def violation_words(one: dict[str, Any]) -> str:
    return f"{one['id']}: {[node['html'][:120] for node in one['nodes']][:3]}"


def test_every_page_is_narrow_dark_and_forced(
    live_server: Any,
    signed_in_page: Page,
    pages: list[str],
    picture: Callable[[Page, str], None],
) -> None:
    """WCAG 2.2, 1.4.3, 1.4.10 and 1.4.11; what axe finds, on each page once."""
    page, wrong = signed_in_page, {}
    page.set_viewport_size({"width": NARROW, "height": 720})
    page.emulate_media(color_scheme="dark", reduced_motion="reduce")
    for address in pages:
        page.goto(live_server.url + address)
        if found := looked_at(page, picture, address):
            wrong[address] = found
    assert not wrong, "\n".join(f"{at}: {found}" for at, found in wrong.items())
    assert len(pages) > 90, len(pages)


def test_in_forced_colours_words_stand_out_and_the_current_step_is_told(
    live_server: Any, signed_in_page: Page, pages: list[str]
) -> None:
    page, plan = signed_in_page, next(one for one in pages if one.endswith("/plan/1/"))
    page.emulate_media(forced_colors="active", reduced_motion="reduce")
    page.goto(live_server.url + plan)
    found = Axe().run(page, options={"runOnly": ["color-contrast"]}).response["violations"]
    assert [violation_words(one) for one in found] == []
    lines = page.evaluate(LINES)
    assert [line for current, line in lines if current] == [True]
    assert len(lines) > 10
