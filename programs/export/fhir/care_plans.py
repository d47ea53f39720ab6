"""Care plans: each signed program as it was signed, and who signed it when with which digest."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from patients.facts.codes import DAYS
from programs.export.document import Document, Row
from programs.export.fhir.parts import Ids, Resource, coding, concept, date, moment, notes, own
from programs.signed.program import SignedProgram
from programs.signed.snapshot import Unreadable, program_in
from programs.signed.term import last_day
from programs.week.one_line import NOTHING, short_dose
from programs.week.week import Week, part_of
from safety.findings import Modality
from safety.modalities import MODALITIES

#: The state of a program as FHIR has it; one that a newer version replaced is withdrawn.
STATES: Mapping[str, str] = {
    "in force": "active",
    "stopped": "revoked",
    "replaced": "revoked",
    "ended": "completed",
}
#: Where each of its kinds then stands.
_ACTIVITIES: Mapping[str, str] = {
    "active": "in-progress",
    "revoked": "stopped",
    "completed": "completed",
}
#: What a receiver is to know of every plan.
DETAILS = "Exercises and loads of each week stand in the signed text, in person.json beside this."
_COMPLETION = "http://terminology.hl7.org/CodeSystem/v3-DocumentCompletion"
_ISO_ASTM = "urn:iso-astm:E1762-95:2013"
_VERIFICATION = "1.2.840.10065.1.12.1.5"


def care_plans(held: Document, ids: Ids) -> Iterator[Resource]:
    """Yield each signed program that still is what was signed, with its signature after it."""
    before: dict[int, Row] = {}
    for row in held["tables"]["signed_programs"]:
        program = _read(row, held)
        if program is None:
            continue
        states = [one for one in held["tables"]["program_states"] if one["signed_id"] == row["id"]]
        yield _care_plan(row, program, states, before.get(row["patient_id"]), ids)
        yield _signature(row, program, ids)
        before[row["patient_id"]] = row


def _read(row: Row, held: Document) -> SignedProgram | None:
    if not held["holds"]["signed_programs"][str(row["id"])]:
        return None
    try:
        return program_in(row["body"])
    except Unreadable:
        return None


def _care_plan(
    row: Row,
    program: SignedProgram,
    states: Sequence[Row],
    before: Row | None,
    ids: Ids,
) -> Resource:
    whole = [one["state"] for one in states if not one["modality"]]
    status = STATES[whole[-1]] if whole else "unknown"
    stopped = {one["modality"] for one in states if one["modality"]}
    replaces = {} if before is None else {"replaces": [ids.reference("program", before["id"])]}
    period = {
        "start": date(program.starts_on.isoformat()),
        "end": date(last_day(program.starts_on).isoformat()),
    }
    return {
        "resourceType": "CarePlan",
        "id": ids.of("program", row["id"]),
        **replaces,
        "status": status,
        "intent": "plan",
        "category": [own("Loading program for bone health", "program")],
        "title": f"Loading program, version {program.version}",
        "description": _days(program),
        "subject": ids.reference("patient", row["patient_id"]),
        "period": period,
        "created": moment(row["signed_at"]),
        "activity": [_activity(m, program, status, stopped) for m in _kinds(program)],
        **notes((DETAILS, *_left_out(program))),
    }


def _kinds(program: SignedProgram) -> list[Modality]:
    return [m for m in Modality if any(part_of(week, m) for week in program.weeks)]


def _left_out(program: SignedProgram) -> Iterator[str]:
    for modality, why in program.left_out.items():
        yield f"{MODALITIES[modality].title} was left out: {why}"


def _days(program: SignedProgram) -> str:
    """Return what each day of the week may hold."""
    return "; ".join(
        f"{name}: {', '.join(MODALITIES[m].name.lower() for m in program.timetable[day])}"
        for day, name in DAYS.items()
        if program.timetable.get(day)
    )


def _activity(
    modality: Modality, program: SignedProgram, status: str, stopped: set[str]
) -> dict[str, Any]:
    stands = "stopped" if modality in stopped else _ACTIVITIES.get(status, "unknown")
    return {
        "detail": {
            "code": own(MODALITIES[modality].title, f"modality.{modality}"),
            "status": stands,
            "description": " ".join(_runs(program.weeks, modality)),
        }
    }


def _runs(weeks: Sequence[Week], modality: Modality) -> Iterator[str]:
    """Yield the dose of each run of weeks that hold the same: "Weeks 1 to 4: ..."."""
    doses = [(week.week, short_dose(part_of(week, modality))) for week in weeks]
    first = 0
    for at in range(1, len(doses) + 1):
        if at == len(doses) or doses[at][1] != doses[first][1]:
            (begins, dose), ends = doses[first], doses[at - 1][0]
            if dose != NOTHING:
                span = f"Week {begins}" if begins == ends else f"Weeks {begins} to {ends}"
                yield f"{span}: {dose}."
            first = at


def _signature(row: Row, program: SignedProgram, ids: Ids) -> Resource:
    """Return who signed, when and as what; its digest is named as one, since no key signed it."""
    who = {"display": row["signed_name"]}
    at = moment(row["signed_at"])
    return {
        "resourceType": "Provenance",
        "id": ids.of("signature", row["id"]),
        "target": [ids.reference("program", row["id"])],
        "recorded": at,
        "activity": concept("Signed", coding(_COMPLETION, "AU", "authenticated")),
        "reason": [concept(program.signer.meaning)],
        "agent": [{"who": who}],
        "entity": [
            {
                "role": "source",
                "what": {
                    "identifier": {
                        "type": concept("SHA-256 of the signed text"),
                        "value": row["digest"],
                    },
                    "display": "The signed text, in person.json",
                },
            }
        ],
        "signature": [
            {
                "type": [coding(_ISO_ASTM, _VERIFICATION, "Verification Signature")],
                "when": at,
                "who": who,
            }
        ],
    }
