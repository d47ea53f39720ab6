"""The pages that every other page is built on: wide and narrow, by keyboard, by rule."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

PAGES = {"sign-in": "/sign-in/", "not-found": "/nowhere/"}


@pytest.mark.parametrize("width", [1366, 820, 320])
@pytest.mark.parametrize("name", PAGES)
def test_fits_and_passes_axe(
    page: Page, live_server: Any, picture: Callable[..., Path], name: str, width: int
) -> None:
    page.set_viewport_size({"width": width, "height": 768})
    page.goto(live_server.url + PAGES[name])
    picture(page, f"{name}-{width}")
    assert Axe().run(page).response["violations"] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_the_typeface_is_our_own(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/sign-in/")
    assert page.evaluate(
        "document.fonts.ready.then(() => document.fonts.check('16px \"Atkinson Hyperlegible\"'))"
    )
    assert page.evaluate("[...document.fonts].some(font => font.status === 'loaded')")


def test_first_tab_stop_skips_to_the_content(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/password/")
    page.keyboard.press("Escape")
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") in {"skip-link", "btn btn-primary"}
