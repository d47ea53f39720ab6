"""The stopwatch beside timed tests; time is the browser's own clock, moved by hand."""

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Locator, Page, expect

from patients.models.patient import FunctionTestDay
from tests.factories import PatientFactory

NOON = dt.datetime(2026, 3, 2, 12, 0, tzinfo=dt.UTC)


@pytest.fixture
def tests_page(signed_in_page: Page, live_server: Any) -> Page:
    """The page on which a person's function tests are typed."""
    page, patient = signed_in_page, PatientFactory()
    page.goto(live_server.url + reverse("patients:section", args=[patient.pk, "tests"]))
    return page


@pytest.fixture
def sheet(tests_page: Page) -> Page:
    """The same with the clock standing still."""
    tests_page.clock.install(time=NOON)
    tests_page.clock.pause_at(NOON + dt.timedelta(seconds=1))
    return tests_page


def watch(page: Page, about: str) -> Locator:
    return page.get_by_role("button", name=f"the stopwatch: {about}", exact=False)


def test_start_and_stop_write_the_seconds(sheet: Page) -> None:
    watch(sheet, "Timed Up and Go").click()
    expect(sheet.get_by_text("Timed Up and Go: running.")).to_be_attached()
    sheet.clock.run_for(11_240)
    expect(watch(sheet, "Timed Up and Go")).to_contain_text("Stop 11.2 s")
    expect(sheet.get_by_role("textbox", name="Timed Up and Go", exact=True)).to_have_value("")
    watch(sheet, "Timed Up and Go").click()
    expect(sheet.get_by_role("textbox", name="Timed Up and Go", exact=True)).to_have_value("11.2")
    expect(watch(sheet, "Timed Up and Go")).to_contain_text("Start")
    said = sheet.locator("[aria-live=polite]", has_text="Timed Up and Go: 11.2 seconds.")
    expect(said).to_be_attached()


def test_a_field_of_two_decimals_gets_two(sheet: Page) -> None:
    watch(sheet, "4 m walk").click()
    sheet.clock.run_for(4_820)
    watch(sheet, "4 m walk").click()
    expect(sheet.get_by_role("textbox", name="4 m walk", exact=True)).to_have_value("4.82")


def test_by_keyboard(sheet: Page) -> None:
    watch(sheet, "Single-leg stance").focus()
    sheet.keyboard.press("Space")
    sheet.clock.run_for(6_000)
    sheet.keyboard.press("Enter")
    expect(sheet.get_by_role("textbox", name="Single-leg stance", exact=True)).to_have_value("6.0")
    expect(watch(sheet, "Single-leg stance")).to_be_focused()


def test_several_run_side_by_side(sheet: Page) -> None:
    watch(sheet, "Semi-tandem").click()
    sheet.clock.run_for(2_000)
    watch(sheet, "Single-leg stance").click()
    sheet.clock.run_for(3_000)
    watch(sheet, "Semi-tandem").click()
    watch(sheet, "Single-leg stance").click()
    expect(sheet.get_by_role("textbox", name="Semi-tandem", exact=True)).to_have_value("5.0")
    expect(sheet.get_by_role("textbox", name="Single-leg stance", exact=True)).to_have_value("3.0")


def test_a_second_start_begins_at_nought(sheet: Page) -> None:
    for wait_ms in (9_000, 4_000):
        watch(sheet, "Single-leg stance").click()
        sheet.clock.run_for(wait_ms)
        watch(sheet, "Single-leg stance").click()
    expect(sheet.get_by_role("textbox", name="Single-leg stance", exact=True)).to_have_value("4.0")


def test_it_keeps_time_while_the_machine_sleeps(sheet: Page) -> None:
    watch(sheet, "Timed Up and Go").click()
    # Asleep, only the clock goes on.
    sheet.evaluate("const tick = performance.now(); performance.now = () => tick")
    sheet.clock.run_for(31_000)
    watch(sheet, "Timed Up and Go").click()
    expect(sheet.get_by_role("textbox", name="Timed Up and Go", exact=True)).to_have_value("31.0")


def test_what_it_wrote_is_saved(sheet: Page) -> None:
    watch(sheet, "Timed Up and Go").click()
    sheet.clock.run_for(9_400)
    watch(sheet, "Timed Up and Go").click()
    sheet.get_by_label("Tested on").fill("2026-03-02")
    sheet.get_by_role("button", name="Save", exact=True).click()
    expect(sheet.get_by_role("heading", level=1)).to_contain_text("Facts on")
    assert str(FunctionTestDay.objects.get().up_and_go_s) == "9.4"


def test_only_timed_fields_have_one(sheet: Page) -> None:
    expect(sheet.locator(".stopwatch")).to_have_count(7)
    expect(watch(sheet, "Grip")).to_have_count(0)


def test_fits_and_passes_axe(tests_page: Page, looks_well: Callable[[Page, str], None]) -> None:
    looks_well(tests_page, "tests")
