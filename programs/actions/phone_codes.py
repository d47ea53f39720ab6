"""Codes for her phone: made, spent once, ended; and the phone that one of them opened.

A code or a phone shows nothing where its program may not be handed out today: that is asked of
`may_hand_out` at each request, so that both are withdrawn with the program.
"""

from __future__ import annotations

import datetime as dt
import secrets
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.crypto import constant_time_compare, salted_hmac

from patients import audit
from patients.models.patient import Patient
from programs.actions.as_signed import program_of
from programs.actions.may_hand_out import standing_of
from programs.actions.refusals import NotDone
from programs.models.phone import PhoneCode, PhoneEnd, PhoneOpening
from programs.models.program import SignedPlan
from programs.papers.phone_week import number_on, shown_until
from programs.phone.codes import CODE_BYTES, CODE_LASTS, digest_of, written

_TOKEN = "calcar.phone.token"
SHOWN_ONCE = (
    "A code was made by this form already. It was shown once and is nowhere kept; make another."
)
WEEKS_OVER = "The weeks of the program are over, so there is no week for a phone to show."


class NoCode(NotDone):
    """A code opens nothing: wrong, spent, too old, ended or withdrawn; it is not said which."""


@dataclass(frozen=True, kw_only=True)
class Opened:
    """A phone that was opened. token: what it shows from then on to be known by."""

    opening: PhoneOpening
    token: str


def named(code: PhoneCode) -> str:
    """Return how the record calls her where she writes by phone: the number of the code's row."""
    return f"the patient by phone, code {code.pk}"


# --- Made -------------------------------------------------------------------------------------


def why_no_code(signed: SignedPlan, at: dt.datetime) -> str:
    """Say why no code of a program is made now; nothing where one may be.

    Raises NotAsSigned where the program does not verify.
    """
    if why := standing_of(signed, at).why:
        return " ".join(why)
    return "" if number_on(program_of(signed), timezone.localdate(at)) else WEEKS_OVER


def make_code(
    *,
    signed: SignedPlan,
    language: str,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> tuple[PhoneCode, str]:
    """Make a code; returns its row and, this once, the code itself. The one before it ends.

    Raises NotDone where nothing of the program may be handed out, and for a form sent again.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            raise NotDone(SHOWN_ONCE)
        if why := why_no_code(signed, at):
            raise NotDone(why)
        for before in _unspent(signed.patient):
            _end(before, PhoneEnd.ANOTHER, by, at)
        code = written(secrets.token_bytes(CODE_BYTES))
        row = PhoneCode(
            signed=signed, digest=digest_of(code), language=language, made_by=by, made_at=at
        )
        row.save(force_insert=True)
        new = _told(row)
        audit.record(by=by, at=at, action="make phone code", on=row, new=new, token=token)
    return row, code


def codes_of(patient: Patient) -> QuerySet[PhoneCode]:
    """Return the codes of a patient, the newest first."""
    rows = PhoneCode.objects.filter(signed__patient=patient).order_by("-pk")
    return rows.select_related("signed", "made_by", "opening", "end__by")


def is_unspent(code: PhoneCode, at: dt.datetime) -> bool:
    """Tell whether a code still opens a phone, as far as its own row tells."""
    return not hasattr(code, "end") and not hasattr(code, "opening") and at < dies_at(code)


def dies_at(code: PhoneCode) -> dt.datetime:
    """Return the moment from which a code that nobody spent is dead."""
    return code.made_at + CODE_LASTS


def code_shown(patient: Patient, code: str, at: dt.datetime) -> PhoneCode | None:
    """Return the row of a code that was made for a patient, where it still opens a phone."""
    row = codes_of(patient).filter(digest=digest_of(code)).first()
    return row if row is not None and is_unspent(row, at) else None


def note_slip(*, code: PhoneCode, by: User, at: dt.datetime) -> None:
    """Write down that the slip of a code was printed; it is not kept, for the code is on it."""
    with audit.writing():
        audit.record(by=by, at=at, action="print phone slip", on=code)


def _unspent(patient: Patient) -> QuerySet[PhoneCode]:
    return PhoneCode.objects.filter(signed__patient=patient, end=None, opening=None)


# --- Spent ------------------------------------------------------------------------------------


def open_week(*, code: str, nonce: str, at: dt.datetime) -> Opened:
    """Spend a code: this phone shows the week of today from now on. Raises NoCode.

    nonce   what this phone was given with the page that asks. The same code with it again, as by
            a second touch of the button, is the same phone; with another it is a second one.
    """
    token = _token_of(code, nonce)
    with audit.writing():
        row = _spendable(code, at)
        if hasattr(row, "opening"):
            if not constant_time_compare(row.opening.digest, digest_of(token)):
                raise NoCode("The code is spent.")
            return Opened(opening=row.opening, token=token)
        opening = _opening(row, token, at)
        told = audit.state_of(opening)
        del told["digest"]
        audit.record(
            by=None, at=at, action="open week by phone", on=opening, new=told, named=named(row)
        )
    return Opened(opening=opening, token=token)


def _spendable(code: str, at: dt.datetime) -> PhoneCode:
    rows = PhoneCode.objects.filter(digest=digest_of(code), end=None)
    row = rows.select_related("signed__plan", "signed__patient", "opening").first()
    dead = row is not None and not hasattr(row, "opening") and at >= dies_at(row)
    if row is None or dead or not _may_be_shown(row.signed, at):
        raise NoCode("The code opens nothing.")
    return row


def _opening(row: PhoneCode, token: str, at: dt.datetime) -> PhoneOpening:
    program = program_of(row.signed)
    week = number_on(program, timezone.localdate(at))
    if week is None:
        raise NoCode(WEEKS_OVER)
    ends = dt.datetime.combine(shown_until(program, week), dt.time())
    opening = PhoneOpening(
        code=row,
        digest=digest_of(token),
        week=week,
        until=timezone.make_aware(ends),
        at=at,
    )
    opening.save(force_insert=True)
    return opening


def _token_of(code: str, nonce: str) -> str:
    """Return what a phone is known by; nobody makes it up without our key."""
    return salted_hmac(_TOKEN, f"{digest_of(code)} {nonce}", algorithm="sha256").hexdigest()


def opened_by(token: str, at: dt.datetime) -> PhoneOpening | None:
    """Return what a phone is open for now; None where it is nothing."""
    rows = PhoneOpening.objects.filter(digest=digest_of(token), code__end=None, until__gt=at)
    opening = rows.select_related("code__signed__plan", "code__signed__patient").first()
    if opening is None or not _may_be_shown(opening.code.signed, at):
        return None
    return opening


def _may_be_shown(signed: SignedPlan, at: dt.datetime) -> bool:
    try:
        return not standing_of(signed, at).why
    except NotDone:
        return False


# --- Ended ------------------------------------------------------------------------------------


def end_code(*, code: PhoneCode, by: User | None, at: dt.datetime) -> None:
    """End a code, or the phone that it opened; None for `by` is herself, on that phone."""
    with audit.writing():
        if not PhoneEnd.objects.filter(code=code).exists():
            _end(code, PhoneEnd.CLINIC if by else PhoneEnd.HERSELF, by, at)


def _end(code: PhoneCode, why: str, by: User | None, at: dt.datetime) -> None:
    row = PhoneEnd(code=code, why=why, by=by, at=at)
    row.save(force_insert=True)
    who = "" if by else named(code)
    new = audit.state_of(row)
    audit.record(by=by, at=at, action="end phone code", on=row, new=new, named=who)


def _told(row: PhoneCode) -> dict[str, object]:
    told = audit.state_of(row)
    del told["digest"]
    return told
