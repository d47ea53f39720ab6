"""The whole job, clicked through: a consult, eight weeks at home, a review, version 2."""

import datetime as dt
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from django.utils import timezone
from playwright.sync_api import Page, expect

from programs.models.program import SessionLog, SignedPlan
from tests.conftest import PASSWORD

START = dt.datetime(2027, 1, 4, 10, 0, tzinfo=dt.UTC)
WEEKS_AT_HOME = 8
#: Her clinic visit, section by section: what is typed, chosen and ticked.
ABOUT = {"height_cm": "163,5", "weight_kg": "62", "tallest_height_cm": "164"}
TESTS = {
    "up_and_go_s": "8,4",
    "chair_stands_30s": "15",
    "five_stands_s": "10.2",
    "side_by_side_s": "10",
    "semi_tandem_s": "10",
    "tandem_s": "10",
    "one_leg_s": "22",
    "walk_4m_s": "3.6",
    "grip_kg": "25",
    "resting_bp": "126/76",
    "standing_bp": "124/76",
}
SCANS = {"total_hip": ("0.722", "−1.8"), "femoral_neck": ("0.630", "–1,9")}


class Clock:
    """The time that the server reads; the test alone moves it."""

    def __init__(self) -> None:
        self.now = START

    def read(self) -> dt.datetime:
        """Return the time, a little later at each look, as real clocks do."""
        self.now += dt.timedelta(milliseconds=1)
        return self.now


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Clock:
    found = Clock()
    monkeypatch.setattr(timezone, "now", found.read)
    return found


class Visit:
    """A clinician at her browser."""

    def __init__(self, page: Page, base: str, picture: Callable[[Page, str], None]) -> None:
        self.page, self.base, self.picture = page, base, picture
        self.patient = ""

    def go(self, step: str) -> None:
        self.page.goto(f"{self.base}{self.patient}{step}/")

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name).first.click()
        self.answered()

    def answered(self) -> None:
        """Wait until a form that asked whether the server is there has been answered."""
        self.page.wait_for_function("() => !document.querySelector('form[data-asking]')")

    def fill(self, prefix: str, values: dict[str, str]) -> None:
        for name, text in values.items():
            self.page.fill(f"[name={prefix}-{name}]", text)

    def tick(self, *names: str) -> None:
        for name in names:
            self.page.check(f"[name={name}]" if "=" not in name else _with_value(name))

    def next(self) -> None:
        before = self.page.url
        self.page.click("[name=and_next]")
        self.answered()
        assert self.page.url != before, self.page.locator(".error-summary").inner_text()


def _with_value(name: str) -> str:
    field, value = name.split("=")
    return f"[name='{field}'][value='{value}']"


def sign_in(visit: Visit) -> None:
    visit.page.goto(f"{visit.base}/")
    visit.page.fill("[name=username]", "m.ferro")
    visit.page.fill("[name=password]", PASSWORD)
    visit.page.keyboard.press("Enter")
    expect(visit.page.get_by_role("heading", name="Caseload")).to_be_visible()


def add_patient(visit: Visit) -> None:
    visit.page.get_by_role("link", name="Add a patient").click()
    for name, text in (
        ("given_name", "Siobhán"),
        ("family_name", "O’Quillfeather"),
        ("born", "1960-02-29"),
    ):
        visit.page.fill(f"[name={name}]", text)
    visit.page.select_option("[name=sex]", "female")
    visit.press("Add")
    visit.patient = visit.page.url.removeprefix(visit.base).removesuffix("facts/")
    expect(visit.page.locator(".banner")).to_contain_text("Siobhán O’Quillfeather")


def tell_facts(visit: Visit) -> None:
    visit.go("facts/about")
    visit.fill("about", ABOUT | {"height_cm": "185 m"})
    visit.page.click("[name=and_next]")
    expect(visit.page.locator(".error-summary")).to_be_visible()
    expect(visit.page.locator("[name=about-weight_kg]")).to_have_value("62")
    visit.fill("about", ABOUT)
    visit.page.select_option("[name=about-menopause]", "after")
    visit.next()
    visit.tick("none-none")
    visit.next()
    visit.fill("scan", {"date": "2026-12-10", "scanner": "North room"})
    for site, (bmd, t) in SCANS.items():
        visit.fill("scan", {f"{site}__bmd_g_cm2": bmd, f"{site}__t": t})
    visit.next()
    visit.fill("falls", {"last_12_months": "0"})
    visit.tick(*(f"falls-{name}=no" for name in ("injury", "long_lie", "blackout", "unsteady")))
    visit.next()
    visit.fill("tests", {"date": "2027-01-04", **TESTS})
    visit.next()
    for rows in ("conditions", "symptoms", "medicines"):
        visit.tick(f"{rows}-rest_is_no")
        visit.next()
    tell_time_and_plate(visit)


def tell_time_and_plate(visit: Visit) -> None:
    visit.page.select_option("[name=aims-aim0]", "hip")
    days = ("mon", "tue", "wed", "thu", "fri", "sat")
    visit.tick(*(f"resources-days={day}" for day in days))
    visit.fill("resources", {"minutes_per_day": "50", "load_step_kg": "1"})
    visit.tick("resources-supervised=no", "resources-watcher=no", "resources-support_rail=yes")
    tools = ("chair", "step", "dumbbells", "leg_press")
    visit.tick(*(f"resources-equipment={tool}" for tool in tools))
    visit.next()
    visit.fill("plate0", {"name": "at home", "load_limit_kg": "120", "price": "1900"})
    visit.page.select_option("[name=plate0-motion]", "vertical")
    span = {"from": "20", "to": "50", "step": "1"}
    for end, text in span.items():
        visit.page.fill(f"[name=plate0-frequency_hz__{end}]", text)
    visit.page.fill("[name=plate0-displacement_mm__settings]", "1 2 4")
    visit.page.select_option("[name=plate0-displacement_mm__reads_as]", "peak_to_peak")
    visit.tick("plate0-rail=yes")
    visit.next()
    visit.fill("lift", {"on": "2027-01-04", "leg_press__kg": "60", "leg_press__reps": "8"})
    visit.page.click("[name=and_back]")
    visit.answered()


def screen_and_plan(visit: Visit) -> None:
    visit.go("screen")
    visit.picture(visit.page, "consult-screen")
    visit.press("Save this screen")
    expect(visit.page.get_by_role("heading", name="Plan")).to_be_visible()
    visit.press("Draft")
    visit.picture(visit.page, "consult-plan")
    visit.go("plan/resistance")
    visit.page.fill("[name=week_from]", "1")
    visit.page.fill("[name=week_to]", "2")
    visit.page.fill("[name=could_lift]", "24")
    visit.page.fill("[name=reason]", "Sore shoulder last week; start lower.")
    visit.page.locator("form", has=visit.page.locator("[name=could_lift]")).get_by_role(
        "button", name="Change"
    ).click()
    expect(visit.page.locator("main")).to_contain_text("Sore shoulder last week")


def sign(visit: Visit, starts_on: dt.date) -> None:
    visit.go("sign")
    visit.picture(visit.page, "consult-sign")
    visit.page.fill("[name=starts_on]", starts_on.isoformat())
    visit.page.fill("[name=without_number]", "The numbers are written in by hand")
    visit.page.fill("[name=password]", PASSWORD)
    visit.page.locator("form", has=visit.page.locator("[name=password]")).get_by_role(
        "button"
    ).first.click()
    expect(visit.page.locator("main")).to_contain_text(re.compile(r"Version \d is signed"))


def print_handout(visit: Visit, output: Path, version: int) -> str:
    visit.go("handout")
    visit.picture(visit.page, f"consult-handout-{version}")
    # Not each browser shows a PDF in its window: what is looked at is the answer that it got.
    with visit.page.context.expect_event("response", lambda one: one.url.endswith(".pdf")) as got:
        visit.press("Open the paper")
    answer = visit.page.request.get(got.value.url)
    path = output / f"consult-handout-{version}.pdf"
    path.write_bytes(answer.body())
    with pypdfium2.PdfDocument(path) as pdf:
        return "\n".join(page.get_textpage().get_text_range() for page in pdf)


def log_weeks(visit: Visit) -> None:
    """Four weeks at a time, as planned; her knee hurt in the last, with lifting."""
    for first in range(1, WEEKS_AT_HOME + 1, 4):
        visit.page.goto(f"{visit.base}{visit.patient}log/?week={first}&weeks=4")
        visit.press("All of these weeks as planned")
        pains = visit.page.locator("[data-cell=pain][data-planned]").all()
        for pain in pains if first > 4 else []:
            pain.fill("1")
        if first > 4:
            name = "[data-kind=resistance][data-cell=done][data-planned]"
            row = visit.page.locator("tbody[data-week]").last.locator(
                "tr", has=visit.page.locator(name)
            )
            row.first.locator("[data-cell=pain]").fill("5")
            row.first.locator("[data-cell=pain_settled]").fill("Y")
            pain = str(row.first.locator("[data-cell=pain]").get_attribute("name"))
            visit.page.locator("summary", has_text="In words, by day").click()
            visit.page.fill(f"[name='{pain}_with']", "L")
        for falls in visit.page.locator("[name$='.falls']").all():
            falls.fill("N")
        visit.press(f"Log weeks {first} to {first + 3}")
        expect(visit.page.locator(".message")).to_contain_text("Logged:")
    visit.picture(visit.page, "consult-log")


def hold_review(visit: Visit) -> None:
    visit.go("review")
    visit.picture(visit.page, "consult-review")
    expect(visit.page.locator("main")).to_contain_text("Hold")
    for modality in ("plate", "resistance", "impact", "balance", "posture"):
        proposed = "hold" if modality == "resistance" else "advance"
        visit.page.select_option(f"[name={modality}]", proposed)
    visit.press("Keep the review and make the next draft")
    expect(visit.page.get_by_role("heading", name="Plan, version 2")).to_be_visible()


def test_a_consult_from_the_first_visit_to_version_2(
    page: Page,
    live_server: Any,
    clinician: Any,
    clock: Clock,
    output: Path,
    picture: Callable[[Page, str], None],
) -> None:
    visit = Visit(page, live_server.url, picture)
    sign_in(visit)
    add_patient(visit)
    tell_facts(visit)
    visit.go("facts")
    picture(page, "consult-facts")
    screen_and_plan(visit)
    sign(visit, dt.date(2027, 1, 4))
    paper = print_handout(visit, output, 1)
    assert "O’Quillfeather" in paper
    clock.now += dt.timedelta(weeks=WEEKS_AT_HOME, hours=2)
    sign_in(visit)
    log_weeks(visit)
    hold_review(visit)
    sign(visit, dt.date(2027, 3, 1))
    paper = print_handout(visit, output, 2)
    assert "Plan 2, signed 1 Mar 2027" in paper
    assert SignedPlan.objects.count() == 2
    assert SessionLog.objects.filter(modality="resistance").count() == WEEKS_AT_HOME * 2
