"""The languages that papers can be made in: each declared once."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Language:
    """One language of the patients' papers.

    name      in English, for the clinician's pages
    own_name  as those who speak it write it
    rtl       it is written from right to left
    at_first  it is on where a clinic has set nothing
    ready     its catalogue is whole; until then no clinic is offered it
    """

    code: str
    name: str
    own_name: str
    rtl: bool = False
    at_first: bool = False
    ready: bool = True


DECLARED = {
    one.code: one
    for one in (
        Language(code="en", name="English", own_name="English", at_first=True),
        Language(code="es", name="Spanish", own_name="español", at_first=True),
        Language(code="fr", name="French", own_name="français"),
    )
}


def ready() -> list[Language]:
    """Return the languages that a clinic may use."""
    return [one for one in DECLARED.values() if one.ready]


def is_rtl(code: str) -> bool:
    """Tell whether the lines of a language begin at the right."""
    return code in DECLARED and DECLARED[code].rtl
