"""People out of a file: each row is read by the form by which one is added on a page."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from patients.actions.patient_record import Identity
from patients.facts import codes
from patients.files.columns import Unfit
from patients.files.reading import EncodingAsked, Record, decoded, grid
from patients.forms.person import IdentityForm
from patients.names import fold

#: What a head may say, folded, and the field that it fills.
HEADS: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(("given name", "first name", "given names"), "given_name"),
        **dict.fromkeys(("family name", "surname", "last name"), "family_name"),
        **dict.fromkeys(("date of birth", "born", "birth date"), "born"),
        **dict.fromkeys(("sex",), "sex"),
        **dict.fromkeys(("record number", "number", "id"), "record_number"),
        **dict.fromkeys(("preferred name", "goes by"), "goes_by"),
        **dict.fromkeys(("gender",), "gender"),
        **dict.fromkeys(("risk tables",), "table_sex"),
    }
)
_CODES = {"sex": codes.SEXES, "table_sex": codes.TABLE_SEXES}


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of a file: who it names, or what is wrong with it."""

    line: int
    who: Identity | None
    wrong: tuple[str, ...] = ()


def rows_of(data: bytes, today: dt.date, encoding: str | None = None) -> list[Row]:
    """Return all rows of a file. Raises Unfit where it cannot be read as one of people."""
    text = decoded(data, encoding)
    if isinstance(text, EncodingAsked):
        raise Unfit("The file is not UTF-8. Save it as “CSV UTF-8”, or name its encoding.")
    read = grid(text)
    fields = _fields(read.head)
    return [_row(record, fields, today) for record in read.records]


def _fields(head: tuple[str, ...]) -> list[str]:
    """Return the field of each column. Raises Unfit for one that is unknown, twice, or missing."""
    unknown = [f"“{words}”" for words in head if fold(words) not in HEADS]
    if unknown:
        raise Unfit(f"Unknown columns: {', '.join(unknown)}. Known are {', '.join(HEADS)}.")
    fields = [HEADS[fold(words)] for words in head]
    if twice := sorted({one for one in fields if fields.count(one) > 1}):
        raise Unfit(f"More than one column says the {_words(twice)}.")
    if lacking := [one for one in IdentityForm.needed if one not in fields]:
        raise Unfit(f"No column says the {_words(lacking)}.")
    return fields


def _words(fields: list[str]) -> str:
    return " or the ".join(str(IdentityForm.base_fields[one].label).lower() for one in fields)


def _row(record: Record, fields: list[str], today: dt.date) -> Row:
    if len(record.cells) != len(fields):
        uneven = f"It has {len(record.cells)} cells, and the heads are {len(fields)}."
        return Row(line=record.line, who=None, wrong=(uneven,))
    typed = dict(zip(fields, record.cells, strict=True))
    form = IdentityForm({name: _plain(name, cell) for name, cell in typed.items()}, today=today)
    if form.is_valid():
        return Row(line=record.line, who=form.identity())
    told = tuple(f"{question}: {error}" for _, question, error in form.listed_errors)
    return Row(line=record.line, who=None, wrong=told)


def _plain(name: str, cell: str) -> str:
    """Return the code of what is chosen from a few, by its code, label or first letter."""
    if name not in _CODES:
        return cell
    said = fold(cell)
    found = [
        code for code, label in _CODES[name].items() if said in (fold(code), fold(label), code[0])
    ]
    return found[0] if len(found) == 1 else cell
