"""The Risk page: every criterion of fracture and fall risk, met, near, not met, not recorded."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from patients.facts.sections import SECTIONS, Section
from patients.measured.density import asked_of_newest
from patients.models.patient import Patient
from patients.rows_to_facts import Contradiction
from patients.views.common import contradiction_page, patient_page, today
from safety import screen_page, words
from safety.facts_with_clearances import facts_for
from safety.risk import Criterion
from safety.screen import screen
from safety.screen_page import RiskReading


@dataclass(frozen=True, kw_only=True)
class Line:
    """One criterion for reading.

    state    decides, met, near, unmet or missing
    numbers  her own numbers that come near to it
    """

    criterion: Criterion
    level: str
    state: str
    numbers: tuple[str, ...]

    @property
    def word(self) -> str:
        """Return the state in words."""
        return STATES[self.state][0]

    @property
    def sign(self) -> str:
        """Return the ending of the class of its sign."""
        return STATES[self.state][1]


#: States in the order of the page, with the word and the sign of each.
STATES = {
    "decides": ("decides", "needs_clearance"),
    "met": ("met as well", "precaution"),
    "near": ("nearly met", "refer"),
    "missing": ("not recorded", "missing"),
    "unmet": ("not met", "plain"),
}
#: Where each criterion is asked for, by its code.
_ASKED_IN = {
    "fracture_risk.recent_fracture": "fractures",
    "fracture_risk.two_vertebral": "fractures",
    "fracture_risk.earlier_fracture": "fractures",
    "fracture_risk.major_30": "fractures",
    "fracture_risk.major_20": "fractures",
    "fracture_risk.major_10": "fractures",
    "fracture_risk.hip_4_5": "fractures",
    "fracture_risk.hip_3": "fractures",
    "fracture_risk.t_3_0": "scans",
    "fracture_risk.t_2_5": "scans",
    "fracture_risk.z_2_0": "scans",
    "fracture_risk.t_1_0": "scans",
    "fracture_risk.steroid_30": "medicines",
    "fracture_risk.steroid_7_5": "medicines",
    "fracture_risk.hormone_blocking_treatment": "conditions",
    "fall_risk.two_falls": "falls",
    "fall_risk.severe_fall": "falls",
    "fall_risk.unsteady": "falls",
    "fall_risk.two_sedating": "medicines",
    "fall_risk.frame": "about",
    "fall_risk.abnormal_test": "tests",
}


@require_GET
def risk(request: HttpRequest, patient_id: int) -> HttpResponse:
    """Show both risks with each criterion, whether it fired, and whose it is."""
    patient = get_object_or_404(Patient, pk=patient_id)
    try:
        seen = screen(facts_for(patient, today()))
    except Contradiction as contradiction:
        return contradiction_page(request, patient, contradiction)
    situation = seen.situation
    return patient_page(
        request,
        "safety/risk.html",
        patient,
        step="risk",
        facts_known=situation.facts,
        risks=[(found, lines(found), _sections(found)) for found in screen_page.risks(seen)],
        category=words.CATEGORY_WORDS[situation.density.category],
        density=words.density_words(situation),
        why_this_score=words.why_this_score(situation),
        slips=asked_of_newest(situation.facts),
    )


def lines(found: RiskReading) -> list[Line]:
    """Return every criterion in the order of the page, each level from the gravest."""
    order = list(STATES)
    return sorted(_lines(found), key=lambda line: order.index(line.state))


def _lines(found: RiskReading) -> Iterator[Line]:
    for criterion in found.risk.criteria:
        numbers = tuple(n.number for n in found.near if n.criterion.code == criterion.code)
        yield Line(
            criterion=criterion,
            level=words.RISK_WORDS[criterion.level],
            state=_state(found, criterion, near=bool(numbers)),
            numbers=tuple(dict.fromkeys(numbers)),
        )


def _state(found: RiskReading, criterion: Criterion, *, near: bool) -> str:
    if criterion.met is None:
        return "missing"
    if criterion.met:
        return "decides" if criterion in found.risk.fired else "met"
    return "near" if near else "unmet"


def _sections(found: RiskReading) -> list[Section]:
    missing = (c.code for c in found.risk.criteria if c.met is None)
    return [SECTIONS[section] for section in dict.fromkeys(_ASKED_IN[code] for code in missing)]
