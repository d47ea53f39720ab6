"""The chain of looks: who was shown what of whom, sealed line by line like the record.

It is a chain of its own, so that a page that is only read waits for nobody's saving: a line is
one insert, without a transaction around it. Whoever finds the number taken, since somebody
else looked meanwhile, seals the line anew behind that one.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import DEFAULT_DB_ALIAS, IntegrityError
from django.utils.crypto import constant_time_compare, salted_hmac

from patients.audit import Broken, canonical, printed_name, source_address, state_of
from patients.models.looks import REFUSED, Look

_SALT = "calcar.looks"
_FIRST = "0" * 64
#: Times that a line is sealed anew, where others looked at the same moment.
_TRIES = 200
#: Lines held in memory while the chain is walked.
_AT_ONCE = 500
#: Parts of one page follow each other for so long before they count as another look at it.
_ONE_LOOK = dt.timedelta(minutes=15)
#: A stranger's refusals are told once in so long, so that nobody can fill the disk with them.
_ONE_REFUSAL = dt.timedelta(minutes=1)
_STRANGER = "nobody signed in"


class NotKept(Exception):
    """A look could not be written down."""


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What was shown, or refused: the columns of Look that an answer decides."""

    patient_number: int | None
    kind: str
    page: str
    what: Mapping[str, Any]
    status: int


def keep_look(seen: Seen, *, by: User | None, at: dt.datetime) -> Look:
    """Write down one look; None for `by` is somebody who has not signed in.

    Raises NotKept where too many others look at the same moment.
    """
    for _ in range(_TRIES):
        line = _line(seen, by, at)
        taken = Look.objects.filter(pk=line.seq)
        try:
            line.save(force_insert=True)
        except IntegrityError:
            if not taken.exists():
                raise
        else:
            return line
    raise NotKept("Too many looks at once.")


def is_part(seen: Seen, *, by: User | None, at: dt.datetime) -> bool:
    """Tell whether a part of a page belongs to a look at that page that is written down."""
    same = Look.objects.filter(patient_number=seen.patient_number, actor=by, page=seen.page)
    return same.exclude(kind=REFUSED).filter(at__gt=at - _ONE_LOOK).exists()


def is_told(*, at: dt.datetime) -> bool:
    """Tell whether a stranger's refusal from this address was written down just now."""
    strangers = Look.objects.filter(kind=REFUSED, actor=None, at__gt=at - _ONE_REFUSAL)
    return strangers.filter(source_address=source_address.get()).exists()


def verify_looks(using: str = DEFAULT_DB_ALIAS) -> Broken | None:
    """Return where the chain of looks is broken, or None where every line holds."""
    seal, lines = _FIRST, Look.objects.using(using).order_by("seq")
    for seq, line in enumerate(lines.iterator(chunk_size=_AT_ONCE), start=1):
        if line.seq != seq:
            return Broken(seq=line.seq, why=f"line {seq} is missing")
        if line.prev_hash != seal:
            return Broken(seq=seq, why="does not follow the line before")
        if not _sealed_by_us(line):
            return Broken(seq=seq, why="is not as it was written")
        seal = line.hash
    return None


def head_of_looks(using: str = DEFAULT_DB_ALIAS) -> tuple[int, str]:
    """Return number and seal of the last line, to be kept outside the database."""
    last = Look.objects.using(using).order_by("-seq").values_list("seq", "hash").first()
    return last or (0, _FIRST)


def _line(seen: Seen, by: User | None, at: dt.datetime) -> Look:
    seq, seal = head_of_looks()
    line = Look(
        seq=seq + 1,
        at=at,
        actor=by,
        actor_name=_STRANGER if by is None else printed_name(by),
        patient_number=seen.patient_number,
        kind=seen.kind,
        page=seen.page,
        what=canonical(seen.what),
        status=seen.status,
        source_address=source_address.get(),
        prev_hash=seal,
    )
    line.hash = _seal(line, settings.SECRET_KEY)
    return line


def _sealed_by_us(line: Look) -> bool:
    keys = [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]
    return any(constant_time_compare(line.hash, _seal(line, key)) for key in keys)


def _seal(line: Look, key: str | bytes) -> str:
    sealed = {name: value for name, value in state_of(line).items() if name != "hash"}
    sealed["at"] = line.at.astimezone(dt.UTC).isoformat()
    return salted_hmac(_SALT, canonical(sealed), secret=key, algorithm="sha256").hexdigest()
