"""The record of who did what, sealed line by line; every action of every app writes to it.

Each line's seal is an HMAC-SHA-256 over the line and the seal before it, with a key made
from SECRET_KEY: a changed, missing, moved or forged line breaks the chain. A cut tail
shows only against a seal kept elsewhere, so the head is printed and backed up. After a new
SECRET_KEY the old one belongs in SECRET_KEY_FALLBACKS, or old lines no longer verify.

An erasure by law empties lines of what they told, salt included: each keeps its place and its
seal, so the chain goes on, and the seal alone tells nothing to anybody who guesses contents. The
line of the erasure names each of them with a keyed digest of what was left. A line that is empty
without that is a changed one.
"""

from __future__ import annotations

import datetime as dt
import json
import secrets
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from typing import Any, TypeVar
from uuid import UUID

from django.conf import settings
from django.contrib.auth.models import User
from django.core.serializers.json import DjangoJSONEncoder
from django.db import DEFAULT_DB_ALIAS, connection, connections, models, transaction
from django.utils.crypto import constant_time_compare, salted_hmac

from patients.models.forms_sent import FormSent
from patients.models.patient import Audit, Patient


@dataclass(frozen=True, kw_only=True)
class FormContent:
    """A form that was sent: its token, and a digest of all that it held."""

    token: UUID
    digest: str


#: Where the request came from, and which form it sent; set for each request by the middleware.
source_address: ContextVar[str] = ContextVar("source_address", default="")
form_sent: ContextVar[FormContent | None] = ContextVar("form_sent", default=None)
#: Who is named where nobody of the clinic did it; set by commands, for the machine's own user.
nobody: ContextVar[str] = ContextVar("nobody", default="the system")

_Row = TypeVar("_Row", bound=models.Model)

#: The action of an erasure by law; its line tells which lines were emptied.
ERASE_PERSON = "erase person"
#: What stands for old and new in a line that was emptied: nothing that canonical() gives.
EMPTIED = ""

_SALT, _LEFT_SALT = "calcar.audit", "calcar.audit.emptied"
_FIRST = "0" * 64
#: Lines held in memory while the chain is walked.
_AT_ONCE = 200


@dataclass(frozen=True, kw_only=True)
class Broken:
    """The first line at which the chain does not hold."""

    seq: int
    why: str


class SentOtherwise(Exception):
    """The form's token was used before, by other content or another form; `line` tells of that."""

    def __init__(self, line: Audit) -> None:
        super().__init__("This form was saved already, with other content.")
        self.line = line


@contextmanager
def writing() -> Iterator[None]:
    """Hold one transaction in which nobody else writes, so that the chain has one tail.

    SQLite takes its write lock when the transaction begins (IMMEDIATE); elsewhere all who
    write queue for the table, which can be locked before it has a line.
    """
    with transaction.atomic():
        if connection.vendor != "sqlite":
            with connection.cursor() as cursor:
                cursor.execute(f"LOCK TABLE {Audit._meta.db_table} IN SHARE ROW EXCLUSIVE MODE")
        yield


def record(
    *,
    by: User | None,
    at: dt.datetime,
    action: str,
    on: models.Model,
    old: Mapping[str, Any] | None = None,
    new: Mapping[str, Any] | None = None,
    reason: str = "",
    token: UUID | None = None,
    named: str = "",
) -> Audit:
    """Write one line about a saved object, inside writing(); None for `by` is the system.

    named   who acted, where it was nobody who works here
    Raises SentOtherwise where the token was used before: ask `done_before` first.
    """
    if token is not None and (used := Audit.objects.filter(token=token).first()) is not None:
        raise SentOtherwise(used)
    last = Audit.objects.order_by("-seq").values_list("seq", "hash").first() or (0, _FIRST)
    line = Audit(
        seq=last[0] + 1,
        at=at,
        actor=by,
        actor_name=named or (nobody.get() if by is None else printed_name(by)),
        action=action,
        object_type=on._meta.label_lower,
        object_id=str(on.pk),
        object_version=getattr(on, "version", None),
        old=canonical(old),
        new=canonical(new),
        reason=reason,
        source_address=source_address.get(),
        token=token,
        patient_id=person_of(on),
        salt=secrets.token_hex(16),
        prev_hash=last[1],
    )
    line.hash = _seal(line, settings.SECRET_KEY)
    line.save(force_insert=True)
    sent = form_sent.get()
    if sent is not None and sent.token == token:
        FormSent.objects.create(token=sent.token, content=sent.digest)
    return line


def done_before(token: UUID | None) -> Audit | None:
    """Return the line of the action that this form's token has already led to.

    Raises SentOtherwise where the form that is sent now holds something else than then.
    """
    line = None if token is None else Audit.objects.filter(token=token).first()
    sent = form_sent.get()
    if line is None or sent is None or sent.token != token:
        return line
    before = FormSent.objects.filter(token=token).first()
    if before is not None and before.content != sent.digest:
        raise SentOtherwise(line)
    return line


def row_made(line: Audit, kind: type[_Row]) -> _Row:
    """Return the row that a line of the record tells of.

    Raises SentOtherwise where it tells of another kind of row: the token is of another form.
    """
    if line.object_type != kind._meta.label_lower:
        raise SentOtherwise(line)
    return kind._default_manager.get(pk=line.object_id)


def verify_chain(using: str = DEFAULT_DB_ALIAS, *, last: int | None = None) -> Broken | None:
    """Return where the chain of a database is broken, or None where every line holds.

    last   so many of the last lines only; what the first of them follows is taken as it stands
    """
    lines = Audit.objects.using(using).order_by("seq")
    begin = 0 if last is None else max(head(using)[0] - last, 0)
    seal: str | None = None if begin else _FIRST
    left = emptied(using)
    tail = lines.filter(seq__gt=begin).iterator(chunk_size=_AT_ONCE)
    for seq, line in enumerate(tail, start=begin + 1):
        if line.seq != seq:
            return Broken(seq=line.seq, why=f"line {seq} is missing")
        if seal is not None and line.prev_hash != seal:
            return Broken(seq=seq, why="does not follow the line before")
        if seq in left and not _is_as_left(line, left):
            return Broken(seq=seq, why="was erased, and is not as the erasure left it")
        if seq not in left and not _is_as_written(line):
            return Broken(seq=seq, why="is not as it was written")
        seal = line.hash
    return None


def head(using: str = DEFAULT_DB_ALIAS) -> tuple[int, str]:
    """Return number and seal of the last line, to be kept outside the database."""
    last = Audit.objects.using(using).order_by("-seq").values_list("seq", "hash").first()
    return last or (0, _FIRST)


def actions_told(using: str = DEFAULT_DB_ALIAS) -> list[str]:
    """Return the actions that the record tells of, each once.

    From one to the next by the index, so that it does not grow with the lines of each.
    """
    table = Audit._meta.db_table
    following = f"(SELECT MIN(action) FROM {table} WHERE action > found.action)"
    sql = f"""
        WITH RECURSIVE found(action) AS (
            SELECT MIN(action) FROM {table}
            UNION ALL SELECT {following} FROM found WHERE found.action IS NOT NULL
        )
        SELECT action FROM found WHERE action IS NOT NULL
    """
    with connections[using].cursor() as cursor:
        cursor.execute(sql)
        return [action for (action,) in cursor.fetchall()]


def key_fits(using: str = DEFAULT_DB_ALIAS) -> bool:
    """Tell whether this installation's key sealed the last line, or else the first, if any.

    Where it sealed neither, it is another key; one changed line alone breaks only the chain.
    """
    lines = Audit.objects.using(using)
    ends = [lines.order_by(order).first() for order in ("-seq", "seq")]
    return ends[0] is None or any(line is not None and is_sealed(line) for line in ends)


def state_of(row: models.Model) -> dict[str, Any]:
    """Return what a row holds, by column, for the record."""
    return {field.attname: getattr(row, field.attname) for field in row._meta.concrete_fields}


def canonical(value: Mapping[str, Any] | None) -> str:
    """Return one text for one value, whatever the order of its keys."""
    return json.dumps(
        value, cls=DjangoJSONEncoder, sort_keys=True, ensure_ascii=False, separators=(",", ":")
    )


def utc_text(at: dt.datetime) -> str:
    """Return a moment in UTC, ISO 8601 with its offset."""
    return at.astimezone(dt.UTC).isoformat()


def printed_name(by: User | None) -> str:
    """Return the name that stands in the record, as it is today."""
    return "the system" if by is None else by.get_full_name() or by.get_username()


def person_of(on: models.Model) -> int | None:
    """Return the patient whom a row is about, by what it belongs to; None for any other row."""
    if isinstance(on, Patient):
        return on.pk
    for name in ("patient_id", "double_id", "one_id"):
        if (found := getattr(on, name, None)) is not None:
            return int(found)
    ways = ("signed", "stop", "join", "code", "entry")
    owner = next((name for name in ways if hasattr(on, f"{name}_id")), None)
    return None if owner is None else person_of(getattr(on, owner))


def is_sealed(line: Audit) -> bool:
    """Tell whether a line, by itself, is as it was written, or as an erasure by law left it."""
    return first_broken([line]) is None


def first_broken(lines: Iterable[Audit]) -> Audit | None:
    """Return the first of some lines that is neither as written nor as an erasure left it."""
    left: Mapping[int, str] | None = None
    for line in lines:
        if _is_as_written(line):
            continue
        if left is None:
            left = emptied(line._state.db or DEFAULT_DB_ALIAS)
        if not _is_as_left(line, left):
            return line
    return None


# --- Lines that an erasure by law has emptied -----------------------------------------------


def erasures(using: str = DEFAULT_DB_ALIAS) -> list[Audit]:
    """Return the lines that tell of an erasure and are as they were written, the oldest first."""
    lines = Audit.objects.using(using).filter(action=ERASE_PERSON).order_by("seq")
    return [line for line in lines if _is_as_written(line)]


def emptied(using: str = DEFAULT_DB_ALIAS) -> dict[int, str]:
    """Return the numbers of the lines that erasures emptied, with the digest of what was left."""
    found: dict[int, str] = {}
    for line in erasures(using):
        found |= {int(seq): digest for seq, digest in json.loads(line.new)["lines"].items()}
    return found


def emptied_of_content(line: Audit) -> Audit:
    """Return a line, unsaved, without what it told: values, reason, salt."""
    line.old = line.new = EMPTIED
    line.reason, line.salt = "", None
    return line


def digest_of_left(line: Audit) -> str:
    """Return the keyed digest of an emptied line, its seal included, for the erasure's line."""
    return _digest_of_left(line, settings.SECRET_KEY)


def _is_as_written(line: Audit) -> bool:
    return any(constant_time_compare(line.hash, _seal(line, key)) for key in _keys())


def _is_as_left(line: Audit, left: Mapping[int, str]) -> bool:
    told = left.get(line.seq, "")
    return any(constant_time_compare(told, _digest_of_left(line, key)) for key in _keys())


def _keys() -> list[str | bytes]:
    return [settings.SECRET_KEY, *settings.SECRET_KEY_FALLBACKS]


def _seal(line: Audit, key: str | bytes) -> str:
    sealed = _columns(line)
    del sealed["hash"]
    # Lines from before they named their patient, or had a salt, were sealed without.
    for name in ("patient_id", "salt"):
        if sealed[name] is None:
            del sealed[name]
    return salted_hmac(_SALT, canonical(sealed), secret=key, algorithm="sha256").hexdigest()


def _digest_of_left(line: Audit, key: str | bytes) -> str:
    left = canonical(_columns(line))
    return salted_hmac(_LEFT_SALT, left, secret=key, algorithm="sha256").hexdigest()


def _columns(line: Audit) -> dict[str, Any]:
    return state_of(line) | {"at": utc_text(line.at)}
