"""The browser: Debian's own where there is one, on pages that must obey their own policy."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.conf import settings
from django.db import connections
from django.test import Client
from playwright.sync_api import Error, Page, Playwright, expect, sync_playwright

import _setup

#: A laptop, a tablet, a phone, and the narrowest that a page must fit.
WIDTHS = (1366, 820, 360, 320)

BOOTSTRAPS_PICTURE = "Loading the image 'data:image/svg+xml,"

# A page may take its time on a busy machine; what is waited for must come all the same.
expect.set_options(timeout=30_000)
# Playwright runs an event loop in this thread, which Django takes for asynchronous code.
os.environ["DJANGO_ALLOW_ASYNC_UNSAFE"] = "true"


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, object]:
    quiet = [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-default-apps",
        "--disable-sync",
        "--no-first-run",
    ]
    return {"executable_path": _setup.browser(), "args": quiet}


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """Start the browser's driver, whose event loop runs in this thread to the end.

    A thread with such a loop gets connections of its own: those from before would stay open,
    out of reach, and a restore would rightly find the database in use.
    """
    connections.close_all()
    with sync_playwright() as started:
        yield started


@pytest.fixture(autouse=True)
def obeys_policy(page: Page) -> Iterator[None]:
    """Fail a test during which a page broke its content policy or threw a script error.

    Where before.css is still on its way and something asks for the page's looks, the browser asks
    for Bootstrap's own pictures and is refused; that no page goes on asking for one is looked at
    in test_every_page.
    """
    complaints: list[str] = []

    def heard(said: str) -> None:
        if "Content Security" in said and BOOTSTRAPS_PICTURE not in said:
            complaints.append(said)

    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("console", lambda said: heard(said.text))
    yield
    assert complaints == []


@pytest.fixture
def signed_in_page(page: Page, live_server: object, signed_in: Client) -> Page:
    """A page whose browser holds the clinician's session; go to live_server.url + path."""
    session = signed_in.cookies[settings.SESSION_COOKIE_NAME].value
    cookie = {"name": settings.SESSION_COOKIE_NAME, "value": session, "url": str(live_server)}
    page.context.add_cookies([cookie])  # type: ignore[list-item]
    return page


@pytest.fixture
def picture(output: Path, pytestconfig: pytest.Config) -> Callable[[Page, str], None]:
    """Save what the page shows as tests/output/<name>.png, where pictures were asked for."""

    def save(page: Page, name: str) -> None:
        path = output / f"{name}.png"
        try:
            page.screenshot(path=path, full_page=True)
        except Error:
            # A browser short of memory now and then gives no picture of a long page at once.
            page.screenshot(path=path, full_page=True)

    return save if pytestconfig.getoption("pictures") else lambda page, name: None


@pytest.fixture
def looks_well(picture: Callable[[Page, str], None]) -> Callable[[Page, str], None]:
    """Look at an open page at each width: none scrolls sideways, the rules of access hold.

    At the narrowest axe looks at each page in test_every_page.
    """

    def look(page: Page, name: str) -> None:
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 768})
            picture(page, f"{name}-{width}")
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (name, width)
            if width == WIDTHS[0]:
                assert Axe().run(page).response["violations"] == [], (name, width)

    return look
