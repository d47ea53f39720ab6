"""Which terms stand on which page, so that each page links to their places in the glossary."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from patients.facts import declared, declared_plate
from patients.facts.question import Kind, asks
from programs.help.glossary import by_anchor, question_anchor

_LOADING = ("kinds", "one_rm", "could_lift", "in_reserve", "body_weights", "osteogenic_index")
_PLATE = ("frequency", "peak_to_peak", "acceleration", "bout")
#: By the name of the page's address.
_PAGES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "programs:consult": ("t_score", "low_trauma", "levels", "kinds"),
        "patients:facts": ("t_score", "z_score", "bmd", "low_trauma", "up_and_go", "sppb"),
        "patients:measures": ("t_score", "z_score", "bmd", "least_change", "up_and_go", "sppb"),
        "patients:scanners": ("bmd", "least_change"),
        "patients:scanner": ("bmd", "least_change"),
        "patients:change": ("person-sex", "person-table_sex"),
        "patients:new": ("person-sex", "person-table_sex"),
        "safety:screen": ("levels", "cleared", "kinds", "risks", "categories"),
        "safety:risk": ("risks", "categories", "t_score", "z_score", "low_trauma"),
        "safety:rulebook": ("levels", "kinds", "cleared", "sources"),
        "programs:plan": (*_LOADING, *_PLATE, "ramp", "rung"),
        "programs:plan_edit": (*_LOADING, *_PLATE),
        "programs:sign": (*_LOADING, *_PLATE, "levels", "cleared", "record_chain"),
        "programs:why": (*_LOADING, *_PLATE, "sources"),
        "programs:fits": ("kinds", "ramp"),
        "programs:what_if": ("kinds", "ramp"),
        "programs:handout": ("kinds", "bout"),
        "programs:log": ("kinds", "in_reserve", "bout"),
        "programs:review": ("kinds", "ramp", "rung", "in_reserve"),
        "programs:beside": ("kinds", "long_lie"),
        "programs:plates": _PLATE,
        "programs:fit": _PLATE,
        "programs:appraisal": _PLATE,
        "programs:evidence": (*_PLATE, "sources"),
        "programs:clinic": (*_LOADING, *_PLATE, "record_chain"),
        "programs:clinic_record": ("record_chain",),
    }
)
#: Terms, lists and dataclasses of facts of each section of the facts.
_SECTIONS: Mapping[str, tuple[tuple[str, ...], tuple[type[Any], ...]]] = MappingProxyType(
    {
        "about": ((), (declared.Person,)),
        "fractures": (
            ("low_trauma",),
            (declared.Fracture, declared.SpineImage, declared.Probability),
        ),
        "scans": (("t_score", "z_score", "bmd"), (declared.Scan, declared.Turnover)),
        "falls": (("long_lie",), (declared.Falls,)),
        "tests": (("up_and_go", "sppb"), (declared.Tests,)),
        "conditions": (("conditions", "cleared"), (declared.Condition,)),
        "symptoms": (("symptoms",), ()),
        "medicines": (("medicines",), (declared.Medicine,)),
        "aims": (("aims",), (declared.Experience, declared.Resources)),
        "plates": (
            _PLATE,
            (declared_plate.Plate, declared_plate.FrequencyRange, declared_plate.Displacement),
        ),
        "lifts": (("one_rm",), (declared.Lift,)),
    }
)
SECTION_PAGE = "patients:section"


def terms_on(page: str, section: str = "") -> tuple[tuple[str, str], ...]:
    """Return place and word of each term of a page; of a section's page those of its questions."""
    anchors = _PAGES.get(page, ())
    if page == SECTION_PAGE and section in _SECTIONS:
        anchors = (*_SECTIONS[section][0], *_of_questions(_SECTIONS[section][1]))
    return tuple((anchor, by_anchor()[anchor]) for anchor in anchors)


def _of_questions(asked: tuple[type[Any], ...]) -> tuple[str, ...]:
    return tuple(
        question_anchor(of, name)
        for of in asked
        for name, ask in asks(of).items()
        if ask.kind not in (Kind.GROUP, Kind.LIST)
    )
