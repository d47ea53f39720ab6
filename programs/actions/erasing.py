"""The erasure of a person by law: what she told goes, and that it went is told for ever.

Her rows are deleted, all those that the export knows (programs.export.tables). Left without any
content are her number, and each signed program with what its seal covers: who signed, when, and
digests. The lines of the record about her are emptied and keep their places and seals, so that
all chains hold; the line of the erasure names each of them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.apps import apps
from django.contrib.auth.models import User
from django.contrib.sessions.models import Session
from django.db import models
from django.db.models import Q

from patients import audit
from patients.append_only import set_aside_for_an_erasure
from patients.facts.partial_dates import DAY
from patients.may import may_erase
from patients.models.erasure import PersonErasure
from patients.models.finding import JOINED, Findable, WordKey
from patients.models.forms_sent import FormSent
from patients.models.patient import ERASED, Audit, Patient
from patients.models.scanners import ParkedFile
from patients.names import fold
from patients.staff.rights import Right, why_not
from patients.standing import joined_to
from programs.actions.anchors import anchor_once_committed
from programs.actions.as_signed import SIGN_PLAN
from programs.actions.older_seals import SEAL_OLDER
from programs.actions.person_check import broken_of
from programs.actions.refusals import NotDone
from programs.export.tables import MADE_ANEW, TABLES
from programs.models.program import Plan, SignedPlan
from programs.models.seal import SignedErasure, SignedSeal

#: What the record calls what is left of a person, of a plan, of a signed program.
EMPTY_RECORD, EMPTY_PLAN = "empty record", "empty plan"
ERASE_CONTENT = "erase signed content"
#: The day that stands where a day of hers stood and there must be one.
NO_DAY = dt.date.min
#: Lines that tell of a signature what its seal covers, and nothing else.
_STAY_WHOLE = (SIGN_PLAN, SEAL_OLDER)
#: Rows that stay, emptied of what is hers; of plans only those that were signed.
_STAY: tuple[type[models.Model], ...] = (
    *(Patient, Plan, SignedPlan, SignedSeal),
    *(SignedErasure, PersonErasure),
)
_MADE_FROM_NAMES = (Findable._meta.label_lower, "patients.trigrams")
_AT_ONCE = 400

Rows = Mapping[type[models.Model], Sequence[int]]


@dataclass(frozen=True, kw_only=True)
class Goes:
    """What an erasure takes away, and what it leaves.

    records   her record and those joined to it, by number
    went      a name of rows, and how many
    lines     of the record that are emptied
    signed    signed programs of which the signature stays
    found     what of her is not as recorded
    """

    records: tuple[int, ...]
    went: Mapping[str, int]
    lines: int
    signed: int
    found: tuple[str, ...]


def why_not_erased(*, patient: Patient, by: User, why: str) -> str:
    """Return why somebody cannot have a person erased for this reason; nothing where she can."""
    if not may_erase(by):
        return why_not(Right.ERASE)
    if patient.findable.state == JOINED:
        return "This record is joined to another one of the same person. Erase that one."
    if not why.strip():
        return "Say why, with the law or the request that it rests on."
    words = f" {fold(why)} "
    names = (fold(patient.family_name), fold(patient.record_number))
    if any(name and f" {name} " in words for name in names):
        return "The reason stays on record: say it without her name or record number."
    return ""


def what_goes(patient: Patient) -> Goes:
    """Return what an erasure of a person would take away now."""
    records = _records(patient)
    rows = _rows(records)
    return Goes(
        records=records,
        went=_counted(rows),
        lines=len(_lines(patient, records, rows)),
        signed=len(rows[SignedPlan]),
        found=tuple(_found(records)),
    )


def erase_person(*, patient: Patient, why: str, by: User, at: dt.datetime) -> PersonErasure:
    """Erase a person, with the records joined to hers, at once or not at all.

    Raises NotDone where that may not be.
    """
    with audit.writing():
        patient = Patient.objects.get(pk=patient.pk)
        if refusal := why_not_erased(patient=patient, by=by, why=why):
            raise NotDone(refusal)
        records = _records(patient)
        rows, found = _rows(records), "\n".join(_found(records))
        lines = _lines(patient, records, rows)
        went = _counted(rows)
        with set_aside_for_an_erasure(_tables()):
            _delete(rows, records)
            _empty(rows, records)
            left = {str(line.seq): _emptied(line) for line in lines}
        made = [
            PersonErasure.objects.create(
                patient_id=record, why=why.strip(), went=went, found=found, by=by, at=at
            )
            for record in records
        ]
        for row in made:
            # One line names all that were emptied.
            new = audit.state_of(row) | {"lines": left if row is made[0] else {}}
            audit.record(by=by, at=at, action=audit.ERASE_PERSON, on=row, new=new)
        _tell_of_what_is_left(rows, records, why.strip(), by, at)
        anchor_once_committed(at)
    return made[0]


# --- What is hers ---------------------------------------------------------------------------


def _records(patient: Patient) -> tuple[int, ...]:
    return (patient.pk, *(join.double_id for join in joined_to(patient)))


def _rows(records: Sequence[int]) -> dict[type[models.Model], list[int]]:
    """Return the numbers of all rows of some records, each table once."""
    found: dict[type[models.Model], list[int]] = {}
    for table in TABLES:
        model = apps.get_model(table.model)
        hers = Q()
        for way in table.ways:
            hers |= Q(**{f"{way}__in": records})
        found[model] = sorted(model._base_manager.filter(hers).values_list("pk", flat=True))
    return found


def _counted(rows: Rows) -> dict[str, int]:
    """Return how many rows of each table are deleted or emptied, by the table's name."""
    titles = {apps.get_model(table.model): table.title for table in TABLES}
    counted = {titles[model]: len(numbers) for model, numbers in rows.items() if numbers}
    return {title: counted[title] for title in titles.values() if title in counted}


def _found(records: Iterable[int]) -> Iterator[str]:
    for record in records:
        yield from broken_of(record)


def _lines(patient: Patient, records: Sequence[int], rows: Rows) -> list[Audit]:
    """Return the lines that are to be emptied, the oldest first."""
    found = {line.seq: line for line in Audit.objects.filter(patient_id__in=records)}
    for model, numbers in rows.items():
        for some in _parts(numbers):
            about = Audit.objects.filter(
                object_type=model._meta.label_lower, object_id__in=list(map(str, some))
            )
            found |= {line.seq: line for line in about}
    found |= {line.seq: line for line in _of_files(patient)}
    return [
        line
        for _, line in sorted(found.items())
        if line.action not in _STAY_WHOLE and line.new != audit.EMPTIED
    ]


def _of_files(patient: Patient) -> Iterator[Audit]:
    """Yield the lines of files that were sent whose name has her family or record number."""
    names = [fold(patient.family_name), fold(patient.record_number)]
    of_files = Audit.objects.filter(object_type=ParkedFile._meta.label_lower)
    for line in of_files.order_by("seq").iterator():
        words = f" {fold(f'{line.old} {line.new}')} "
        if any(name and f" {name} " in words for name in names):
            yield line


def _parts(numbers: Sequence[Any]) -> Iterator[Sequence[Any]]:
    return (numbers[first : first + _AT_ONCE] for first in range(0, len(numbers), _AT_ONCE))


def _tables() -> list[str]:
    held = [apps.get_model(table.model)._meta.db_table for table in TABLES]
    return [*held, Audit._meta.db_table, FormSent._meta.db_table]


# --- Taking it away -------------------------------------------------------------------------


def _delete(rows: Rows, records: Sequence[int]) -> None:
    """Delete what does not stay; foreign keys are looked at when all of it is gone."""
    for label in MADE_ANEW.keys() - set(_MADE_FROM_NAMES):
        model = apps.get_model(label)
        ways = [field.name for field in model._meta.fields if field.related_model is Patient]
        for way in ways:
            _delete_rows(model, way, records)
    _empty_rows(Plan, rows[Plan], review=None)
    for model, numbers in rows.items():
        if model not in _STAY:
            _delete_rows(model, "pk", numbers)
    signed = _signed_plans(rows)
    _delete_rows(Plan, "pk", [number for number in rows[Plan] if number not in signed])
    # A file that is not taken yet may hold anybody; a session, a name that was searched for.
    ParkedFile.objects.all().delete()
    Session.objects.all().delete()


def _delete_rows(model: type[models.Model], way: str, numbers: Sequence[Any]) -> None:
    for some in _parts(numbers):
        gone = model._base_manager.filter(**{f"{way}__in": some})
        # As they are: the collector would ask the model, which refuses.
        gone._raw_delete(gone.db)


def _signed_plans(rows: Rows) -> set[int]:
    of = SignedPlan.objects.filter(pk__in=rows[SignedPlan])
    return set(of.values_list("plan_id", flat=True))


def _empty(rows: Rows, records: Sequence[int]) -> None:
    """Empty the rows that stay of what is hers."""
    _forget_words(records)
    texts = ("given_name", "family_name", "record_number", "sex", "goes_by", "gender", "table_sex")
    unnamed = dict.fromkeys(texts, "")
    keys = {"search_key": "", "given_key": "", "record_key": ""}
    _empty_rows(Patient, records, **unnamed, **keys, born=NO_DAY, born_is=DAY, born_estimated=False)
    _empty_rows(
        Plan,
        rows[Plan],
        as_of=NO_DAY,
        starts_on=NO_DAY,
        left_out_by_clinician={},
        facts={},
        resume={},
        proposed={},
        weeks=[],
    )
    _empty_rows(SignedPlan, rows[SignedPlan], body="")
    _empty_rows(SignedSeal, rows[SignedSeal], salt="")
    told = {"leads": False, "to_look_through": False, "born": NO_DAY, "born_is": DAY}
    _empty_rows(Findable, records, words="", sort_key="", state=ERASED, **told)


def _empty_rows(model: type[models.Model], numbers: Sequence[int], **columns: Any) -> None:
    for some in _parts(numbers):
        model._base_manager.filter(pk__in=some).update(**columns)


def _forget_words(records: Collection[int]) -> None:
    """Delete the words of her names by which slips are found, where nobody else has them."""
    hers = Findable.objects.filter(patient__in=records).values_list("words", flat=True)
    others = Findable.objects.exclude(patient__in=records)
    for word in {word for words in hers for word in words.split()}:
        if not others.filter(words__contains=f" {word} ").exists():
            WordKey.objects.filter(word=word).delete()


def _emptied(line: Audit) -> str:
    """Empty a line, and what was sent with its form; return the digest of what is left."""
    _delete_rows(FormSent, "token", [line.token])
    left = audit.emptied_of_content(line)
    columns = {name: getattr(left, name) for name in ("old", "new", "reason", "salt")}
    _empty_rows(Audit, [line.seq], **columns)
    return audit.digest_of_left(left)


def _tell_of_what_is_left(
    rows: Rows, records: Sequence[int], why: str, by: User, at: dt.datetime
) -> None:
    """Write a line for each row that stays, as it is now, so that it can be held against it."""

    def tell(action: str, row: models.Model) -> None:
        audit.record(by=by, at=at, action=action, on=row, new=audit.state_of(row))

    for person in Patient._base_manager.filter(pk__in=records).order_by("pk"):
        tell(EMPTY_RECORD, person)
    for plan in Plan.objects.filter(pk__in=rows[Plan]).order_by("pk"):
        tell(EMPTY_PLAN, plan)
    unerased = SignedPlan.objects.filter(pk__in=rows[SignedPlan], erasure=None).order_by("pk")
    for signed in unerased:
        tell(ERASE_CONTENT, SignedErasure.objects.create(signed=signed, why=why, by=by, at=at))
