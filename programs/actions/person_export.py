"""Everything kept of a person, gathered, laid out and written down as taken."""

from __future__ import annotations

import datetime as dt
import hashlib
import zipfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import IO, Any

from django.apps import apps
from django.contrib.auth.models import User
from django.db.models import Q, QuerySet

from patients import audit
from patients.models.patient import Audit, Patient
from patients.rows_to_facts import Contradiction, entered, facts_from
from patients.standing import joined_to
from programs.actions.printing import pdf
from programs.export.document import Document, document, last_day, people_named, sha256_of, text_of
from programs.export.fhir.bundle import bundle
from programs.export.table import Table
from programs.export.tables import TABLES
from programs.models.program import Handout
from programs.papers.kinds import COLLEAGUES_PT, ENGLISH_CODE, WHOLE_RECORD
from programs.papers.whole_record import Known

#: What the record calls an export; its line holds the SHA-256 of each file of it.
EXPORT = "export everything kept"
PERSON_JSON, FHIR_JSON, PERSON_PDF = "person.json", "fhir.json", "person.pdf"

#: Ids asked for in one query: fewer than any database takes.
_AT_ONCE = 400
#: The first moment that a ZIP file can hold, so that the same content is the same file.
_NO_TIME = (1980, 1, 1, 0, 0, 0)
_OWNER_ONLY, _UNIX = 0o600 << 16, 3


def archive_name(patient: Patient) -> str:
    """Return the name of the file, by her id: a name would stand in the list of downloads."""
    return f"person-{patient.pk}.zip"


def write_archive(
    *, patient: Patient, by: User | None, at: dt.datetime, to: IO[bytes], paper: str = "A4"
) -> None:
    """Write the archive of all that is kept of a person, and the record's line that it was made.

    by      nobody where a command made it
    to      an empty file; what it holds is hers once this returns, and to be thrown away if not
    Raises PaperRefused and PaperUnavailable, and then nothing is written down.
    """
    # While nobody else writes, so that all of it is of one moment.
    with audit.writing():
        held = everything_kept(patient)
        known = _known(patient, last_day(held))
    files = {
        PERSON_JSON: text_of(held).encode(),
        FHIR_JSON: text_of(bundle(held, known.facts)).encode(),
        PERSON_PDF: _paper(held, known, paper),
    }
    sums = {name: sha256_of(content) for name, content in files.items()}
    with zipfile.ZipFile(to, "w", zipfile.ZIP_STORED) as archive:
        for name, content in files.items():
            _put(archive, name, content)
        for name, content in _papers(held):
            _put(archive, name, content)
    with audit.writing():
        audit.record(by=by, at=at, action=EXPORT, on=patient, new=sums)


def exports_of(patient: Patient) -> QuerySet[Audit]:
    """Return the lines that tell of exports of a person, the newest first."""
    of = {"object_type": patient._meta.label_lower, "object_id": str(patient.pk)}
    return Audit.objects.filter(action=EXPORT, **of).order_by("-seq")


def everything_kept(patient: Patient) -> Document:
    """Return all that is kept of a person in the format person/1 (programs.export.document)."""
    records = [patient.pk, *(join.double_id for join in joined_to(patient))]
    rows = {table.key: _rows(table, records) for table in TABLES}
    lines = sorted(_lines(rows), key=lambda line: line["seq"])
    return document(
        clinic=_clinic(),
        patient_id=patient.pk,
        records=records,
        rows=rows,
        lines=lines,
        papers_hold=_papers_hold(rows["papers"]),
        users=_users(rows, lines),
    )


def _clinic() -> str:
    """Return the seal of the record's first line: no two clinics have the same."""
    first = Audit.objects.order_by("seq").values_list("hash", flat=True).first()
    return first or "0" * 64


def _rows(table: Table, records: Sequence[int]) -> list[dict[str, Any]]:
    model = apps.get_model(table.model)
    hers = Q()
    for way in table.ways:
        hers |= Q(**{f"{way}__in": records})
    columns = [one.attname for one in model._meta.concrete_fields if one.name not in table.files]
    return list(model._default_manager.filter(hers).order_by("pk").values(*columns))


def _lines(rows: Mapping[str, Sequence[Mapping[str, Any]]]) -> Iterator[dict[str, Any]]:
    """Yield the lines of the record about any of these rows, but for those that tell of exports."""
    for table in TABLES:
        numbers = [str(row["id"]) for row in rows[table.key]]
        for first in range(0, len(numbers), _AT_ONCE):
            about = Audit.objects.filter(
                object_type=table.model, object_id__in=numbers[first : first + _AT_ONCE]
            )
            for line in about.exclude(action=EXPORT).values():
                yield line | {"token": None if line["token"] is None else str(line["token"])}


def _users(
    rows: Mapping[str, Sequence[Mapping[str, Any]]], lines: Iterable[Mapping[str, Any]]
) -> list[dict[str, Any]]:
    """Return those who work here and are named in any of it."""
    named = people_named(lines, ("actor_id",))
    for table in TABLES:
        fields = apps.get_model(table.model)._meta.concrete_fields
        named |= people_named(
            rows[table.key], [one.attname for one in fields if one.related_model is User]
        )
    return [
        {"id": user.pk, "username": user.get_username(), "name": audit.printed_name(user)}
        for user in User.objects.filter(pk__in=named).order_by("pk")
    ]


def _papers_hold(rows: Iterable[Mapping[str, Any]]) -> dict[int, bool]:
    """Tell of each kept paper whether it still is, to the byte, the one that was made."""
    sums = {row["id"]: row["sha256"] for row in rows}
    return {
        number: hashlib.sha256(content).hexdigest() == sums[number]
        for number, content in _contents(sums)
    }


def _papers(held: Document) -> Iterator[tuple[str, bytes]]:
    """Yield name and content of each paper that still is the one that was made."""
    names = {row["id"]: row["pdf"] for row in held["tables"]["papers"]}
    holds = held["holds"]["papers"]
    for number, content in _contents([one for one in names if holds[str(one)]]):
        yield names[number], content


def _contents(numbers: Iterable[int]) -> Iterator[tuple[int, bytes]]:
    """Yield the kept papers one by one, so that there is never more than one in memory."""
    for number in sorted(numbers):
        yield number, bytes(Handout.objects.values_list("pdf", flat=True).get(pk=number))


def _put(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    info = zipfile.ZipInfo(name, _NO_TIME)
    info.external_attr, info.create_system = _OWNER_ONLY, _UNIX
    archive.writestr(info, content)


def _known(patient: Patient, day: dt.date) -> Known:
    """Return what is known of her on a day, for reading."""
    known = entered(patient, day)
    answered = known.assessment.answered if known.assessment else {}
    try:
        return Known(facts=facts_from(known), answered=answered, problems=())
    except Contradiction as found:
        return Known(facts=None, answered={}, problems=tuple(p.text for p in found.problems))


def _paper(held: Document, known: Known, paper: str) -> bytes:
    return pdf(
        WHOLE_RECORD.template,
        {WHOLE_RECORD.part: WHOLE_RECORD.make(held, known)},
        issue=None,
        language=ENGLISH_CODE,
        paper=paper,
        type_pt=COLLEAGUES_PT,
    )
