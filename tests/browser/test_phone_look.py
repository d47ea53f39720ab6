"""Her own phone in a browser: opened by a touch, read and written, with scripts and without."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.utils import timezone
from playwright.sync_api import Browser, Page, expect

from programs.actions.phone_codes import make_code
from programs.models.phone import PhoneEntry
from programs.models.program import SignedPlan
from tests.programs import reviews
from tests.programs.rows import AT

WIDTHS = (390, 360, 320)
#: Whatever is lower than a thumb needs: 44 px (WCAG 2.2, target size, enhanced).
SMALL = """() => [...document.querySelectorAll("button, a, select, input[type=text], summary")]
    .filter((one) => one.getBoundingClientRect().height > 0)
    .filter((one) => one.getBoundingClientRect().height < 44)
    .map((one) => one.outerHTML)"""
SIDEWAYS = "() => document.documentElement.scrollWidth - document.documentElement.clientWidth"


@pytest.fixture(autouse=True)
def wednesday(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(timezone, "now", lambda: AT + dt.timedelta(days=2))


@pytest.fixture
def signed(transactional_db: None, clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture(params=[False, True], ids=["without scripts", "with scripts"])
def phone(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Page]:
    """A phone, of which only one with scripts can be asked whether the rules of access hold."""
    size, scripts = {"width": 390, "height": 800}, request.param
    context = browser.new_context(viewport=size, has_touch=True, java_script_enabled=scripts)  # type: ignore[arg-type]
    yield context.new_page()
    context.close()


@pytest.fixture
def scripts(phone: Page, request: pytest.FixtureRequest) -> bool:
    return bool(request.node.callspec.params["phone"])


@pytest.fixture
def looks_well(scripts: bool, picture: Callable[[Page, str], None]) -> Callable[[Page, str], None]:
    """Look at an open page at each width: none scrolls sideways, the rules of access hold."""

    def look(page: Page, name: str) -> None:
        for width in WIDTHS:
            page.set_viewport_size({"width": width, "height": 800})
            picture(page, f"phone-{name}-{width}")
            assert page.evaluate(SIDEWAYS) == 0, (name, width)
            assert page.evaluate(SMALL) == [], (name, width)
            if scripts and width == WIDTHS[-1]:
                assert Axe().run(page).response["violations"] == [], (name, width)

    return look


@pytest.mark.parametrize("language", ["en", "es"])
def test_h11_opened_read_and_written_at_the_width_of_a_phone(
    language: str,
    phone: Page,
    live_server: object,
    signed: SignedPlan,
    clinician: User,
    looks_well: Callable[[Page, str], None],
) -> None:
    """H11: a page was wider than the phone."""
    made = {"signed": signed, "language": language, "by": clinician, "at": timezone.now()}
    _, code = make_code(**made)
    phone.goto(f"{live_server}/week/{language}/{code}/")
    looks_well(phone, f"open-{language}")
    phone.locator("button").tap()
    expect(phone.locator("h2#today")).to_be_visible()
    looks_well(phone, f"week-{language}")
    phone.locator("a.main").tap()
    phone.locator("select[name='day.fell']").select_option("Y")
    phone.locator("input[name='day.note']").fill("x" * 201)
    phone.locator("button.main").tap()
    expect(phone.locator("[role=alert]")).to_be_visible()
    expect(phone.locator("input[name='day.note']")).to_have_value("x" * 201)
    looks_well(phone, f"day-{language}")
    phone.locator("input[name='day.note']").fill("On the stairs")
    phone.locator("button.main").tap()
    expect(phone.locator(".urgent")).to_be_visible()
    looks_well(phone, f"urgent-{language}")
    assert PhoneEntry.objects.get().told == {"day.fell": "Y", "day.note": "On the stairs"}
    phone.locator("section[aria-labelledby=end] button").tap()
    expect(phone.get_by_text("Nothing is open here")).to_be_visible()
    looks_well(phone, f"closed-{language}")
