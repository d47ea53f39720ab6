"""The Bundle: everything kept of a person that FHIR R4 has a place for, of type collection.

Nothing is sent. Ids are worked out from the clinic and the row, so the same row has the same id
in each export and a system that takes it in again finds it there. A day has no time and no zone.
What was answered with yes or no stands as it was on the last day of which anything is kept.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from typing import Any

from patients.facts.declared import Facts
from patients.facts.partial_dates import typed_span
from programs.export.document import Document, Row
from programs.export.fhir.care_plans import care_plans
from programs.export.fhir.conditions import conditions, medicines
from programs.export.fhir.observations import observations
from programs.export.fhir.parts import Ids, Resource, concept, date

#: What is kept and has no place in the Bundle, and why.
LEFT_OUT: tuple[str, ...] = (
    "the safety screens, their findings, risks and clearances: the rules' own words have no code "
    "that another system would read as we mean it",
    "drafts and changes to drafts: only what was signed is a plan",
    "the log, near-falls and reviews: a session by kind and effort has no agreed shape",
    "answers that are no condition and no medicine (falls, red flags, aims, her own goal, days, "
    "equipment, plates), answered no, or not recorded: no condition there is not a no",
    "answers that held before the newest",
    "the worry scale and sets lifted until no further repetition was possible",
    "the papers, the states' reasons and the record of who did what",
    "a signed program whose text is not the one that was signed",
)


def bundle(held: Document, facts: Facts | None) -> dict[str, Any]:
    """Return the Bundle of a document in the format person/1.

    facts   what is known on the last day; None where what was entered cannot stand together,
            and then no answer is in it
    """
    ids = Ids(held["clinic"])
    resources = [
        *_people(held, ids),
        *observations(held, facts, ids),
        *conditions(held, facts, ids),
        *medicines(held, facts, ids),
        *care_plans(held, ids),
    ]
    return {
        "resourceType": "Bundle",
        "id": ids.of("bundle", held["patient_id"]),
        "type": "collection",
        "entry": [{"fullUrl": f"urn:uuid:{one['id']}", "resource": one} for one in resources],
    }


def _people(held: Document, ids: Ids) -> Iterator[Resource]:
    """Yield her, then each record of hers that stands under it."""
    people = {row["id"]: row for row in held["tables"]["people"]}
    under = held["records"][1:]
    died = _died_on(held)
    hers = people[held["patient_id"]]
    yield {**_patient(hers, ids), **died, **_links("replaces", under, ids)}
    for number in under:
        replaced = _links("replaced-by", [hers["id"]], ids)
        yield {**_patient(people[number], ids), "active": False, **replaced}


def _patient(row: Row, ids: Ids) -> Resource:
    numbers = [{"type": concept("Id in the clinic’s own records"), "value": str(row["id"])}]
    if row["record_number"]:
        numbers.append({"type": concept("Record number"), "value": row["record_number"]})
    born = dt.date.fromisoformat(row["born"])
    return {
        "resourceType": "Patient",
        "id": ids.of("patient", row["id"]),
        "identifier": numbers,
        "name": [
            {"family": row["family_name"], "given": [row["given_name"]]},
            *([{"use": "usual", "text": row["goes_by"]}] if row.get("goes_by") else []),
        ],
        "gender": row["sex"],
        "birthDate": date(typed_span(born, row["born_is"])),
    }


def _links(how: str, numbers: list[int], ids: Ids) -> Mapping[str, Any]:
    links = [{"other": ids.reference("patient", one), "type": how} for one in numbers]
    return {"link": links} if links else {}


def _died_on(held: Document) -> Mapping[str, Any]:
    """Return the day of her death, where her record was closed with it and not opened again."""
    hers = [row for row in held["tables"]["closings"] if row["patient_id"] == held["patient_id"]]
    if not hers or hers[-1]["what"] != "died":
        return {}
    return {"deceasedDateTime": date(hers[-1]["on"])}
