"""The checker of Bundles itself: a whole one holds, each way to be wrong is found."""

from __future__ import annotations

from collections.abc import Callable
from copy import deepcopy
from typing import Any

import pytest

from tests.programs.export.fhir.bundle_check import problems
from tests.programs.export.fhir.samples import whole


def resource(made: Any, kind: str) -> Any:
    return next(e["resource"] for e in made["entry"] if e["resource"]["resourceType"] == kind)


def _set(kind: str, **values: Any) -> Callable[[Any], None]:
    return lambda made: resource(made, kind).update(values)


def _without(kind: str, name: str) -> Callable[[Any], None]:
    return lambda made: resource(made, kind).pop(name)


def _unit_of(code: str) -> Callable[[Any], None]:
    return lambda made: resource(made, "Observation")["valueQuantity"].update(code=code)


def _loinc(code: str) -> Callable[[Any], None]:
    return lambda made: resource(made, "Observation")["code"]["coding"][0].update(code=code)


NOWHERE = {"reference": "urn:uuid:00000000-0000-5000-8000-000000000000"}
WRONG: dict[str, Callable[[Any], None]] = {
    "a birth that never was": _set("Patient", birthDate="1972-02-30"),
    "m07": _set("Patient", birthDate="1972-3-23"),
    "m07 of a scan": _set("Observation", effectiveDateTime="1972-3-23"),
    "a sex by its first letter": _set("Patient", gender="F"),
    "no name of a person": _set("Patient", name=[{}]),
    "an unknown element": _set("Patient", height=161),
    "a null": _set("Patient", birthDate=None),
    "an empty text": _set("MedicationStatement", status=""),
    "white space": _set("CarePlan", title=" Version 1"),
    "a status of no table": _set("Observation", status="done"),
    "no status": _without("Observation", "status"),
    "no code": _without("Observation", "code"),
    "no subject that is here": _set("Condition", subject=NOWHERE),
    "no subject": _without("Condition", "subject"),
    "two values": _set("Observation", valueString="161.5 cm"),
    "a value and why there is none": _set("Observation", dataAbsentReason={"text": "None"}),
    "a unit as it is read": _unit_of("g/cm²"),
    "a unit with a power below": _unit_of("g/cm-2"),
    "a code without its check digit": _loinc("8302-3"),
    "an intent of no table": _set("CarePlan", intent="proposal2"),
    "no intent": _without("CarePlan", "intent"),
    "a plan that begins at no date": _set("CarePlan", period={"start": "02.03.2026"}),
    "a moment without a zone": _set("Provenance", recorded="2026-03-02T09:30:00"),
    "a signature of nobody": _set("Provenance", agent=[]),
    "no target": _without("Provenance", "target"),
    "another kind of bundle": lambda made: made.update(type="transaction"),
    "an id twice": lambda made: made["entry"].append(made["entry"][0]),
    "an address of another": lambda made: made["entry"][0].update(fullUrl="urn:uuid:1"),
    "another category": lambda made: resource(made, "Observation")["category"][0]["coding"][
        0
    ].update(code="procedure"),
    "an activity without a status": lambda made: resource(made, "CarePlan")["activity"][0][
        "detail"
    ].pop("status"),
    "a healed bone that is none": _set(
        "Condition",
        clinicalStatus={"coding": [{"code": "resolved"}]},
        verificationStatus={"text": "entered-in-error"},
    ),
}


def test_there_is_nothing_wrong_with_the_whole() -> None:
    made = whole()
    assert problems(made) == []
    assert {entry["resource"]["resourceType"] for entry in made["entry"]} == {
        *("Patient", "Observation", "Condition", "MedicationStatement", "CarePlan", "Provenance"),
    }


@pytest.mark.parametrize("wrong", WRONG.values(), ids=[*WRONG])
def test_the_checker_finds(wrong: Callable[[Any], None]) -> None:
    made = deepcopy(whole())
    wrong(made)
    try:
        found = problems(made)
    except (KeyError, TypeError) as error:
        found = [str(error)]
    assert found
