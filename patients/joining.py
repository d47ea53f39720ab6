"""Two records of one person side by side: what differs, what is only in one, and its words."""

from __future__ import annotations

import datetime as dt
import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from patients.audit import canonical, state_of
from patients.facts.sections import SECTIONS, Section, put, value_at
from patients.facts.two_answers import differing
from patients.models.patient import KINDS, Measured, Patient
from patients.rows_as_tables import differences, tables
from patients.rows_to_facts import Contradiction, Entered, entered

#: Which of two values stands from now on; of a row, whether it is entered in the other record.
HERE, THERE = "here", "there"
WHO = {
    "given_name": "Given name",
    "family_name": "Family name",
    "born": "Date of birth",
    "sex": "Sex",
    "record_number": "Record number",
    "goes_by": "Preferred name",
    "gender": "Gender",
    "table_sex": "Risk tables",
}
#: What goes with the date of birth.
WITH_BORN = ("born_is", "born_estimated")
_NONE, _NOT_RECORDED = "none", "not recorded"


@dataclass(frozen=True, kw_only=True)
class Clash:
    """One thing that differs between the record that goes on and its double.

    name         of its question in the form: "who:born", "answer:falls.injury", "row:scan:12"
    question     what it is about
    here, there  the value in the record that goes on, and in the double
    """

    name: str
    question: str
    here: str
    there: str

    @property
    def of_row(self) -> bool:
        """Tell whether it is a row that only the double has."""
        return self.name.startswith("row:")


@dataclass(frozen=True, kw_only=True)
class Pair:
    """The record that goes on and its double, with all that is on record of each."""

    into: Entered
    double: Entered

    @classmethod
    def of(cls, into: Patient, double: Patient, day: dt.date) -> Pair:
        """Return both as they stand on a day."""
        return cls(into=entered(into, day), double=entered(double, day))

    @property
    def seal(self) -> str:
        """Return a digest of all that was compared, to tell whether it changed since."""
        told = [
            {
                "who": {name: getattr(side.patient, name) for name in (*WHO, *WITH_BORN)},
                "answers": side.answers,
                "rows": {kind: [state_of(row) for row in side.rows[kind]] for kind in KINDS},
            }
            for side in (self.into, self.double)
        ]
        return hashlib.sha256(canonical({"sides": told}).encode()).hexdigest()

    def clashes(self) -> list[Clash]:
        """Return all that differs, in the order of the pages."""
        return [*self._who(), *self._answers(), *self._rows()]

    def _who(self) -> Iterator[Clash]:
        for name in WHO:
            here, there = (_who_words(side.patient, name) for side in (self.into, self.double))
            if here != there and there != _NONE:
                yield Clash(name=f"who:{name}", question=WHO[name], here=here, there=there)

    def _answers(self) -> Iterator[Clash]:
        here, there = self.into.answers, self.double.answers
        for section in SECTIONS.values():
            for path in differing(here, there, section.keys):
                # What the double does not tell stands against nothing.
                if value_at(there, path) is None:
                    continue
                yield self._answer(section, path)

    def _answer(self, section: Section, path: str) -> Clash:
        mine, theirs = (_alone(side.answers, path) for side in (self.into, self.double))
        try:
            found = [*_telling(differences(self.into, section, mine, theirs))]
        except Contradiction:
            found = []
        if not found:
            # Nothing that the pages show apart: told as it is kept.
            here, there = (str(value_at(part, path) or _NONE) for part in (mine, theirs))
            found = [(path, here, there)]
        label = ", ".join(dict.fromkeys(label for label, _, _ in found))
        return Clash(
            name=f"answer:{path}",
            question=f"{section.title}: {label}",
            here="; ".join(here for _, here, _ in found),
            there="; ".join(there for _, _, there in found),
        )

    def _rows(self) -> Iterator[Clash]:
        for kind, rows in self.double.rows.items():
            here = [_held(row) for row in self.into.rows[kind]]
            only = [row for row in rows if _held(row) not in here]
            words = row_words(self.double.patient, kind) if only else {}
            for row in only:
                title = SECTIONS[row.SECTION].title
                yield Clash(
                    name=f"row:{kind}:{row.pk}",
                    question=f"{title}: {words[row.pk]}",
                    here="not on record" if not here else f"others on record: {len(here)}",
                    there=words[row.pk],
                )


def _telling(lines: list[tuple[str, str, str]]) -> Iterator[tuple[str, str, str]]:
    """Yield the lines that tell something on either side: an answer may make others idle."""
    for label, here, there in lines:
        if {here, there} - {"", _NOT_RECORDED}:
            yield label, here or _NOT_RECORDED, there or _NOT_RECORDED


def _who_words(patient: Patient, name: str) -> str:
    words = {"born": patient.born_words, "sex": patient.get_sex_display()}
    if patient.table_sex:
        words["table_sex"] = patient.get_table_sex_display()
    return str(words.get(name, getattr(patient, name))) or _NONE


def _alone(answers: Mapping[str, Any], path: str) -> dict[str, Any]:
    part: dict[str, Any] = {}
    if (value := value_at(answers, path)) is not None:
        put(part, path, value)
    return part


#: Columns that tell where a row is kept, not what was found.
_NOT_FOUND = {
    *("id", "patient_id", "entered_by_id", "entered_at"),
    *("withdrawn_by_id", "withdrawn_at", "withdrawn_reason"),
}


def _held(row: Measured) -> dict[str, Any]:
    """Return what a row says, wherever it is kept."""
    return {name: value for name, value in state_of(row).items() if name not in _NOT_FOUND}


def copy_of(row: Measured) -> Measured:
    """Return an unsaved row that says the same."""
    return type(row)(**_held(row))


def row_words(patient: Patient, kind: str) -> dict[int, str]:
    """Return each row of a kind in words, as its table has it."""
    found = {}
    for table in tables(patient, (kind,)):
        for entry in table.entries:
            cells = zip(table.heads, entry.numbered, strict=True)
            texts = [f"{head.text.lower()} {text}" for head, (text, _) in cells if text != "–"]
            found[entry.row.pk] = ", ".join(texts)
    return found
