"""One-time codes at sign-in: turned on and off, used once each, taken away, asked of people.

The arithmetic of RFC 6238 is django-otp's. Its models are not used: they keep the secret and the
recovery codes in clear text, and count wrong tries beside the one brake that there is here.
"""

from __future__ import annotations

import datetime as dt
import secrets
from enum import StrEnum
from uuid import UUID

from django.conf import settings
from django.contrib.auth.models import User
from django.utils.crypto import salted_hmac
from django_otp.oath import TOTP

from patients import audit
from patients.actions.refusals import Refused
from patients.actions.sealed_secret import NotOpened, opened, seal
from patients.actions.told_codes import told_codes, why_codes_not_as_told
from patients.may import may_keep_people, rights_today
from patients.models.codes import CodesAsked, OneTimeCodes, RecoveryCode
from patients.models.patient import Audit
from patients.staff.one_time_codes import (
    DIGITS,
    DRIFT_STEPS,
    RECOVERY_CODES,
    SECRET_BYTES,
    STEP_S,
    Whom,
    as_step_code,
    must_use_codes,
    plain,
    recovery_text,
)
from patients.staff.rights import Right, why_not

TAKE_AWAY = "take one-time codes away"
_SALT = "calcar.recovery-code"
_SIGNED_IN = "sign in"


class With(StrEnum):
    """With what, beside the password, somebody signed in."""

    CODE = "one-time code"
    RECOVERY = "recovery code"


def new_secret(user: User) -> str:
    """Return a new secret, sealed, to be turned on with its first code; kept nowhere yet."""
    return seal(secrets.token_bytes(SECRET_BYTES), user.pk)


def codes_of(user: User) -> OneTimeCodes | None:
    """Return somebody's codes; None where she signs in with the password alone."""
    return OneTimeCodes.objects.filter(who=user).first()


def recovery_left(user: User) -> int:
    """Return how many recovery codes are left."""
    return RecoveryCode.objects.filter(who=user).count()


def turn_on(*, user: User, sealed: str, code: str, at: dt.datetime) -> list[str] | None:
    """Let codes of this secret be asked from now on; returns the recovery codes, shown once.

    None where it is not the code of now. Raises Refused where codes are on already.
    """
    with audit.writing():
        if codes_of(user) is not None:
            raise Refused("One-time codes are on already.")
        step = _step_of(sealed, user, code, at, after=0)
        if step is None:
            return None
        OneTimeCodes.objects.create(who=user, secret=sealed, last_step=step, since=at)
        made = _made_anew(user)
        _tell(user, user, at, "turn one-time codes on")
    return made


def turn_off(*, user: User, at: dt.datetime) -> None:
    """Ask for no more codes; the caller has asked for the password.

    Raises Refused where the clinic asks for them.
    """
    with audit.writing():
        if codes_of(user) is None:
            return
        if must_have_codes(user):
            raise Refused("Your clinic asks you for one-time codes. They stay on.")
        _remove(user)
        _tell(user, user, at, "turn one-time codes off")


def make_recovery_codes(*, user: User, at: dt.datetime) -> list[str]:
    """Return new recovery codes, shown once; those before end. The caller has asked.

    Raises Refused where codes are off.
    """
    with audit.writing():
        if codes_of(user) is None:
            raise Refused("One-time codes are off.")
        made = _made_anew(user)
        _tell(user, user, at, "make new recovery codes")
    return made


def use_code(*, user: User, typed: str, at: dt.datetime) -> With | None:
    """Use a code up; returns what it was, or None where it is wrong or was used before."""
    with audit.writing():
        used = _use_step(user, typed, at) or _use_recovery(user, typed)
        if used is not None:
            _tell(user, user, at, f"use {used}")
    return used


def take_away(*, user: User, reason: str, by: User, at: dt.datetime) -> None:
    """Let somebody in with her password alone, who lost what makes her codes.

    Raises Refused without a reason, and for who is no keeper or would take her own.
    """
    _refuse_take_away(user, by)
    take_away_by_the_shell(user=user, reason=reason, by=by, at=at)


def take_away_by_the_shell(*, user: User, reason: str, by: User | None, at: dt.datetime) -> None:
    """Do the same for whoever has the machine: it asks for no session. Raises Refused."""
    with audit.writing():
        if not reason.strip():
            raise Refused("Write down the reason.")
        if codes_of(user) is None and not why_codes_not_as_told(user):
            raise Refused("There are no one-time codes to take away.")
        _remove(user)
        _tell(user, by, at, TAKE_AWAY, reason.strip())


def taken_away(user: User) -> Audit | None:
    """Return the line that tells of codes taken away since the last sign-in, if any."""
    lines = Audit.objects.filter(object_type=User._meta.label_lower, object_id=str(user.pk))
    last = lines.filter(action__in=[TAKE_AWAY, _SIGNED_IN]).order_by("-seq").first()
    return last if last is not None and last.action == TAKE_AWAY else None


def asked_of() -> Whom:
    """Return of whom the clinic asks codes."""
    row = CodesAsked.objects.last()
    return Whom(row.whom) if row else Whom.NOBODY


def must_have_codes(user: User) -> bool:
    """Tell whether the clinic asks codes of somebody."""
    return must_use_codes(asked_of(), rights_today(user))


def ask_codes_of(*, whom: Whom, by: User, at: dt.datetime, token: UUID | None = None) -> None:
    """Set who must use codes. Raises Refused for who is no keeper."""
    with audit.writing():
        if not may_keep_people(by):
            raise Refused(why_not(Right.PEOPLE))
        before = asked_of()
        if audit.done_before(token) is not None or before is whom:
            return
        row = CodesAsked.objects.create(whom=whom, by=by, at=at)
        audit.record(
            by=by,
            at=at,
            action="ask one-time codes",
            on=row,
            old={"whom": before},
            new=audit.state_of(row),
            token=token,
        )


def _use_step(user: User, typed: str, at: dt.datetime) -> With | None:
    codes = codes_of(user)
    if codes is None:
        return None
    step = _step_of(codes.secret, user, typed, at, after=codes.last_step)
    if step is None:
        return None
    codes.last_step = step
    codes.save(update_fields=["last_step"])
    return With.CODE


def _step_of(sealed: str, user: User, typed: str, at: dt.datetime, *, after: int) -> int | None:
    """Return the step of which a code is, where it lies after the last one used."""
    code = as_step_code(typed)
    try:
        secret = opened(sealed, user.pk)
    except NotOpened:
        return None
    clock = TOTP(secret, step=STEP_S, digits=DIGITS)
    clock.time = at.timestamp()
    right = code is not None and clock.verify(code, tolerance=DRIFT_STEPS, min_t=after + 1)
    return int(clock.t()) if right else None


def _use_recovery(user: User, typed: str) -> With | None:
    keys = (settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS)
    found = RecoveryCode.objects.filter(
        who=user, digest__in=[_digest(user, typed, key) for key in keys]
    )
    return With.RECOVERY if found.delete()[0] else None


def _made_anew(user: User) -> list[str]:
    RecoveryCode.objects.filter(who=user).delete()
    made = [recovery_text(secrets.token_bytes(10)) for _ in range(RECOVERY_CODES)]
    rows = [RecoveryCode(who=user, digest=_digest(user, one, settings.SECRET_KEY)) for one in made]
    for row in rows:
        row.save(force_insert=True)
    return made


def _remove(user: User) -> None:
    OneTimeCodes.objects.filter(who=user).delete()
    RecoveryCode.objects.filter(who=user).delete()


def _refuse_take_away(user: User, by: User) -> None:
    if not may_keep_people(by):
        raise Refused(why_not(Right.PEOPLE))
    if by.pk == user.pk:
        raise Refused("Your own are turned off with your password, on the page of your account.")


def _tell(user: User, by: User | None, at: dt.datetime, action: str, reason: str = "") -> None:
    audit.record(by=by, at=at, action=action, on=user, new=told_codes(user), reason=reason)


def _digest(user: User, code: str, key: str | bytes) -> str:
    # Keyed: else whoever can write the file could put in a code of her own.
    told = f"{user.pk} {plain(code)}"
    return salted_hmac(_SALT, told, secret=key, algorithm="sha256").hexdigest()
