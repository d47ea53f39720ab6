"""Whether somebody's one-time codes are as the record tells, so that none change beside it.

Each change, and each code that is used, is a line with a keyed digest of all that is kept: the
sealed secret, the last step, the recovery codes left. A code put back or one more put in shows.
"""

from __future__ import annotations

import re

from django.conf import settings
from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS
from django.utils.crypto import constant_time_compare, salted_hmac

from patients import audit
from patients.models.codes import OneTimeCodes, RecoveryCode
from patients.models.patient import Audit

_SALT = "calcar.one-time-codes"
_TOLD = re.compile(r'"codes":"([0-9a-f]{64})"')


def told_codes(user: User) -> dict[str, str]:
    """Return what a line of the record holds of somebody's codes as they are now."""
    return {"codes": _digest(_kept(user, DEFAULT_DB_ALIAS), settings.SECRET_KEY)}


def why_codes_not_as_told(user: User, using: str = DEFAULT_DB_ALIAS) -> str:
    """Return what is wrong where other codes are kept than the record tells of, or none."""
    kept = _kept(user, using)
    lines = Audit.objects.using(using).filter(
        object_type=User._meta.label_lower, object_id=str(user.pk), new__contains='"codes":"'
    )
    line = lines.order_by("-seq").first()
    if (line is None and not kept[1:]) or (line is not None and _tells_of(line, kept)):
        return ""
    return (
        f"The one-time codes of {user.get_username()} were changed past the program. They let "
        "nobody in until whoever manages the accounts of the clinic has taken them away."
    )


def _kept(user: User, using: str) -> list[str]:
    """Return all that is kept, the number of the person first."""
    codes = OneTimeCodes.objects.using(using).filter(who=user).first()
    left = RecoveryCode.objects.using(using).filter(who=user).order_by("digest")
    on = [] if codes is None else [codes.secret, str(codes.last_step)]
    return [str(user.pk), *on, *left.values_list("digest", flat=True)]


def _tells_of(line: Audit, kept: list[str]) -> bool:
    found = _TOLD.search(line.new)
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return (
        found is not None
        and audit.is_sealed(line)
        and any(constant_time_compare(found[1], _digest(kept, key)) for key in keys)
    )


def _digest(kept: list[str], key: str | bytes) -> str:
    return salted_hmac(_SALT, " ".join(kept), secret=key, algorithm="sha256").hexdigest()
