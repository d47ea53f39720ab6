"""The measurement pages with data on them: wide and narrow, by rule, by print."""

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from patients.actions import scanners
from patients.actions.scanners import MarkerFigures, Study
from patients.models.patient import Patient
from patients.models.scanners import MarkerError, Scanner
from tests.factories import (
    AssessmentFactory,
    FractureFactory,
    FunctionTestDayFactory,
    MarkerFactory,
    PatientFactory,
    ScanFactory,
    SizeFactory,
)
from tests.programs.rows import plan, signed


@pytest.fixture
def scanner(clinician: User) -> Scanner:
    kept = scanners.save_scanner(
        scanner=None, name="Room 2", note="Moved in May 2023", by=clinician, at=timezone.now()
    )
    people = [(0.9, 0.91)] * 15 + [(0.8, 0.82)] * 15
    study = Study(site="total_hip", made_on=dt.date(2023, 6, 1), people=people, note="Two of us")
    scanners.record_study(scanner=kept, study=study, by=clinician, at=timezone.now())
    small = Study(site="lumbar_spine", made_on=dt.date(2023, 6, 1), people=people[:9])
    scanners.record_study(scanner=kept, study=small, by=clinician, at=timezone.now())
    return kept


@pytest.fixture
def measured(scanner: Scanner, clinician: User) -> Patient:
    """A person whose every kind of measurement is on record."""
    patient = PatientFactory(given_name="Fenna", family_name="Voorbeeld")
    hips = ((2019, 3, "0.702", "Old"), (2023, 7, "0.681", "Room 2"), (2024, 1, "0.691", "Room 2"))
    for year, month, bmd, name in (*hips, (2025, 9, "0.718", "room 2")):
        day = dt.date(year, month, 12)
        more = {"patient": patient, "scanner": name, "date": day, "t": None, "z": None}
        ScanFactory(**more, bmd_g_cm2=Decimal(bmd))
        ScanFactory(**more, bmd_g_cm2=Decimal(bmd) + Decimal("0.15"), site="lumbar_spine", side="")
    for year, value in ((2024, 612), (2025, 233)):
        MarkerFactory(patient=patient, date=dt.date(year, 2, 1), value=Decimal(value))
    for year, go, walk in ((2024, "13.4", "5.60"), (2025, "11.9", "4.65")):
        FunctionTestDayFactory(
            patient=patient,
            date=dt.date(year, 2, 1),
            up_and_go_s=Decimal(go),
            walk_4m_s=Decimal(walk),
            five_stands_s=Decimal("14.0"),
            side_by_side_s=10,
            semi_tandem_s=10,
            tandem_s=5,
            one_leg_s=Decimal("4.0"),
            grip_kg=Decimal("15.9"),
            standing_bp=[110, 74],
            worry=[2, 2, 1, 2, 1, 3, year - 2024 or None],
        )
    for year, height in ((2021, "164.0"), (2025, "161.5")):
        SizeFactory(patient=patient, date=dt.date(year, 2, 1), height_cm=Decimal(height))
    FractureFactory(patient=patient, date=timezone.localdate() - dt.timedelta(days=40))
    FractureFactory(patient=patient, date=None, site="rib")
    FractureFactory(patient=patient, date=dt.date(2011, 12, 31), date_is="year", site="hip")
    for version, month in enumerate((1, 4, 7, 10), start=1):
        signed_at = dt.datetime(2024, month, 15, 10, 0, tzinfo=dt.UTC)
        made = plan(patient, clinician, version=version, state="signed")
        signed(made, clinician, signed_at=signed_at)
    for marker, cv_percent in (("ctx", (6.0, 11.5)), ("p1np", None)):
        figures = MarkerFigures(
            laboratory="Northern General Testlab",
            marker=marker,
            told_on=dt.date(2025, 1, 5),
            cv_percent=cv_percent,
            lsc_percent=None if cv_percent else 27.5,
            note="Automated assay",
        )
        scanners.record_marker_error(figures=figures, by=clinician, at=timezone.now())
    AssessmentFactory(
        patient=patient,
        as_of=dt.date(2025, 10, 1),
        answers={
            "person": {"tallest_height_cm": 166, "menopause": "after"},
            "falls": {"last_12_months": 1, "unsteady": "yes"},
            "medicines": {"bone_medicine": {"answer": "yes", "months": 18}},
        },
        answered={"medicines": "2025-10-01"},
    )
    return patient


def pages(patient: Patient, scanner: Scanner) -> dict[str, str]:
    return {
        "measures": reverse("patients:measures", args=[patient.pk]),
        "risk": reverse("safety:risk", args=[patient.pk]),
        "tests": reverse("patients:section", args=[patient.pk, "tests"]),
        "fractures": reverse("patients:section", args=[patient.pk, "fractures"]),
        "previsit": reverse("patients:previsit", args=[patient.pk]),
        "laboratory": reverse("patients:laboratory"),
        "laboratory-error": reverse(
            "patients:marker_error_withdraw", args=[MarkerError.objects.latest("pk").pk]
        ),
        "scanners": reverse("patients:scanners"),
        "scanner": reverse("patients:scanner", args=[scanner.pk]),
        "import": reverse("patients:import"),
    }


def test_fit_and_pass_axe(
    signed_in_page: Page,
    live_server: Any,
    looks_well: Callable[[Page, str], None],
    measured: Patient,
    scanner: Scanner,
) -> None:
    page = signed_in_page
    for name, path in pages(measured, scanner).items():
        page.goto(live_server.url + path)
        page.evaluate("for (const d of document.querySelectorAll('details')) d.open = true")
        looks_well(page, name)


SENT = """record number;date;site;side;bmd;T-score;doctor
000777;15/04/2025;total hip;left;0,681;−2,1;Nobody
000777;03/04/2025;lumbar spine;;0,912;−1,4;Nobody
000777;03/04/2025;ankle;;0,912;−1,4;Nobody
7.77E+05;03/04/2025;total hip;left;0,681;−2,1;Nobody
777;03/04/2025;total hip;left;6,81;−2,1;Nobody
"""


def test_a_file_from_sending_to_taking(
    signed_in_page: Page, live_server: Any, looks_well: Callable[[Page, str], None]
) -> None:
    PatientFactory(record_number="000777", given_name="Fenna", family_name="Voorbeeld")
    page = signed_in_page
    page.goto(live_server.url + reverse("patients:import"))
    file = {"name": "scans 2025.csv", "mimeType": "text/csv", "buffer": SENT.encode()}
    page.get_by_label("File").set_input_files(files=[file])  # type: ignore[list-item]
    page.get_by_role("button", name="Look at it").click()
    looks_well(page, "import-order")
    page.get_by_label("day first").check()
    page.get_by_role("button", name="Read the file this way").click()
    looks_well(page, "import-found")
    page.get_by_role("button", name="Take 2 rows, leave the 3 out").click()
    expect(page.get_by_role("status")).to_contain_text("Taken: 2 rows.")


def test_the_paper_is_typed_in_by_keyboard_alone(signed_in_page: Page, live_server: Any) -> None:
    patient = PatientFactory(given_name="Fenna", family_name="Voorbeeld")
    page = signed_in_page
    page.goto(live_server.url + reverse("patients:previsit", args=[patient.pk]))
    page.locator("input[name=conditions-acute_thrombosis__answer]:checked").focus()
    for key in ("ArrowLeft", "Tab", "ArrowRight"):
        page.keyboard.press(key)
    first = page.locator("input[name=conditions-acute_thrombosis__answer]:checked")
    second = page.locator("input[name=conditions-unstable_heart_disease__answer]:checked")
    expect(first).to_have_value("no")
    expect(second).to_have_value("yes")
    page.get_by_label("Wrist: broken in").focus()
    page.keyboard.type("2011")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("Saved: conditions, 1 fracture.")
    expect(page.locator("main")).to_contain_text("2011 (year only)")


def test_a_long_file_is_said_to_be_read(signed_in_page: Page, live_server: Any) -> None:
    """The answer is empty here, so that the page stays with what it says meanwhile."""
    page = signed_in_page
    page.goto(live_server.url + reverse("patients:import"))
    page.route("**/import/", lambda route: route.fulfill(status=204))
    file = {"name": "scans 2025.csv", "mimeType": "text/csv", "buffer": SENT.encode()}
    page.get_by_label("File").set_input_files(files=[file])  # type: ignore[list-item]
    page.get_by_role("button", name="Look at it").click(no_wait_after=True)
    expect(page.get_by_text("Reading the file.")).to_be_visible()
