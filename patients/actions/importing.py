"""People out of a list, added row by row; again it is nothing new; and all of it undone.

A row is known by who it names, so that the same list sent again finds the people that it added.
Each row is a transaction of its own: where the work is stopped, sending the list again goes on.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from uuid import UUID, uuid5

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone

from patients import audit
from patients.actions.closing import close_record
from patients.actions.doubles import same_person
from patients.actions.patient_record import Identity, add_patient
from patients.actions.refusals import Duplicate
from patients.models.finding import OPEN, Findable
from patients.models.patient import Audit, Patient
from patients.models.standing import MISTAKE
from patients.names import alike, fold

_LIST = UUID("0a6f7c54-0b3f-4b53-9a43-0d9f5b1c7f21")
#: What the record has of somebody to whom nothing was done since she was added.
_OF_ADDING = ("add patient", "two people")


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What came of one row, or would.

    done   somebody was added, or would be, or her record was closed
    asks   whether this is another person than the one found
    made   the row had added somebody before
    """

    line: int
    words: str
    done: bool = False
    asks: bool = False
    made: bool = False


def token_of(who: Identity) -> UUID:
    """Return by what a row is known again."""
    return uuid5(_LIST, audit.canonical({k: str(v) for k, v in vars(who).items()}))


def look_at(rows: Iterable[tuple[int, Identity]]) -> Iterator[Outcome]:
    """Give what would come of each row; nothing is written."""
    earlier: list[tuple[int, Identity]] = []
    for line, who in rows:
        if (made := _made_of(who)) is not None:
            yield Outcome(line=line, words=_before(made), made=True)
        elif matches := same_person(who):
            yield Outcome(line=line, words=_double(matches), asks=True)
        elif same := [n for n, one in earlier if _may_be(one, who)]:
            words = f"may be the person of line {same[0]}; asked, not added"
            yield Outcome(line=line, words=words, asks=True)
        else:
            earlier.append((line, who))
            yield Outcome(line=line, words="to be added", done=True)


def take(
    rows: Iterable[tuple[int, Identity]],
    *,
    by: User,
    at: dt.datetime,
    others: Sequence[int] = (),
    reason: str = "",
) -> Iterator[Outcome]:
    """Add the people of a list, and give what came of each row.

    others   the lines of those who are another person than the one found, for this reason
    """
    for line, who in rows:
        if (made := _made_of(who)) is not None:
            yield Outcome(line=line, words=_before(made), made=True)
            continue
        why = reason if line in others else ""
        try:
            new = add_patient(who=who, by=by, at=at, reason=why, token=token_of(who))
        except Duplicate as duplicate:
            yield Outcome(line=line, words=_double(duplicate.matches), asks=True)
        else:
            yield Outcome(line=line, words=f"added, id {new.pk}", done=True)


def undo(
    rows: Iterable[tuple[int, Identity]], *, by: User, at: dt.datetime, note: str
) -> Iterator[Outcome]:
    """Close the records that a list added, as entered in error; give what came of each row.

    A record in which something was done since stays open. Raises Refused where the account may
    close none.
    """
    for line, who in rows:
        made = _made_of(who)
        if made is None:
            yield Outcome(line=line, words="nobody was added by this row")
        elif made.state != OPEN:
            yield Outcome(line=line, words=f"id {made.patient_id} is not open")
        elif _since(made).exists():
            words = f"id {made.patient_id} stays: something was entered since it was added"
            yield Outcome(line=line, words=words)
        else:
            patient, on = Patient.objects.get(pk=made.patient_id), timezone.localdate(at)
            close_record(patient=patient, what=MISTAKE, on=on, note=note, by=by, at=at)
            yield Outcome(line=line, words=f"id {made.patient_id} closed", done=True)


def _made_of(who: Identity) -> Findable | None:
    """Return how the record stands that this very row added before; erased ones have that too."""
    line = audit.done_before(token_of(who))
    return None if line is None else Findable.objects.get(patient=int(line.object_id))


def _since(made: Findable) -> QuerySet[Audit]:
    """Return the lines of what was done in a record since it was added."""
    lines = Audit.objects.filter(patient_id=made.patient_id)
    return lines.exclude(action__in=_OF_ADDING)


def _before(made: Findable) -> str:
    closed = "" if made.state == OPEN else ", whose record is not open"
    return f"added before, id {made.patient_id}{closed}"


def _double(matches: Sequence[Patient]) -> str:
    ids = " or ".join(str(one.pk) for one in matches)
    return f"may be on record as id {ids}; asked, not added"


def _may_be(one: Identity, who: Identity) -> bool:
    """Tell whether two rows may be one person, as it is told of people on record."""
    key = fold(who.record_number)
    if key and key == fold(one.record_number):
        return True
    if (one.born, one.born_is) != (who.born, who.born_is):
        return False
    same_given = fold(one.given_name) == fold(who.given_name)
    return same_given or alike(one.family_name, who.family_name)
