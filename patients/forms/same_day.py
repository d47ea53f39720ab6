"""Values that come to a row of the same day: they fill it, and only a clash is asked about."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from patients.facts.in_words import show
from patients.facts.question import asks
from patients.models.patient import FunctionTestDay, plain

#: Kept beside the facts of a day.
_BESIDE = ("worry",)
_UNABLE = "unable"


@dataclass(frozen=True, kw_only=True)
class Added:
    """What is to be written of a day's row.

    row        the row to add, unsaved; None where nothing is new
    replaces   the row of that day that it takes the place of; None where there is none
    clashes    field to what is on record there, where something else was typed
    """

    row: FunctionTestDay | None = None
    replaces: FunctionTestDay | None = None
    clashes: dict[str, str] = field(default_factory=dict)

    @property
    def corrected(self) -> list[tuple[Any, Any]]:
        """Return the row of that day as it was and as it is to be."""
        return [(self.replaces, self.row)] if self.replaces and self.row else []

    @property
    def new(self) -> list[Any]:
        """Return the row where the day had none."""
        return [self.row] if self.row and not self.replaces else []

    def tell(self, form: Any) -> None:
        """Say beside each field what is on record of that day."""
        for name, held in self.clashes.items():
            where = name if name in form.fields else None
            form.add_error(where, f"On record for this day: {held}. Clear this, or correct that.")


def together(held: FunctionTestDay | None, typed: FunctionTestDay | None) -> Added:
    """Return what comes of values typed for a day that may have its row already."""
    if held is None or typed is None:
        return Added(row=typed)
    clashes = _clashes(held, typed)
    if clashes:
        return Added(clashes=clashes)
    values = {name: _filled(name, held, typed) for name in _names()}
    same = all(values[name] == getattr(held, name) for name in values)
    return Added() if same else Added(row=FunctionTestDay(**values), replaces=held)


def _names() -> tuple[str, ...]:
    return (*asks(FunctionTestDay.FACT), *_BESIDE)


def _filled(name: str, held: FunctionTestDay, typed: FunctionTestDay) -> Any:
    old, new = getattr(held, name), getattr(typed, name)
    if name == _UNABLE and old and new:
        return [*old, *(one for one in new if one not in old)]
    return old if new is None else new


def _clashes(held: FunctionTestDay, typed: FunctionTestDay) -> dict[str, str]:
    found = {}
    for name, ask in asks(FunctionTestDay.FACT).items():
        old, new = getattr(held, name), getattr(typed, name)
        if name != _UNABLE and None not in (old, new) and old != new:
            found[name] = str(show(ask, plain(old)))
        elif new is not None and name in (held.unable or ()):
            found[name] = "attempted, not possible"
    if None not in (held.worry, typed.worry) and held.worry != typed.worry:
        found["worry"] = "the worry scale"
    for name in typed.unable or ():
        if getattr(held, name) is not None:
            found[_UNABLE] = "a result of a test that is ticked here"
    return found
