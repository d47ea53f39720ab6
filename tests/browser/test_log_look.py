"""The log's grid in a browser: typed from paper by one key a cell, pasted, carried away."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from programs.models.program import SessionLog, SignedPlan
from safety.findings import Modality
from tests.programs import reviews
from tests.programs.reviews import after

#: An average typist: Card, Moran and Newell 1980 (0.28 s a key, 0.40 s for a hand from keyboard to
#: mouse or back, 1.35 s to think), from memory.
KEY_S, HAND_S, THINK_S = 0.28, 0.40, 1.35
WEEKS = 4
#: What stands on the paper, by the cell: all of it, pain 2, no fall; effort 5.
KEY_OF = {"done": "a", "pain": "2", "falls": "n"}


@pytest.fixture
def signed(transactional_db: None, clinician: User) -> SignedPlan:
    return reviews.signed(clinician)


@pytest.fixture(autouse=True)
def after_four_weeks(monkeypatch: pytest.MonkeyPatch) -> None:
    """Sunday evening of the fourth week; the seconds go on, as idle time needs them to."""
    at = after(WEEKS) - dt.timedelta(days=1)
    monkeypatch.setattr(timezone, "now", lambda: at)


def address(name: str, signed: SignedPlan) -> str:
    return reverse(f"programs:{name}", args=[signed.patient_id])


class Keys:
    """Fingers on a keyboard; counts what they press."""

    def __init__(self, page: Page) -> None:
        self.page, self.pressed = page, 0

    def __call__(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)
            self.pressed += 1


def value(page: Page, name: str) -> str:
    return str(page.evaluate("(id) => document.getElementById(id).value", name))


def focused(page: Page) -> str:
    return str(page.evaluate("document.activeElement.id"))


def open_log(page: Page, base: str, signed: SignedPlan) -> Keys:
    page.goto(base + address("log", signed))
    return Keys(page)


def test_g07_a_week_is_typed_without_the_mouse(
    live_server: Any, signed_in_page: Page, signed: SignedPlan
) -> None:
    page = signed_in_page
    keys = open_log(page, live_server.url, signed)
    assert focused(page) == "2026-03-02.plate.done"
    keys("a")
    assert focused(page) == "2026-03-02.plate.effort"
    keys("x")
    assert value(page, "2026-03-02.plate.effort") == "X"
    assert focused(page) == "2026-03-02.resistance.done"
    keys("n")
    assert focused(page) == "2026-03-02.impact.done"  # nothing done has no effort
    keys("ArrowLeft", "ArrowLeft", "ArrowRight", "ArrowDown")
    assert focused(page) == "2026-03-03.resistance.effort"
    keys("ArrowUp", "Enter")
    assert focused(page) == "2026-03-03.resistance.effort"
    keys("Tab")
    assert focused(page) == "2026-03-03.impact.done"
    keys("q")
    assert value(page, "2026-03-03.impact.done") == ""
    expect(page.locator("[data-said]")).to_contain_text("A, P, N")
    keys("Shift+Enter", "p")
    assert focused(page) == "2026-03-02.impact.effort"
    keys("Backspace")  # in an empty cell it goes back, in a filled one it clears
    assert focused(page) == "2026-03-02.impact.done"
    keys("Backspace", " ")
    assert value(page, "2026-03-02.impact.done") == ""
    assert focused(page) == "2026-03-02.balance.done"
    page.keyboard.insert_text("p")  # as a phone's keyboard does: no key is told
    assert value(page, "2026-03-02.balance.done") == "P"
    assert focused(page) == "2026-03-02.balance.effort"


def test_as_planned_fills_a_day_a_week_and_all_and_falls_are_asked(
    live_server: Any, signed_in_page: Page, signed: SignedPlan
) -> None:
    page = signed_in_page
    keys = open_log(page, live_server.url, signed)
    planned = page.locator("input[data-cell=done][data-planned]")
    filled = "[...document.querySelectorAll('input[data-cell=done]')].filter((c) => c.value).length"
    of_day = sum(_on_monday(signed, kind) for kind in Modality)
    keys("d")
    assert page.evaluate(filled) == of_day
    keys("w")
    week = page.evaluate(filled)
    assert of_day < week < planned.count()
    keys("m")
    assert page.evaluate(filled) == planned.count()
    assert value(page, "week1.falls") == ""
    page.keyboard.press("Control+Enter")
    expect(page.locator(".error-summary")).to_contain_text("Was there a fall?")
    for week_ in range(1, WEEKS + 1):
        page.locator(f"[name='week{week_}.falls']").focus()
        keys("n")
    page.keyboard.press("Control+Enter")
    expect(page.locator(".message")).to_contain_text("Logged:")
    assert not SessionLog.objects.filter(whole_day=False).exclude(done="all").exists()
    assert not SessionLog.objects.filter(whole_day=True).exclude(fell=False).exists()


def _on_monday(signed: SignedPlan, kind: Modality) -> bool:
    planned = reviews.planned(signed)
    return planned.starts_on in planned.days(1, kind)


def test_a_block_is_pasted(live_server: Any, signed_in_page: Page, signed: SignedPlan) -> None:
    page = signed_in_page
    open_log(page, live_server.url, signed)
    block = "a\t10\tp\t3\nn\t\tA\tX\n"
    page.evaluate(
        """(text) => {
          const data = new DataTransfer();
          data.setData("text/plain", text);
          document.activeElement.dispatchEvent(
            new ClipboardEvent("paste", { clipboardData: data, bubbles: true, cancelable: true }));
        }""",
        block,
    )
    named = ("plate.done", "plate.effort", "resistance.done", "resistance.effort")
    assert [value(page, f"2026-03-02.{name}") for name in named] == ["A", "X", "P", "3"]
    assert [value(page, f"2026-03-03.{name}") for name in named] == ["N", "", "A", "X"]
    expect(page.locator("[data-said]")).to_contain_text("8 pasted")


@pytest.mark.parametrize("as_planned", [True, False])
def test_four_weeks_from_paper_take_under_two_minutes(
    live_server: Any, signed_in_page: Page, signed: SignedPlan, output: Path, *, as_planned: bool
) -> None:
    """Every session, effort and pain of four weeks, falls asked each week; keys are counted.

    Of thinking: once for each training day, whose line is found on the paper, once a week for
    the falls, and once to save. The hand goes to the keyboard once, and points at nothing.
    """
    page = signed_in_page
    keys = open_log(page, live_server.url, signed)
    if as_planned:
        keys("m")
    while cell := focused(page):
        keys(KEY_OF.get(cell.rpartition(".")[2], "5"))
    assert page.evaluate("document.activeElement.matches('[data-save]')")
    keys("Enter")
    expect(page.locator(".message")).to_contain_text("Logged:")
    planned, weeks = reviews.planned(signed), range(1, WEEKS + 1)
    days = [day for week in weeks for m in Modality for day in planned.days(week, m)]
    sessions = SessionLog.objects.filter(whole_day=False)
    assert sessions.count() == len(days)
    assert not sessions.exclude(done="all", effort=5).exists()
    told = SessionLog.objects.filter(whole_day=True, pain=2, fell=False)
    assert {row.on for row in told} == set(days)
    thought = told.count() + WEEKS + 1
    seconds = keys.pressed * KEY_S + HAND_S + thought * THINK_S
    said = f"{len(days)} sessions on {told.count()} days, as planned: {as_planned}"
    said += f": {keys.pressed} K, {thought} M, 1 H, {seconds:.1f} s"
    (output / f"log-keystrokes-{as_planned}.txt").write_text(f"{said}\n")
    filled = 1 if as_planned else len(days)
    assert keys.pressed == filled + len(days) + told.count() + WEEKS + 1
    assert seconds < 120, said


def test_the_pages_fit_and_pass_axe(
    live_server: Any,
    signed_in_page: Page,
    signed: SignedPlan,
    looks_well: Callable[[Page, str], None],
) -> None:
    page = signed_in_page
    for name in ("log", "log_day", "log_files"):
        page.goto(live_server.url + address(name, signed))
        looks_well(page, name)


def test_the_log_is_carried_away_filled_in_and_brought_back(
    live_server: Any,
    signed_in_page: Page,
    signed: SignedPlan,
    tmp_path: Path,
    looks_well: Callable[[Page, str], None],
) -> None:
    """From the disk, without a network; the file that it saves is taken in, twice."""
    page = signed_in_page
    answer = page.request.get(live_server.url + address("log_carry", signed) + "?language=es")
    file = tmp_path / "log.html"
    file.write_bytes(answer.body())
    away = page.context.new_page()
    away.context.set_offline(True)
    away.clock.install(time=dt.datetime(2026, 3, 2, 12, 0, tzinfo=dt.UTC))
    away.goto(file.as_uri())
    looks_well(away, "log-carried")
    expect(away.get_by_role("heading", name="Su registro")).to_be_visible()
    away.get_by_role("button", name="Lo hice todo como estaba previsto").click()
    away.select_option("[name='plate.effort']", "X")
    away.select_option("[name='day.pain']", "3")
    away.locator("[name='day.fell'][value=N]").check()
    away.fill("[name='day.note']", "<b>O'Hara</b>")
    away.get_by_role("button", name="El día siguiente").click()
    away.get_by_role("button", name="El día anterior").click()
    expect(away.locator("[name='day.note']")).to_have_value("<b>O'Hara</b>")
    with away.expect_download() as saved:
        away.get_by_role("button", name="Guardar como archivo").click()
    brought = tmp_path / "brought.json"
    saved.value.save_as(brought)
    assert list(json.loads(brought.read_text())["days"]) == ["2026-03-02"]
    away.context.set_offline(False)
    away.close()
    bring(page, live_server.url, signed, brought)
    page.get_by_role("button", name="Take").click()
    expect(page.locator(".message")).to_contain_text("Taken:")
    day = SessionLog.objects.get(whole_day=True)
    assert (day.pain, day.fell, day.note) == (3, False, "<b>O'Hara</b>")
    assert SessionLog.objects.get(modality="plate", whole_day=False).effort == 10
    bring(page, live_server.url, signed, brought)
    expect(page.locator("main")).to_contain_text("This file has been taken before.")


def bring(page: Page, base: str, signed: SignedPlan, file: Path) -> None:
    page.goto(base + address("log_files", signed))
    page.set_input_files("#file", file)
    page.get_by_role("button", name="Look at it").click()
    expect(page.locator("main")).to_contain_text("Cannot be taken")
    for width in (320, 820):
        page.set_viewport_size({"width": width, "height": 800})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    assert Axe().run(page).response["violations"] == []


def test_h09_a_device_that_keeps_nothing_says_so_and_still_saves(
    live_server: Any, signed_in_page: Page, signed: SignedPlan, tmp_path: Path
) -> None:
    answer = signed_in_page.request.get(live_server.url + address("log_carry", signed))
    file = tmp_path / "log.html"
    file.write_bytes(answer.body())
    away = signed_in_page.context.new_page()
    refuse = "{ get() { throw new Error('refused'); } }"
    away.add_init_script(f"Object.defineProperty(window, 'localStorage', {refuse});")
    away.goto(file.as_uri())
    expect(away.locator("#keeps")).to_contain_text("keeps nothing when you close this page")
    away.fill("[name='day.note']", "cold")
    with away.expect_download() as saved:
        away.get_by_role("button", name="Save as a file").click()
    brought = tmp_path / "brought.json"
    saved.value.save_as(brought)
    away.reload()
    expect(away.locator("[name='day.note']")).to_have_value("")
    away.set_input_files("#file", brought)
    expect(away.locator("[name='day.note']")).to_have_value("cold")
    (tmp_path / "other.json").write_text('{"format": "calcar-log/1", "file": "another"}')
    away.set_input_files("#file", tmp_path / "other.json")
    expect(away.locator("#state")).to_contain_text("not from this log")
    expect(away.locator("[name='day.note']")).to_have_value("cold")
    away.close()
