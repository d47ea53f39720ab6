"""The pages about accounts, looked at; and what an idle tab says of the session."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import Page, expect

from patients.actions.open_sessions import note_sign_in
from patients.staff.rights import Role
from tests.conftest import PASSWORD
from tests.patients.codes import code_at, secret_of, with_codes
from tests.staff import person_of

WIDTHS = (1366, 820, 360)
PAGES = {
    "people": "/people/",
    "person_add": "/people/add/",
    "account": "/account/",
    "own_name": "/account/name/",
    "password": "/password/",
    "codes_turned_on": "/account/codes/",
    "codes": "/account/codes/",
    "codes_asked": "/people/codes/",
    "door": "/clinic/door/",
    "refused": "/people/",
}


@pytest.mark.parametrize("name", PAGES)
def test_fits_and_passes_axe(
    signed_in_page: Page,
    live_server: Any,
    clinician: User,
    picture: Callable[[Page, str], Path],
    name: str,
) -> None:
    page = signed_in_page
    person_of(Role.ASSISTANT, username="a.berg", first_name="Astrid Berg of the Long Name")
    person_of(username="nobody.yet", first_name="", is_active=False)
    key = page.context.cookies()[0]["value"]
    agent = "Mozilla/5.0 (X11; Linux x86_64) Firefox/140.0"
    note_sign_in(by=clinician, session_key=key, user_agent=agent, at=timezone.now())
    if name == "codes":
        with_codes(clinician, timezone.now())
    if name == "refused":
        from patients.models.staff import RoleChange

        RoleChange.objects.create(
            who=clinician, role="keeper", given=False, at=timezone.now(), by=None
        )
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        page.goto(live_server.url + PAGES[name])
        inside = page.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert inside, f"{name} is wider than {width} px"
        picture(page, f"people_{name}_{width}")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_one_time_codes_are_turned_on_and_asked_for_without_scripts(
    browser: Any, live_server: Any, clinician: User, picture: Callable[[Page, str], Path]
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()

    def signs_in() -> None:
        page.goto(live_server.url + "/account/")
        page.get_by_label("Username").fill("m.ferro")
        page.get_by_label("Password").fill(PASSWORD)
        page.get_by_role("button", name="Sign in").click()

    signs_in()
    page.get_by_role("link", name="Turn them on").click()
    secret = secret_of(page.locator(".one-use-code").inner_text())
    expect(page.locator("svg.qr path")).to_be_visible()
    page.get_by_label("First code").fill(code_at(secret, timezone.now()))
    page.get_by_label("Your password").fill(PASSWORD)
    page.get_by_role("button", name="Turn on").click()
    recovery = page.locator("li.one-use-code").all_inner_texts()
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": 900})
        picture(page, f"people_recovery_codes_{width}")
    page.get_by_role("button", name="Sign out").click()
    signs_in()
    for width in (*WIDTHS, 320):
        page.set_viewport_size({"width": width, "height": 900})
        picture(page, f"people_second_step_{width}")
    page.get_by_label("Code").fill(recovery[3])
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_text("9 recovery codes left")).to_be_visible()
    context.close()


def test_a_code_is_given_and_used_without_scripts(
    browser: Any, live_server: Any, clinician: User, picture: Callable[[Page, str], Path]
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(live_server.url + "/people/")
    page.get_by_label("Username").fill("m.ferro")
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in").click()
    page.get_by_role("link", name="Add somebody").click()
    page.get_by_label("Name of the account").fill("a.berg")
    page.get_by_label("Full name").fill("Astrid Berg")
    page.locator("[name=roles][value=assistant]").check()
    page.get_by_role("button", name="Add").click()
    code = page.locator(".one-use-code").inner_text()
    picture(page, "people_code_1366")
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("link", name="Set a password with a code").click()
    page.get_by_label("Code").fill(code)
    page.get_by_label("New password (required)", exact=True).fill("seven quiet herons")
    page.get_by_label("The new password again").fill("seven quiet herons")
    picture(page, "people_new_password_1366")
    page.get_by_role("button", name="Set the password").click()
    page.get_by_label("Username").fill("a.berg")
    page.get_by_label("Password").fill("seven quiet herons")
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("link", name="Astrid Berg")).to_be_visible()
    expect(page.get_by_role("link", name="People", exact=True)).to_have_count(0)
    context.close()


def test_k08_an_idle_tab_asks_before_it_says_that_one_is_signed_out(
    signed_in_page: Page, live_server: Any
) -> None:
    """K08: one tab was used for 16 minutes, the other said "You are signed out" meanwhile."""
    page = signed_in_page
    page.clock.install()
    page.goto(live_server.url + "/rulebook/")
    notice = page.locator("#idle-notice")
    # By this tab's own clock the time is long over; by the server's the session has begun.
    with page.expect_response("**/time-left/"):
        page.clock.fast_forward(16 * 60 * 1000)
    page.clock.run_for(6_000)
    expect(notice).to_be_empty()
    Session.objects.all().delete()
    page.clock.fast_forward(16 * 60 * 1000)
    page.clock.run_for(6_000)
    expect(notice).to_contain_text("You are signed out")


def test_shortly_before_it_offers_to_stay(signed_in_page: Page, live_server: Any) -> None:
    page = signed_in_page
    page.clock.install()
    page.goto(live_server.url + "/rulebook/")
    row = Session.objects.get()
    row.expire_date = timezone.now() + dt.timedelta(seconds=90)
    row.save()
    with page.expect_response("**/time-left/"):
        page.clock.fast_forward(14 * 60 * 1000)
    stay = page.get_by_role("button", name="Stay signed in")
    expect(stay).to_be_visible()
    Session.objects.update(expire_date=timezone.now() + dt.timedelta(minutes=15))
    stay.click()
    expect(stay).to_have_count(0)
