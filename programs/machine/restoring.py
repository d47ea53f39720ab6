"""Putting a copy of the database in the place of the present one, or only trying it out.

The copy is loaded beside the present database and there decrypted, checked, brought up to date
and given a new life; only then it takes the place, in one step. Until that step nothing is
changed, and after it the present one is still there under another name.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.contrib.auth.models import User
from django.core.management import call_command
from django.db import DEFAULT_DB_ALIAS, DatabaseError

from patients import audit
from patients.models.patient import Audit
from programs.actions.anchors import begin_anew
from programs.actions.as_signed import SIGN_PLAN
from programs.actions.database_copies import Held, keep_copy, restore_from
from programs.machine import encrypted, folder, key
from programs.machine.connections import led_to, opened
from programs.machine.copies import erased_in, holds, kind
from programs.machine.migrations_known import missing, said_of_unknown, unknown
from programs.machine.refusals import NotPossible
from programs.models.database_copies import PROVEN

ADD_PATIENT = "add patient"


@dataclass(frozen=True, kw_only=True)
class Restored:
    """What came of a restore: what is there now, and under which name the other one is kept.

    damage   what is wrong with it, though the copy was good a moment before: a failing disk
    erased   in words, each record in it that was erased by law
    """

    held: Held
    kept: str
    damage: str
    erased: tuple[str, ...] = ()


def restore(
    file: Path,
    *,
    phrase: str,
    at: dt.datetime,
    agreed: Callable[[str], bool],
    by: str | None = None,
) -> Restored | None:
    """Put a copy in the place of the present database; None where it was not agreed to.

    by       user name of whoever answers for it, an account of the copy
    agreed   is told in words what would be lost, and says whether to go on

    Raises NotPossible, with the present database as it was, where anything stands in the way.
    """
    with folder.alone():
        _refuse_others()
        with _loaded(file, phrase) as staged:
            with led_to(staged):
                copy = _checked(file)
                _account(by, file.name)
            if not agreed(_lost_in_words(staged, copy)):
                return None
            with led_to(staged):
                who = _account(by, file.name)
                restore_from(held=copy, by=who, at=at, reason=f"from {file.name}")
            kept = kind().name_to_keep(f"{at:%Y%m%d-%H%M%S-%f}")
            kind().put_in_place(staged, kept)
        begin_anew(f"{at:%Y%m%d-%H%M%S-%f}", at)
        held, broken = holds(DEFAULT_DB_ALIAS, file=file.name, sealed=copy.encrypted)
        damage = kind().not_whole(DEFAULT_DB_ALIAS) or "\n".join(broken)
        erased = erased_in(DEFAULT_DB_ALIAS)
    return Restored(held=held, kept=kept, damage=damage, erased=erased)


def rehearse(file: Path, *, phrase: str, at: dt.datetime, by: str | None = None) -> Held:
    """Do all that a restore does but the last step, and keep that the copy is good."""
    with _loaded(file, phrase) as staged, led_to(staged):
        held = _checked(file)
    keep_copy(held=held, what=PROVEN, by=_account(by, "the database"), at=at)
    return held


def _account(by: str | None, place: str) -> User | None:
    if by is None:
        return None
    found = User.objects.filter(username=by, is_active=True).first()
    if found is None:
        raise NotPossible(f"Nobody in {place} has the user name {by}.")
    return found


def _refuse_others() -> None:
    try:
        kind().refuse_others()
    except DatabaseError as error:
        raise NotPossible(f"The database cannot be reached: {error}") from error


@contextmanager
def _loaded(file: Path, phrase: str) -> Iterator[str]:
    """Load a copy beside the present database; give its name, and remove it afterwards."""
    try:
        with _in_clear(file, phrase) as plain:
            staged = kind().stage(plain)
    except OSError as error:
        raise NotPossible(f"{file} could not be loaded: {error}. Nothing was changed.") from error
    try:
        yield staged
    finally:
        kind().throw_away(staged)


@contextmanager
def _in_clear(file: Path, phrase: str) -> Iterator[Path]:
    if not encrypted.is_encrypted(file):
        yield file
        return
    plain = folder.state() / ".restoring-in-clear"
    plain.unlink(missing_ok=True)
    try:
        with folder.for_owner_only():
            encrypted.decrypt(file, plain, phrase=phrase)
        yield plain
    finally:
        plain.unlink(missing_ok=True)


def _checked(file: Path) -> Held:
    """Return what the loaded copy holds, once it is whole, up to date, and as it was written."""
    if damage := kind().not_whole(DEFAULT_DB_ALIAS):
        raise NotPossible(f"NOT GOOD: {file.name} is damaged or cut off: {damage}")
    if newer := unknown():
        raise NotPossible(said_of_unknown(newer))
    if missing():
        call_command("migrate", interactive=False, verbosity=0)
    sealed = encrypted.is_encrypted(file)
    held, broken = holds(DEFAULT_DB_ALIAS, file=file.name, sealed=sealed)
    if not held.key:
        raise NotPossible(_other_key(file, sealed))
    if broken:
        raise NotPossible(f"NOT GOOD: {file.name} is not as it was written:\n" + "\n".join(broken))
    return held


def _other_key(file: Path, sealed: bool) -> str:
    named = f", {encrypted.head_of(file)['key']}," if sealed else ""
    return (
        f"The record of {file.name} was sealed with another secret key{named} than the one here "
        f"({key.fingerprint()}). Put the secret_key that belongs to this copy into the state "
        "folder first: without it nobody can tell whether anything was changed."
    )


def _lost_in_words(staged: str, copy: Held) -> str:
    if not kind().is_there():
        return "There is no present database: nothing would be lost."
    try:
        lines = Audit.objects.count()
        with opened(staged) as alias:
            shared = _shared(alias, min(lines, copy.lines))
        lost = Audit.objects.filter(seq__gt=shared)
        people, programs = (
            lost.filter(action=action).count() for action in (ADD_PATIENT, SIGN_PLAN)
        )
    except DatabaseError as error:
        return (
            f"The present database cannot be read ({str(error).strip()}): what would be lost "
            "cannot be told. It is kept under another name."
        )
    if lines == shared:
        return "Nothing would be lost: the copy has every line of the present database's record."
    words = (
        f"Lost would be what was written since {lost.earliest('seq').at:%Y-%m-%d %H:%M} UTC: "
        f"{_many(lines - shared, 'line')} of the record, among them {people} of a new person and "
        f"{programs} of a signed program."
    )
    if copy.lines < lines:
        words += (
            f"\nTHE COPY HOLDS LESS THAN THE PRESENT DATABASE: {_many(copy.lines, 'line')} "
            f"against {lines}."
        )
    erased = lost.filter(action=audit.ERASE_PERSON).count()
    if erased:
        words += (
            f"\n{_many(erased, 'RECORD')} ERASED BY LAW SINCE WOULD BE BACK. Erase again what must "
            "not be kept (manage.py erase_person)."
        )
    return words


def _shared(alias: str, most: int) -> int:
    """Return how many lines from the first the two have in common: each seals those before."""
    least = 0
    while least < most:
        middle = (least + most + 1) // 2
        rows = [Audit.objects.using(name) for name in (DEFAULT_DB_ALIAS, alias)]
        one, other = (row.filter(seq=middle).values_list("hash").first() for row in rows)
        least, most = (middle, most) if one == other else (least, middle - 1)
    return least


def _many(number: int, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"
