"""A day of the log as she fills it in on her phone: the declared cells, asked in her words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from gettext import NullTranslations as Words

from patients.facts.before_first_visit import gettext_noop
from programs.log.carried import SAYS, options_of
from programs.log.day import BROKEN_OFF, DONE, LONGEST_WORDS, PAIN, Column, Read
from programs.log.entries import Wrong
from safety.findings import Modality
from safety.modalities import MODALITIES

#: What is wrong in a cell, in her words: a colleague's name keys, which she does not see.
_MISSING: Mapping[str, str] = {
    DONE.name: gettext_noop("Say how much of it you did."),
    BROKEN_OFF.name: gettext_noop("You had to stop, so you did not do all of it."),
    PAIN.name: gettext_noop("Say how bad the pain was."),
}
_NUMBER = gettext_noop("Write a number from {low} to {high}, like 12.5.")
_LONG = gettext_noop("Write this in {count} letters or less.")
_CHOOSE = gettext_noop("Choose one of the answers.")


@dataclass(frozen=True, kw_only=True)
class Field:
    """One question.

    options   what can be chosen: what is sent, and its words; none where something is written
    several   more than one may be chosen; `chosen` are those
    text      what stands in it
    """

    name: str
    asked: str
    unit: str
    options: tuple[tuple[str, str], ...]
    several: bool
    number: bool
    text: str
    error: str

    @property
    def chosen(self) -> tuple[str, ...]:
        """Return what is ticked where more than one may be."""
        return tuple(self.text) if self.several else (self.text,)


@dataclass(frozen=True, kw_only=True)
class Group:
    """The questions of a kind, or of the day. planned: it is planned on this day."""

    title: str
    planned: bool
    of_day: bool
    fields: tuple[Field, ...]

    @property
    def open(self) -> bool:
        """Tell whether anything of it is filled in or wrong."""
        return any(one.text or one.error for one in self.fields)


def groups_of(
    columns: Sequence[Column],
    *,
    planned: Sequence[Modality],
    texts: Mapping[str, str],
    wrong: Sequence[Wrong],
    plates: Sequence[str],
    lift_names: Mapping[str, str],
    words: Words,
) -> tuple[Group, ...]:
    """Return the questions of a day: the kinds planned on it, then the day, then other kinds.

    texts        what stands in each column, by its name
    lift_names   what the paper calls each lift
    """
    errors = {one.column.name: her_words(one, words) for one in wrong}
    kinds = tuple(dict.fromkeys(column.kind for column in columns))
    groups = [
        Group(
            title=words.gettext(MODALITIES[kind].title if kind else SAYS["day"]),
            planned=kind in planned,
            of_day=kind is None,
            fields=tuple(
                _field(one, texts, errors, plates, lift_names, words)
                for one in columns
                if one.kind is kind
            ),
        )
        for kind in kinds
    ]
    return tuple(sorted(groups, key=lambda one: 0 if one.planned else 1 if one.of_day else 2))


def _field(
    column: Column,
    texts: Mapping[str, str],
    errors: Mapping[str, str],
    plates: Sequence[str],
    lift_names: Mapping[str, str],
    words: Words,
) -> Field:
    asked = words.gettext(column.cell.asked)
    if column.lift:
        asked = f"{words.gettext(lift_names[column.lift])}{words.gettext(':')} {asked}"
    return Field(
        name=column.name,
        asked=asked,
        unit=column.cell.unit,
        options=tuple((key, told) for key, told in options_of(column, plates, words)),
        several=column.cell.read is Read.KINDS,
        number=column.cell.read is Read.NUMBER,
        text=texts.get(column.name, ""),
        error=errors.get(column.name, ""),
    )


def her_words(wrong: Wrong, words: Words) -> str:
    """Return what is wrong in a cell, in her words."""
    cell, say = wrong.column.cell, words.gettext
    if cell.read is Read.NUMBER:
        return say(_NUMBER).format(low=f"{cell.low:g}", high=f"{cell.high:g}")
    if cell.read is Read.WORDS:
        return say(_LONG).format(count=LONGEST_WORDS)
    return say(_MISSING.get(cell.name, _CHOOSE))
