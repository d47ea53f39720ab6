"""What is wrong with a Bundle: the library's shapes, and what no library looks at.

The library (its R4B models; the resources here are the same in R4) refuses a missing or unknown
element and a wrong primitive, yet takes any code, unit or reference. Those are looked at here,
against the tables of HL7 FHIR R4.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from typing import Any

from fhir.resources.R4B.bundle import Bundle
from pydantic import ValidationError

from programs.export.fhir.parts import LOINC, UCUM, NotAFhirDate, date, moment

#: The values of each element that is bound to a table, by resource and element.
BOUND = {
    ("Bundle", "type"): {"collection"},
    ("Patient", "gender"): {"male", "female", "other", "unknown"},
    ("Observation", "status"): {"final", "amended", "corrected", "entered-in-error"},
    ("CarePlan", "status"): {"active", "revoked", "completed", "unknown"},
    ("CarePlan", "intent"): {"plan"},
    ("MedicationStatement", "status"): {"active", "stopped", "completed", "entered-in-error"},
}
ACTIVITIES = {"not-started", "scheduled", "in-progress", "stopped", "completed", "unknown"}
CATEGORIES = {"vital-signs", "imaging", "laboratory", "exam", "survey"}
UNITS = {
    *("g/cm2", "1", "cm", "kg", "s", "%", "mm[Hg]", "{#}/(30.s)"),
    *("ng/L", "ng/mL", "ug/L", "pg/mL", "U/L"),
}
CLINICAL = {"active", "recurrence", "relapse", "inactive", "remission", "resolved"}
#: Elements that hold a day, month or year, or a moment with its zone.
DAYS = {"birthDate", "effectiveDateTime", "deceasedDateTime", "dateAsserted", "start", "end"}
DAYS |= {"onsetDateTime"}
MOMENTS = {"recorded", "when", "created"}
#: Of an observation: one of these, unless it has components (obs-6 and obs-7).
VALUES = {"valueQuantity", "dataAbsentReason", "component"}


def problems(bundle: dict[str, Any]) -> list[str]:
    """Return what is wrong with it; nothing where it holds."""
    found = [*_empty("Bundle", bundle)]
    try:
        Bundle.model_validate(bundle)
    except ValidationError as error:
        found.append(str(error))
    resources = [entry["resource"] for entry in bundle["entry"]]
    for resource in (bundle, *resources):
        found += _bound(resource)
    for resource in resources:
        found += _walked(resource["resourceType"], resource)
    return [*found, *_links(bundle), *_invariants(resources)]


def _empty(at: str, value: Any) -> Iterator[str]:
    if value in (None, "", [], {}):
        yield f"{at} holds nothing"
    elif isinstance(value, str) and value != value.strip():
        yield f"{at} has white space around it"
    for key, held in _inside(value):
        yield from _empty(f"{at}.{key}", held)


def _inside(value: Any) -> Iterator[tuple[Any, Any]]:
    if isinstance(value, dict):
        yield from value.items()
    elif isinstance(value, list):
        yield from enumerate(value)


def _bound(resource: dict[str, Any]) -> Iterator[str]:
    for (kind, element), codes in BOUND.items():
        if kind == resource["resourceType"] and resource.get(element) not in codes:
            yield f"{kind}.{element} is {resource.get(element)}"


def _walked(at: str, value: Any) -> Iterator[str]:
    for key, held in _inside(value):
        here = f"{at}.{key}"
        if key in DAYS and not _is(date, held):
            yield f"{here} is no date: {held}"
        if key in MOMENTS and not _is(moment, held):
            yield f"{here} is no moment: {held}"
        if key == "valueQuantity" and (held.get("system") != UCUM or held.get("code") not in UNITS):
            yield f"{here} has the unit {held.get('code')}"
        if isinstance(held, dict) and held.get("system") == LOINC and not has_check_digit(held):
            yield f"{here} is no LOINC code: {held.get('code')}"
        yield from _walked(here, held)


def _is(what: Any, text: str) -> bool:
    try:
        what(text)
    except NotAFhirDate:
        return False
    return True


def has_check_digit(coded: dict[str, str]) -> bool:
    """Tell whether a LOINC code ends with its check digit (modulus 10, as LOINC's guide has it)."""
    digits, _, check = coded["code"].partition("-")
    odd = str(int(digits[::-1][::2][::-1]) * 2)
    even = digits[::-1][1::2][::-1]
    return str(-sum(map(int, even + odd)) % 10) == check


def _links(bundle: dict[str, Any]) -> Iterator[str]:
    ids = Counter(entry["fullUrl"] for entry in bundle["entry"])
    yield from (f"{one} is there {count} times" for one, count in ids.items() if count > 1)
    for entry in bundle["entry"]:
        if entry["fullUrl"] != f"urn:uuid:{entry['resource']['id']}":
            yield f"{entry['fullUrl']} is not its resource's id"
        yield from (f"{one} leads nowhere" for one in _references(entry) if one not in ids)


def _references(value: Any) -> Iterator[str]:
    for key, held in _inside(value):
        if key == "reference":
            yield held
        yield from _references(held)


def _invariants(resources: list[dict[str, Any]]) -> Iterator[str]:
    for one in resources:
        look = _OF.get(one["resourceType"])
        if look is None:
            yield f"a {one['resourceType']} is not expected"
        else:
            yield from (f"{one['id']} {wrong}" for wrong in look(one))


def _observation(one: dict[str, Any]) -> Iterator[str]:
    if len(VALUES & one.keys()) != 1:
        yield "has not one value"
    if any(held["coding"][0]["code"] not in CATEGORIES for held in one["category"]):
        yield "has no known category"


def _condition(one: dict[str, Any]) -> Iterator[str]:
    told = one.get("clinicalStatus", {}).get("coding", [{}])[0].get("code")
    if told is not None and (told not in CLINICAL or "verificationStatus" in one):
        yield f"has the clinical status {told}"


def _plan(one: dict[str, Any]) -> Iterator[str]:
    for activity in one["activity"]:
        if activity["detail"]["status"] not in ACTIVITIES:
            yield f"has an activity {activity['detail']['status']}"


_OF: dict[str, Callable[[dict[str, Any]], Iterator[str]]] = {
    "Observation": _observation,
    "Condition": _condition,
    "CarePlan": _plan,
    **dict.fromkeys(("Provenance", "MedicationStatement", "Patient"), lambda one: iter(())),
}
