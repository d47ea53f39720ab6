"""A clinic in which each text that somebody typed means to be more than text.

What the actions write is theirs; on its way to the database each typed text is replaced.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from typing import Any
from unittest import mock

from django.db.models import Model
from django.db.models.signals import pre_save

from patients import audit
from patients.facts.units import clean_text
from tests.hostile.places import IN_JSON, TYPED
from tests.hostile.texts import REFUSED_BY_FORMS, TEXTS, marked

#: Texts that a database takes, in their order.
NAMES = tuple(name for name in TEXTS if name != REFUSED_BY_FORMS)
PLACES = (*TYPED, *IN_JSON)
#: Columns that may be empty, filled nonetheless: nothing else hangs on them.
_FILLED = frozenset(
    {
        *("safety.Clearance.note", "programs.ClinicDetails.address"),
        *("programs.ClinicDetails.currency", "programs.PlanEdit.reason", "programs.Review.note"),
        *("patients.ScanRow.vertebrae", "patients.Scanner.note", "patients.PrecisionStudy.note"),
        *("patients.MarkerError.note", "patients.Closing.note"),
        *("programs.DoctorAnswered.note", "programs.EmergencyNumber.words"),
        *("patients.LookedThrough.note", "programs.PromptAnswer.note"),
        *("patients.Patient.goes_by", "patients.Patient.gender"),
        "programs.EvidenceFile.reason",
    }
)
#: The record number by which a file of the story names her.
_BY_FILE = "0001"
#: What is read again as facts has so many letters at most, and one line.
_OF_FACTS = frozenset(
    {
        *("patients.ScanRow.vertebrae", "patients.ScanRow.scanner", "patients.LiftSet.lift"),
        *("safety.Clearance.given_by", "programs.ClinicPlate.name", *IN_JSON),
    }
)
_LONGEST_FACT = 190


@dataclass
class Written:
    """What was written: by its mark the column and the whole text. turn: which text where."""

    turn: int
    texts: dict[str, tuple[str, str]] = field(default_factory=dict)
    _numbers: Iterator[int] = field(default_factory=count)

    def text(self, place: str, longest: int | None = None) -> str:
        """Return the next text for a column, in a mark of its own."""
        name = NAMES[(PLACES.index(place) + self.turn) % len(NAMES)]
        mark = f"zq{next(self._numbers)}z"
        whole = marked(name, mark)
        if place in _OF_FACTS:
            whole = " ".join(clean_text(whole[:_LONGEST_FACT]).split())
        if longest is not None and mark not in (whole := whole[:longest]):
            whole = f"<{mark}>"
        self.texts[mark] = (place, whole)
        return whole

    def is_ours(self, value: object) -> bool:
        """Return whether one of these texts stands in a value already."""
        return any(mark in str(value) for mark in self.texts)

    def _replace(self, sender: type[Model], instance: Model, **_: object) -> None:
        for column in sender._meta.concrete_fields:
            place = f"{sender._meta.label}.{column.name}"
            if place not in PLACES or place == "patients.Audit.reason":
                continue
            value = getattr(instance, column.attname)
            empty = not value and not (place in _FILLED and instance._state.adding)
            if empty or value == _BY_FILE or self.is_ours(value):
                continue
            text = self.text(place, getattr(column, "max_length", None))
            put = IN_JSON.get(place)
            setattr(instance, column.attname, put(value, text) if put else text)

    @contextmanager
    def taking_their_place(self) -> Iterator[None]:
        """Let what is written meanwhile hold these texts."""
        record = audit.record

        def with_reason(*, reason: str = "", **more: Any) -> Any:
            ours = self.is_ours(reason) or not reason
            return record(reason=reason if ours else self.text("patients.Audit.reason"), **more)

        pre_save.connect(self._replace)
        try:
            with mock.patch.object(audit, "record", with_reason):
                yield
        finally:
            pre_save.disconnect(self._replace)
