"""Which languages papers are made in here, and who that speaks one has read its texts."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from uuid import UUID

from django.contrib.auth.models import User
from django.utils import timezone

from patients import audit
from programs.actions.refusals import NotDone
from programs.languages import DECLARED, Language, ready
from programs.models.clinic import PaperLanguage
from programs.papers.kinds import ENGLISH_CODE

CHANGED = (
    "Somebody else changed the languages after you had opened this page. What is set now "
    "is on the clinic's page; what you typed is below. Save again to put it in its place."
)
NAME_LACKS = "Write who read the texts, or leave the day empty."
DAY_LACKS = "Write the day on which the texts were read, or leave the name empty."
DAY_TO_COME = "This day is still to come."


@dataclass(frozen=True, kw_only=True)
class InUse:
    """How a language stands at this clinic; no name and no day where nobody has read it."""

    language: str
    on: bool
    read_by: str = ""
    read_on: dt.date | None = None

    @property
    def of(self) -> Language:
        """Return what is declared of it."""
        return DECLARED[self.language]


#: How each language stands, by its code.
Held = dict[str, InUse]


def why_not_read(read_by: str, read_on: dt.date | None, today: dt.date) -> tuple[str, str]:
    """Return what is wrong with the name and with the day of a reading; nothing where it holds."""
    if read_on and read_on > today:
        return "", DAY_TO_COME
    name = NAME_LACKS if read_on and not read_by else ""
    return name, DAY_LACKS if read_by and not read_on else ""


def languages_in_force(rows: Iterable[PaperLanguage] | None = None) -> Held:
    """Return how each language but English stands: English is what all others are read against.

    rows   all that were set, oldest first, where they have been read already
    """
    held = {
        one.code: InUse(language=one.code, on=one.at_first)
        for one in ready()
        if one.code != ENGLISH_CODE
    }
    for row in PaperLanguage.objects.all() if rows is None else rows:
        if row.language in held:
            held[row.language] = InUse(
                language=row.language, on=row.on, read_by=row.read_by, read_on=row.read_on
            )
    return held


def languages_on(held: Held | None = None) -> list[tuple[str, str]]:
    """Return code and English name of the languages that papers are made in, English first.

    held   how they stand, where that was already read
    """
    on = [one.of for one in (held or languages_in_force()).values() if one.on]
    return [(one.code, one.name) for one in (DECLARED[ENGLISH_CODE], *on)]


def languages_unread(held: Held | None = None) -> tuple[str, ...]:
    """Return which languages are on though nobody who speaks them has put a name to them.

    held   how they stand, where that was already read
    """
    every = (held or languages_in_force()).values()
    return tuple(one.of.name for one in every if one.on and not one.read_by)


def newest_row() -> int:
    """Return the number of the last row that was set; 0 where nothing ever was."""
    return PaperLanguage.objects.values_list("pk", flat=True).last() or 0


def set_languages(
    *,
    given: Sequence[InUse],
    by: User,
    at: dt.datetime,
    seen: int | None = None,
    token: UUID | None = None,
) -> None:
    """Turn languages on or off, and tell who read them; those that are so already stay.

    A paper that was made, and a week that is open on a phone, stay in their language.

    seen   the newest row when the form was shown; None where nobody had been shown any
    Raises NotDone for a reading without its name or its day, or where somebody else was first.
    """
    today = timezone.localdate(at)
    for one in given:
        if problem := next(filter(None, why_not_read(one.read_by, one.read_on, today)), ""):
            raise NotDone(problem)
    with audit.writing():
        if audit.done_before(token) is not None:
            return
        if seen is not None and seen != newest_row():
            raise NotDone(CHANGED)
        before = languages_in_force()
        for one in given:
            if one != before[one.language]:
                _set(one, before[one.language], by, at, token)
                # A token leads to one line.
                token = None


def _set(one: InUse, before: InUse, by: User, at: dt.datetime, token: UUID | None) -> None:
    row = PaperLanguage.objects.create(**vars(one), by=by, at=at)
    audit.record(
        by=by,
        at=at,
        action="set language of papers",
        on=row,
        old=_told(before),
        new=_told(one),
        token=token,
    )


def _told(one: InUse) -> dict[str, object]:
    return {**vars(one), "read_on": one.read_on.isoformat() if one.read_on else None}
