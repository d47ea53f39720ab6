"""The plates' pages in a browser: wide and narrow, by rule, and the appraisal on one sheet."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pypdfium2
import pytest
from django.contrib.auth.models import User
from django.urls import reverse
from playwright.sync_api import Page

from patients.facts.document import write_part
from programs.actions import plates as actions
from tests.people import fracture, steady_document
from tests.programs.rows import AT, recorded
from tests.programs.sample_plates import GENTLE, TILTING, VERTICAL

PLATES = [
    write_part(replace(VERTICAL, price=690.0)),
    write_part(TILTING),
    write_part(replace(GENTLE, price=1450.0)),
]
#: The most that can stand on the sheet: every aim, four plates, many findings.
FULL: dict[str, Any] = {
    "aims": ["spine", "hip", "falls", "strength", "wrist"],
    "person": {"born": "1939-05-02"},
    "fractures": [fracture("vertebra", "2024-06-01"), fracture("wrist", "2015-06-01")],
    "falls": {"last_12_months": 3, "injury": "yes"},
    "conditions": dict.fromkeys(
        ("stones", "hernia", "vertigo", "arrhythmia", "kidney_disease", "chronic_back_pain"), "yes"
    ),
    "tests": {"resting_bp": [166, 95]},
    "resources": {"plates": PLATES, "watcher": "yes", "minutes_per_day": 25},
}
STEADY: dict[str, Any] = {"aims": ["hip", "spine"], "resources": {"plates": PLATES}}


@pytest.fixture
def addresses(live_server: Any, clinician: User) -> dict[str, str]:
    room = replace(VERTICAL, name="Room 2", displacement_mm=None, rail=False)
    (row,) = actions.add_plates(plates=[room], by=clinician, at=AT)
    steady = recorded(clinician, steady_document(**STEADY))
    frail = recorded(clinician, steady_document(**FULL))
    side_by_side = "".join(f"&plate=own-{n}" for n in range(3)) + f"&plate=clinic-{row.pk}"

    def at(name: str, *args: int) -> str:
        return reverse(f"programs:{name}", args=args)

    return {
        "register": at("plates"),
        "plate": at("plate_change", row.pk),
        "measure": at("plate_measure", row.pk),
        "import": at("plates_import"),
        "evidence": at("evidence"),
        "fit": f"{at('fit', steady.pk)}?clinic=clinic-{row.pk}",
        "fit-frail": at("fit", frail.pk),
        "appraisal": at("appraisal", steady.pk),
        "appraisal-full": f"{at('appraisal', frail.pk)}?{side_by_side[1:]}",
    }


def test_fits_and_passes_axe(
    signed_in_page: Page,
    live_server: Any,
    addresses: dict[str, str],
    looks_well: Callable[[Page, str], None],
) -> None:
    page = signed_in_page
    for name, address in addresses.items():
        page.goto(live_server.url + address)
        looks_well(page, f"plates-{name}")


@pytest.mark.parametrize("name", ["appraisal", "appraisal-full"])
def test_the_appraisal_prints_on_one_sheet(
    signed_in_page: Page, live_server: Any, addresses: dict[str, str], output: Path, name: str
) -> None:
    page = signed_in_page
    page.goto(live_server.url + addresses[name])
    path = output / f"plates-{name}.pdf"
    page.pdf(path=path, prefer_css_page_size=True)
    sheets = pypdfium2.PdfDocument(path)
    assert len(sheets) == 1
    assert [round(mm * 25.4 / 72) for mm in sheets[0].get_size()] == [210, 297]
    text = sheets[0].get_textpage().get_text_bounded()
    assert "What to make of it is for the clinician and the person to decide." in text
    assert "Compare them side by side" not in text
    sheets.close()
