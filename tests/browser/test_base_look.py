"""The pages that every other page is built on: wide and narrow, by keyboard, by rule."""

from collections.abc import Callable
from typing import Any

from playwright.sync_api import Page, expect

PAGES = {"sign-in": "/sign-in/", "not-found": "/nowhere/"}


def test_fits_and_passes_axe(
    page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    for name, path in PAGES.items():
        page.goto(live_server.url + path)
        looks_well(page, name)


def test_the_typeface_is_our_own(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/sign-in/")
    assert page.evaluate(
        "document.fonts.ready.then(() => document.fonts.check('16px \"Atkinson Hyperlegible\"'))"
    )
    assert page.evaluate("[...document.fonts].some(font => font.status === 'loaded')")


def test_first_tab_stop_skips_to_the_content(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/nowhere/")
    page.keyboard.press("Tab")
    link = page.locator(".skip-link")
    expect(link).to_be_focused()
    expect(link).to_be_in_viewport()
    page.keyboard.press("Enter")
    expect(page.locator("main")).to_be_focused()


def test_the_wheel_leaves_a_focused_number_alone(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/nowhere/")
    long_form = "'<input type=number value=68>' + '<p>x</p>'.repeat(200)"
    page.evaluate(f"document.querySelector('main').innerHTML = {long_form}")
    field = page.locator("input")
    field.focus()
    field.hover()
    page.mouse.wheel(0, 400)
    expect(page.locator("h1, input").first).not_to_be_in_viewport()
    expect(field).to_have_value("68")


def test_a_second_click_sends_nothing(page: Page, live_server: Any) -> None:
    sent: list[str] = []
    page.goto(live_server.url + "/sign-in/")
    page.on("request", lambda request: sent.append(request.method))
    page.get_by_label("Username").fill("m.ferro")
    page.get_by_label("Password").fill("wrong wrong wrong")
    page.evaluate("for (let i = 0; i < 5; i++) document.querySelector('main button').click()")
    expect(page.get_by_text("Please enter a correct username")).to_be_visible()
    assert sent.count("POST") == 1


def test_how_a_date_was_read_goes_once_it_is_typed_over(page: Page, live_server: Any) -> None:
    page.goto(live_server.url + "/nowhere/")
    asked = "'<div><input value=2026-12-01><p class=read-as>Read as 1 December 2026</p></div>'"
    page.evaluate(f"document.querySelector('main').innerHTML = {asked}")
    read = page.get_by_text("Read as 1 December 2026")
    expect(read).to_be_visible()
    page.locator("input").fill("20 Nov 2026")
    expect(read).to_be_hidden()
    page.locator("input").fill("2026-12-01")
    expect(read).to_be_visible()
