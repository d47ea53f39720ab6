"""The programs of the invented clinic's people as signed on one day, without a database."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from functools import cache

from patients.facts.declared import Facts
from patients.facts.document import read
from programs.actions.signing import MEANING
from programs.demo.people import CLINIC, PEOPLE
from programs.draft.document import write
from programs.draft.draft import draft
from programs.signed import snapshot
from tests.programs.sample_papers import SIGNER

TODAY = dt.date(2026, 3, 4)
#: A Thursday: weeks that begin inside a calendar week, and months that change inside one.
STARTS_ON = dt.date(2026, 3, 12)


@cache
def _signed() -> Mapping[str, str]:
    """Return the text of each program, by the record number of its person."""
    found = {}
    for number, person in enumerate(PEOPLE, 1):
        document = person.document(TODAY)
        facts = read(document)
        assert isinstance(facts, Facts), facts
        drafted = write(draft(facts))
        if not drafted["weeks"]:
            continue
        who = {
            "id": number,
            "record_number": person.record_number,
            "given_name": person.given_name,
            "family_name": person.family_name,
            "born": document["person"]["born"],
            "sex": person.sex,
        }
        frozen = snapshot.freeze(
            patient=who,
            version=1,
            replaces=None,
            starts_on=STARTS_ON.isoformat(),
            facts=document,
            draft=drafted,
            edits=[],
            left_out={},
            weeks=drafted["weeks"],
            timetable=drafted["timetable"],
            signer=SIGNER | {"meaning": MEANING},
            clinic=CLINIC,
            previous_digest=snapshot.FIRST_DIGEST,
        )
        found[person.record_number] = frozen.body
    return found


def numbers() -> tuple[str, ...]:
    """Return the record numbers of those who have a program."""
    return tuple(_signed())


def demo_snapshot(number: str) -> snapshot.Document:
    """Return the snapshot of one of them; it is the caller's own."""
    return snapshot.read(_signed()[number])
