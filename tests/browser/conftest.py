"""The browser: Debian's own where there is one, on pages that must obey their own policy."""

import os
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from playwright.sync_api import Page

import _setup

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


@pytest.fixture(autouse=True)
def obeys_policy(page: Page) -> Iterator[None]:
    """Fail a test during which a page broke its content policy or threw a script error."""
    complaints: list[str] = []
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on(
        "console",
        lambda said: complaints.append(said.text) if "Content Security" in said.text else None,
    )
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
def picture(output: Path) -> Callable[[Page, str], Path]:
    """Save what the page shows as tests/output/<name>.png, the whole of its length."""

    def save(page: Page, name: str) -> Path:
        path = output / f"{name}.png"
        page.screenshot(path=path, full_page=True)
        return path

    return save
