"""The one way to read a signed program: from its text, once all that binds it has been verified.

Verified are the text against its digest, what stands beside it, the record's line of the
signing, the keyed seal with its commitment, and the plan's own row, which pages know it by.
Whatever does not hold is told in words; nothing is read from it then and nothing printed.
"""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.db import DEFAULT_DB_ALIAS
from django.db.models import Q
from django.utils import timezone

from patients import audit
from patients.facts.in_words import day_text
from patients.models.patient import Audit
from programs.actions.refusals import NotDone
from programs.actions.sealing import is_sealed, told_of
from programs.models.program import Plan, SignedPlan
from programs.models.seal import SignedErasure, SignedSeal
from programs.signed import snapshot
from programs.signed.program import SignedProgram
from programs.signed.seal import commitment_of

#: What the record calls a signature; the line holds the digest.
SIGN_PLAN = "sign plan"
DRAFT_PLAN = "draft plan"
#: How what is said of an erased content begins.
ERASED = "Its content was erased"
GONE = "Its signature is gone from the database."


class NotAsSigned(NotDone):
    """A signed program does not verify; says so in words. Nothing is read or printed from it."""

    def __init__(self, *, patient: int, version: int, why: str) -> None:
        super().__init__(f"Version {version} is not as it was signed. {why} {WHAT_NOW}")
        self.patient, self.version, self.why = patient, version, why


WHAT_NOW = "Do not use it, and print nothing from it. Tell whoever keeps the database."


def program_of(signed: SignedPlan) -> SignedProgram:
    """Return the program that was signed. Raises NotAsSigned where it does not verify."""
    refuse_what_is_not_as_signed(signed)
    try:
        return snapshot.program_in(signed.body)
    except snapshot.Unreadable as error:
        raise NotAsSigned(
            patient=signed.patient_id, version=signed.version, why=str(error)
        ) from error


def document_of(signed: SignedPlan) -> dict[str, Any]:
    """Return the snapshot that was signed, as data. Raises NotAsSigned where it does not verify."""
    refuse_what_is_not_as_signed(signed)
    return snapshot.read(signed.body)


def signature_of(plan: Plan) -> SignedPlan:
    """Return the signature of a signed plan. Raises NotAsSigned where it is gone."""
    try:
        signed: SignedPlan = plan.signed
    except ObjectDoesNotExist as error:
        raise NotAsSigned(patient=plan.patient_id, version=plan.version, why=GONE) from error
    signed.plan = plan
    return signed


def lay_over(plan: Plan) -> Plan:
    """Let a signed plan's columns be what was signed, so that no page reads anything else.

    Raises NotAsSigned where it does not verify.
    """
    document = document_of(signature_of(plan))
    for column, value in _as_columns(document).items():
        setattr(plan, column, value)
    return plan


def refuse_what_is_not_as_signed(signed: SignedPlan) -> None:
    """Raise NotAsSigned where a signed program does not verify."""
    if why := why_not_as_signed(signed):
        raise NotAsSigned(patient=signed.patient_id, version=signed.version, why=why)


def why_not_as_signed(signed: SignedPlan) -> str:
    """Return what does not hold of a signed program, its erasure included; nothing where all does.

    Asked once of each row in memory, however many read from it.
    """
    if _asked(signed) is None:
        look_at([signed])
    return _asked(signed) or ""


def signing_line(signed: SignedPlan) -> Audit | None:
    """Return the line of the record that tells of a signature; by the index of what it is about."""
    lines = Audit.objects.filter(object_type=_SIGNED, object_id=str(signed.pk), action=SIGN_PLAN)
    return lines.order_by("seq").first()


def erased(signed: SignedPlan) -> bool:
    """Tell whether all that is wrong with a signed program is that its content was erased."""
    return why_not_as_signed(signed).startswith(ERASED)


def look_at(rows: Sequence[SignedPlan]) -> None:
    """Verify some signed programs in two queries; why_not_as_signed then asks nothing more."""
    beside = _Beside(rows)
    for row in rows:
        row.__dict__["_as_signed"] = (_held(row), next(_problems(row, beside), ""))


def _asked(signed: SignedPlan) -> str | None:
    """Return what was found of a row, None where it was not looked at as it is now."""
    held, found = signed.__dict__.get("_as_signed", (None, None))
    return found if held == _held(signed) else None


def _held(signed: SignedPlan) -> dict[str, Any]:
    return audit.state_of(signed)


class _Beside:
    """What is kept of some signed programs beside their rows, by the number of each."""

    def __init__(self, rows: Sequence[SignedPlan]) -> None:
        self.using = (rows[0]._state.db if rows else None) or DEFAULT_DB_ALIAS
        numbers = [row.pk for row in rows]
        self.seals = _seals(rows, self.using)
        without = [row.pk for row in rows if not row.body]
        erasures = SignedErasure.objects.using(self.using).filter(signed__in=without)
        self.erasures = {
            one.signed_id: one for one in (erasures.select_related("by") if without else ())
        }
        plans = [str(row.plan_id) for row in rows]
        of_signed = Q(object_type=_SIGNED, object_id__in=map(str, numbers))
        of_plan = Q(object_type=_PLAN, object_id__in=plans, action=DRAFT_PLAN)
        self._lines: dict[tuple[str, str], list[Audit]] = {}
        for line in Audit.objects.using(self.using).filter(of_signed | of_plan).order_by("seq"):
            self._lines.setdefault((line.object_type, line.object_id), []).append(line)

    def of_signature(self, signed: SignedPlan) -> Sequence[Audit]:
        """Return the lines about a signed program, oldest first."""
        return self._lines.get((_SIGNED, str(signed.pk)), [])

    def of_drafting(self, signed: SignedPlan) -> Audit | None:
        """Return the line of the drafting of its plan."""
        return next(iter(self._lines.get((_PLAN, str(signed.plan_id)), ())), None)


def _seals(rows: Sequence[SignedPlan], using: str) -> dict[int, SignedSeal]:
    """Return the seal of each row; those that were read with their rows are not read again."""
    known = [row for row in rows if "seal" in row._state.fields_cache]
    found = {row.pk: seal for row in known if (seal := row._state.fields_cache["seal"])}
    rest = [row.pk for row in rows if "seal" not in row._state.fields_cache]
    if rest:
        read = SignedSeal.objects.using(using).filter(signed__in=rest)
        found |= {seal.signed_id: seal for seal in read}
    return found


_SIGNED, _PLAN = SignedPlan._meta.label_lower, Plan._meta.label_lower


def _problems(signed: SignedPlan, beside: _Beside) -> Iterator[str]:
    seal = beside.seals.get(signed.pk)
    erased = None if signed.body else beside.erasures.get(signed.pk)
    if erased is None and (wrong := snapshot.wrong_with(as_signed(signed))):
        yield wrong
    yield from _against_lines(signed, beside.of_signature(signed), seal)
    if seal is not None:
        yield from _against_seal(signed, seal, erased)
    if erased is None:
        yield from _beside(signed, beside.of_drafting(signed))
    else:
        yield from _erased(erased, beside.using)


# --- The record's lines ---------------------------------------------------------------------


def _against_lines(
    signed: SignedPlan, lines: Sequence[Audit], seal: SignedSeal | None
) -> Iterator[str]:
    line = next((line for line in lines if line.action == SIGN_PLAN), None)
    broken = next((one for one in lines if not audit.is_sealed(one)), None)
    if line is None:
        yield "No line of the record tells of its signing."
    elif broken is not None:
        yield f"Line {broken.seq} of the record, which tells of it, is not as it was written."
    else:
        yield from _told_otherwise(signed, line, lines, seal)


def _told_otherwise(
    signed: SignedPlan, line: Audit, lines: Sequence[Audit], seal: SignedSeal | None
) -> Iterator[str]:
    told = json.loads(line.new)
    held = {"digest": signed.digest, "plan": signed.plan_id, "meaning": signed.meaning}
    for name, value in held.items():
        if told.get(name) != value:
            yield f"Line {line.seq} of the record has another {name}."
    if line.actor_id != signed.signed_by_id:
        yield f"Line {line.seq} of the record names another signer."
    sealed: dict[str, Any] = {}
    for one in lines:
        new = json.loads(one.new or "{}") or {}
        sealed |= {key: new[key] for key in ("seal_number", "commitment", "seal") if key in new}
    if sealed and seal is None:
        yield f"Its keyed seal, number {sealed['seal_number']}, is gone."
    if seal is not None and sealed != told_of(seal):
        yield "The record tells of another keyed seal, or of none."


# --- The seal -------------------------------------------------------------------------------


def _against_seal(
    signed: SignedPlan, seal: SignedSeal, erased: SignedErasure | None
) -> Iterator[str]:
    if not is_sealed(seal, signed):
        yield "Its keyed seal does not hold."
    if erased is None and not _is_committed(signed, seal):
        yield "Its content is not what its keyed seal was made for."


def _is_committed(signed: SignedPlan, seal: SignedSeal) -> bool:
    try:
        return commitment_of(signed.body, seal.salt) == seal.commitment
    except ValueError:
        # A salt that is no hexadecimal number any more.
        return False


def _erased(erased: SignedErasure, using: str) -> Iterator[str]:
    lines = Audit.objects.using(using).filter(
        object_type=SignedErasure._meta.label_lower, object_id=str(erased.pk)
    )
    line = lines.first()
    if (
        line is None
        or not audit.is_sealed(line)
        or line.new != audit.canonical(audit.state_of(erased))
    ):
        yield "Its content is gone, and no line of the record tells of its erasure as it stands."
    on, by = day_text(timezone.localdate(erased.at)), audit.printed_name(erased.by)
    yield f"{ERASED} on {on} by {by}: {erased.why.rstrip('.')}."


# --- The rows beside it ---------------------------------------------------------------------


def as_signed(row: SignedPlan) -> snapshot.Signed:
    """Return a signed program as the check of the chain reads it."""
    return snapshot.Signed(
        row=row.pk,
        body=row.body,
        digest=row.digest,
        previous_digest=row.previous_digest,
        patient_id=row.patient_id,
        version=row.version,
        signed_name=row.signed_name,
        meaning=row.meaning,
        signed_at=audit.utc_text(row.signed_at),
        rulebook=row.rulebook,
        format=row.format,
        erased=not row.body and hasattr(row, "erasure"),
    )


def _as_columns(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return what of a snapshot a plan's row holds too, by column."""
    return {
        "facts": document["facts"],
        "proposed": document["draft"],
        "weeks": document["weeks"],
        "left_out_by_clinician": document["left_out"],
        "starts_on": dt.date.fromisoformat(document["starts_on"]),
        "version": document["version"],
        "patient_id": document["patient"]["id"],
    }


def _beside(signed: SignedPlan, drafted: Audit | None) -> Iterator[str]:
    """Yield what the plan's own row says otherwise: pages and counts know the program by it."""
    try:
        plan = signed.plan
    except ObjectDoesNotExist:
        yield "Its plan is gone from the database."
    else:
        yield from _plan_otherwise(signed, plan, drafted)


def _plan_otherwise(signed: SignedPlan, plan: Plan, drafted: Audit | None) -> Iterator[str]:
    held = _as_columns(snapshot.read(signed.body)) | {"state": Plan.SIGNED}
    for column, value in held.items():
        now = getattr(plan, column)
        # The snapshot's letters are composed and its whole numbers plain; mostly both are the same.
        if now != value and _plain(now) != _plain(value):
            yield f"Its plan's row says otherwise: {column.removesuffix('_id').replace('_', ' ')}."
    if drafted is None:
        yield "No line of the record tells of its drafting."
    elif not audit.is_sealed(drafted):
        yield f"Line {drafted.seq} of the record, of its drafting, is not as it was written."
    elif _plain(json.loads(drafted.new)["resume"]) != _plain(plan.resume):
        yield f"Line {drafted.seq} of the record has another place to take up from."


def _plain(value: object) -> str:
    return snapshot.canonical(value.isoformat() if isinstance(value, dt.date) else value)
