"""The first consult in a browser: one key a question, what follows beside it, on one page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from typing import Any

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from patients.models.patient import Assessment, Patient
from tests.factories import PatientFactory


@pytest.fixture
def patient(transactional_db: None) -> Patient:
    made: Patient = PatientFactory(
        given_name="Nuala", family_name="O’Testwick", born=dt.date(1958, 3, 14), sex="female"
    )
    return made


@pytest.fixture
def page(signed_in_page: Page, live_server: Any, patient: Patient) -> Page:
    signed_in_page.set_viewport_size({"width": 1366, "height": 768})
    signed_in_page.goto(live_server.url + reverse("programs:consult", args=[patient.pk]))
    return signed_in_page


def press(page: Page, *keys: str) -> None:
    for key in keys:
        page.keyboard.press(key)


def test_the_page_fits_and_passes_the_rules_of_access(
    page: Page, looks_well: Callable[[Page, str], None]
) -> None:
    looks_well(page, "consult")
    page.get_by_label("Surgery", exact=True).check()
    page.locator("[name=no_fracture-broke][value=yes]").check()
    page.locator("[name=no_plate-plate][value=yes]").check()
    page.fill("[name=about-height_cm]", "tall")
    page.fill("[name=tests-resting_bp]", "78/132")
    page.fill("[name=scan-date]", "03/04/2026")
    page.fill("[name=scan-total_hip__t]", "-1,8")
    page.fill("[name=plate0-displacement_mm__settings]", "2,4")
    page.set_viewport_size({"width": 1366, "height": 768})
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".error-summary")).to_contain_text("Not saved yet")
    expect(page.locator(".error-summary")).to_be_focused()
    expect(page).to_have_title("Error: First consult: Nuala O’Testwick")
    expect(page.locator("[name=about-height_cm]")).to_have_value("tall")
    looks_well(page, "consult-errors")
    for width in (390, 1024):
        page.set_viewport_size({"width": width, "height": 768})
        assert page.evaluate("document.documentElement.scrollWidth") <= width, width


def test_with_a_mouse_all_of_it_stands_on_one_screen(page: Page) -> None:
    # Until its letters are there, it stands in others, which are wider.
    ends = page.evaluate(
        "document.fonts.ready.then(() => [...document.querySelectorAll('#asked .short-group')]"
        ".map(one => one.getBoundingClientRect().bottom))"
    )
    assert len(ends) == 7
    assert max(ends) <= 768, ends
    low = page.evaluate(
        "[...document.querySelectorAll('#asked label.choice')].filter(one => one.offsetParent)"
        ".map(one => [one.textContent, one.getBoundingClientRect().height])"
        ".filter(([, height]) => height < 24)"
    )
    assert low == []
    expect(page.get_by_role("button", name="Save and draft")).to_be_in_viewport(ratio=1)
    expect(page.locator("table.kinds")).to_be_in_viewport(ratio=1)


def test_a_finger_is_given_more_room(page: Page, live_server: Any, patient: Patient) -> None:
    touched = page.context.browser.new_context(  # type: ignore[union-attr]
        viewport={"width": 1366, "height": 768}, has_touch=True, is_mobile=True
    )
    touched.add_cookies(page.context.cookies())  # type: ignore[arg-type]
    tablet = touched.new_page()
    tablet.goto(f"{live_server.url}{reverse('programs:consult', args=[patient.pk])}")
    assert tablet.evaluate("matchMedia('(pointer: coarse)').matches")
    apart = tablet.evaluate(
        "[...document.querySelectorAll('#asked .names')].map(list => list.getBoundingClientRect()"
        ".top - list.previousElementSibling.getBoundingClientRect().bottom)"
    )
    assert min(apart) >= 0, "names begin below the head of their list, not behind it"
    low = tablet.evaluate(
        "[...document.querySelectorAll('#asked label.choice')].filter(one => one.offsetParent)"
        ".map(one => one.getBoundingClientRect().height).filter(height => height < 32)"
    )
    assert low == []
    touched.close()


def test_what_does_not_apply_is_not_asked_even_without_scripts(
    page: Page, live_server: Any, patient: Patient
) -> None:
    base = f"{live_server.url}/patients/{patient.pk}/facts"
    lane = f"{live_server.url}{reverse('programs:consult', args=[patient.pk])}"
    plain = page.context.browser.new_context(java_script_enabled=False)  # type: ignore[union-attr]
    plain.add_cookies(page.context.cookies())  # type: ignore[arg-type]
    bare = plain.new_page()
    bare.goto(f"{base}/conditions/")
    since = bare.locator("[name=conditions-recent_surgery__on]")
    expect(since).to_be_hidden()
    bare.check("[name=conditions-recent_surgery__answer][value=yes]")
    expect(since).to_be_visible()
    bare.goto(f"{base}/plates/")
    axis, moved = (bare.locator(f"[name=plate0-{n}]") for n in ("tilt_degrees", "fixed_g"))
    bare.select_option("[name=plate0-motion]", "side_alternating")
    expect(axis).to_be_visible()
    expect(moved).to_be_hidden()
    bare.select_option("[name=plate0-motion]", "low_magnitude")
    expect(moved).to_be_visible()
    expect(axis).to_be_hidden()
    bare.goto(lane)
    blackout = bare.locator("[name=falls-blackout]").first
    for count, seen in (("0", False), ("2", True), ("more", True)):
        bare.check(f"[name=falls-last_12_months][value='{count}']")
        assert blackout.is_visible() is seen, count
    bare.check("[name=symptoms-rest_is_no]")
    bare.get_by_role("button", name="Show what follows").click()
    assert "red flags not asked" not in bare.locator("#beside").inner_text()
    assert not Assessment.objects.exists()
    expect(bare.locator("[name=falls-last_12_months][value=more]")).to_be_checked()
    plain.close()


def focused(page: Page) -> str:
    return str(page.evaluate("document.activeElement.name"))


def test_one_key_answers_goes_on_and_shows_what_follows(page: Page) -> None:
    beside = page.locator("#beside")
    expect(beside).to_contain_text("9 red flags not asked")
    assert focused(page) == "symptoms-rest_is_no"
    press(page, "n")
    assert focused(page) == "conditions-rest_is_no"
    expect(beside).not_to_contain_text("red flags not asked")
    press(page, "n", "n")
    assert focused(page) == "falls-last_12_months"
    press(page, "2")
    assert focused(page) == "falls-injury"
    expect(page.locator("#beside tr", has_text="Impact")).to_contain_text("Excluded")
    expect(page.locator("#consult-told")).to_contain_text("Impact: excluded.")
    page.locator("[name=falls-last_12_months][value='2']").focus()
    press(page, "-")
    assert focused(page) == "falls-unsteady"
    expect(page.locator("[name=falls-injury]").first).to_be_hidden()
    expect(page.locator("#beside tr", has_text="Impact")).not_to_contain_text("Excluded")
    press(page, "q")
    assert focused(page) == "falls-unsteady"
    page.locator("[name=time-days]").first.focus()
    press(page, "1", "3", "3", "5", "Enter")
    assert focused(page) == "time-minutes_per_day"
    assert page.locator("[name=time-days]:checked").count() == 2
    assert not Assessment.objects.exists()


def test_a_name_ticked_by_mouse_asks_its_details_and_is_saved(page: Page) -> None:
    page.get_by_label("Joint replacement", exact=True).click()
    page.fill("[name=conditions-joint_replacement__on]", "March 2019")
    page.locator("[name=conditions-rest_is_no]").check()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.locator(".message")).to_contain_text("Saved: conditions")
    expect(page.get_by_text("Answered", exact=False).first).to_contain_text("Marta Ferro")
    expect(page.locator("[name=conditions-joint_replacement__on]")).to_be_visible()
    expect(page.get_by_text("read as March 2019")).to_be_visible()
    expect(page.get_by_label("Hernia: no", exact=True)).not_to_be_checked()
    held = Assessment.objects.get().answers["conditions"]
    assert held["joint_replacement"] == {"answer": "yes", "on": "2019-03"}
    assert held["hernia"] == "no"
