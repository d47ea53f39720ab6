"""The one declaration of what a day of the log holds: each thing, its keys, range and words.

The log page, the page of one day, the table, the file to carry away, followup/1 and the sheet on
paper read this and nothing else. A cell takes one key where it can; ten is X.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType
from typing import Any

from patients.facts.before_first_visit import gettext_noop
from programs.exercises import EXERCISES
from programs.week.week import LiftDose, Part, ResistanceWeek
from safety.findings import Modality


class Of(StrEnum):
    """What a cell tells of: a kind of session, one lift of a session, or the whole day."""

    KIND = "kind"
    LIFT = "lift"
    DAY = "day"


class Read(StrEnum):
    """How a cell is read: by a key, 0 to 10, a number, kinds by their keys, a plate, words."""

    KEY = "key"
    TEN = "ten"
    NUMBER = "number"
    KINDS = "kinds"
    PLATE = "plate"
    WORDS = "words"


TEN_KEY, HIGHEST = "X", 10
#: The key of a kind wherever kinds are named by one letter: the first of its title on paper.
KIND_KEYS: Mapping[Modality, str] = MappingProxyType(
    {
        Modality.PLATE: "V",
        Modality.RESISTANCE: "L",
        Modality.IMPACT: "F",
        Modality.BALANCE: "B",
        Modality.POSTURE: "P",
    }
)
#: A plate that is not hers; sessions on it do not count for the signed one.
OTHER_PLATE, OTHER_PLATE_KEY = "another plate", "0"
LONGEST_WORDS = 200


@dataclass(frozen=True, kw_only=True, eq=False)
class Cell:
    """One thing that is written down of a session, a lift or a day.

    name     its name in files and in followup/1, where entry is True
    kinds    the kinds of session that have it; all where it is of the day
    head     the head of its column
    asked    the question as a patient reads it, in English; looked up in her language
    boxed    what its box on the sheet of paper is called, in her words
    keys     key to value, of Read.KEY
    spoken   value to the patient's words for it
    also     other keys by which it is read: those of a sheet in another language
    low, high, decimals   of a number
    entry    followup/1 has it
    """

    name: str
    of: Of
    kinds: tuple[Modality, ...] = ()
    read: Read
    head: str
    asked: str
    boxed: str
    unit: str = ""
    keys: Mapping[str, Any] = field(default_factory=dict)
    spoken: Mapping[Any, str] = field(default_factory=dict)
    also: Mapping[str, Any] = field(default_factory=dict)
    low: float = 0
    high: float = HIGHEST
    decimals: int = 0
    entry: bool = True


_DONE: Mapping[str, Any] = MappingProxyType({"A": "all", "P": "part", "N": "none"})
_DONE_SPOKEN: Mapping[Any, str] = MappingProxyType(
    {
        "all": gettext_noop("All of it"),
        "part": gettext_noop("Part of it"),
        "none": gettext_noop("None of it"),
    }
)
_YES_NO: Mapping[str, Any] = MappingProxyType({"Y": True, "N": False})
_YES_NO_SPOKEN: Mapping[Any, str] = MappingProxyType(
    {True: gettext_noop("Yes"), False: gettext_noop("No")}
)
#: The letters of both as a sheet of her language has them.
LETTERS = (gettext_noop("A, P, N"), gettext_noop("Y, N"))
_DONE_ALSO: Mapping[str, Any] = MappingProxyType({"T": "all", "R": "none"})
_YES_ALSO: Mapping[str, Any] = MappingProxyType({"S": True, "O": True})


def _yes_no(name: str, head: str, asked: str, boxed: str, **more: Any) -> Cell:
    keys: dict[str, Any] = {"keys": _YES_NO, "spoken": _YES_NO_SPOKEN, "also": _YES_ALSO}
    return Cell(name=name, head=head, asked=asked, boxed=boxed, read=Read.KEY, **keys | more)


def _words(name: str, head: str, asked: str, boxed: str, *, entry: bool = True) -> Cell:
    more: dict[str, Any] = {"of": Of.DAY, "read": Read.WORDS, "entry": entry}
    return Cell(name=name, head=head, asked=asked, boxed=boxed, **more)


EVERY = tuple(Modality)
_PLATE, _LIFTING = (Modality.PLATE,), (Modality.RESISTANCE,)
DONE = Cell(
    name="done",
    of=Of.KIND,
    kinds=EVERY,
    read=Read.KEY,
    head="Done",
    asked=gettext_noop("How much of it did you do?"),
    boxed=gettext_noop("Done"),
    keys=_DONE,
    spoken=_DONE_SPOKEN,
    also=_DONE_ALSO,
)
EFFORT = Cell(
    name="effort",
    of=Of.KIND,
    kinds=EVERY,
    read=Read.TEN,
    head="Effort",
    asked=gettext_noop("How hard was it, from 0 to 10 points?"),
    boxed=gettext_noop("Effort"),
)
PLATE = Cell(
    name="plate",
    of=Of.KIND,
    kinds=_PLATE,
    read=Read.PLATE,
    head="Which plate",
    asked=gettext_noop("Which plate was it?"),
    boxed=gettext_noop("Which plate"),
)
WATCHED = _yes_no(
    "watched",
    "Watched",
    gettext_noop("Did somebody who was shown how watch you?"),
    gettext_noop("Watched"),
    of=Of.KIND,
    kinds=_PLATE,
)
BROKEN_OFF = _yes_no(
    "broken_off",
    "Broken off",
    gettext_noop("Did you have to stop before the end?"),
    gettext_noop("Had to stop"),
    of=Of.KIND,
    kinds=_PLATE,
    entry=False,
)
KG = Cell(
    name="kg",
    of=Of.LIFT,
    kinds=_LIFTING,
    read=Read.NUMBER,
    head="kg",
    asked=gettext_noop("Which weight did you lift in the last set?"),
    boxed=gettext_noop("kg"),
    unit="kg",
    high=500,
    decimals=2,
)
LEFT = Cell(
    name="left",
    of=Of.LIFT,
    kinds=_LIFTING,
    read=Read.TEN,
    head="left",
    asked=gettext_noop("How many more lifts could you have done in the last set?"),
    boxed=gettext_noop("left"),
)
PAIN = Cell(
    name="pain",
    of=Of.DAY,
    read=Read.TEN,
    head="Pain",
    asked=gettext_noop("Worst pain of the day, from 0 to 10 points?"),
    boxed=gettext_noop("Pain"),
)
PAIN_SETTLED = _yes_no(
    "pain_settled",
    "Settled",
    gettext_noop("Had the pain settled by the next morning?"),
    gettext_noop("Gone next morning"),
    of=Of.DAY,
)
FELL = _yes_no("fell", "Fall", gettext_noop("Did you fall?"), gettext_noop("Fell"), of=Of.DAY)
NEAR_FALL = _yes_no(
    "near_fall",
    "Near-fall",
    gettext_noop("Did you nearly fall?"),
    gettext_noop("Nearly fell"),
    of=Of.DAY,
)
ILL = _yes_no("ill", "Ill", gettext_noop("Were you ill?"), gettext_noop("Ill"), of=Of.DAY)
PAIN_WHERE = _words(
    "pain_where",
    "Where it hurt",
    gettext_noop("Where did it hurt?"),
    gettext_noop("Where it hurt"),
    entry=False,
)
PAIN_WITH = Cell(
    name="pain_with",
    of=Of.DAY,
    read=Read.KINDS,
    head="Hurt with",
    asked=gettext_noop("With which kind did it hurt? Leave it open if you do not know."),
    boxed=gettext_noop("What made it hurt"),
    entry=False,
)
RED_FLAG = _words(
    "red_flag",
    "Warning sign",
    gettext_noop("Was there a warning sign? Which?"),
    gettext_noop("Warning sign"),
)
BROKE = _words(
    "broke",
    "Broken bone",
    gettext_noop("Did you break a bone? Which?"),
    gettext_noop("Broken bone"),
)
NOTE = _words("note", "Note", gettext_noop("Anything else?"), gettext_noop("Anything else"))

#: All cells, in the order in which they are asked.
CELLS = (
    *(DONE, EFFORT, PLATE, WATCHED, BROKEN_OFF, KG, LEFT),
    *(PAIN, PAIN_SETTLED, FELL, NEAR_FALL, ILL, PAIN_WHERE, PAIN_WITH, RED_FLAG, BROKE, NOTE),
)
BY_NAME: Mapping[str, Cell] = MappingProxyType({cell.name: cell for cell in CELLS})
OF_DAY = tuple(cell for cell in CELLS if cell.of is Of.DAY)


@dataclass(frozen=True, kw_only=True)
class Column:
    """A cell of a kind, of a lift, or of the day."""

    cell: Cell
    kind: Modality | None
    lift: str = ""

    @property
    def key(self) -> str:
        """Return its name within what is told of a session or a day: "effort", "kg:leg_press"."""
        return f"{self.cell.name}:{self.lift}" if self.lift else self.cell.name

    @property
    def name(self) -> str:
        """Return its name among all columns: "plate.effort", "day.pain"."""
        return f"{self.kind or Of.DAY}.{self.key}"


def logged_lifts(part: Part | None) -> tuple[str, ...]:
    """Return the lifts of a week whose weight is written down: given in kg, or to be found."""
    lifts = part.exercises if isinstance(part, ResistanceWeek) else ()
    return tuple(one.exercise for one in lifts if _has_weight(one))


def _has_weight(one: LiftDose) -> bool:
    to_find = one.reps is None and EXERCISES[one.exercise].loadable
    return one.load_kg is not None or to_find


def columns_of(kind: Modality | None, lifts: tuple[str, ...] = ()) -> tuple[Column, ...]:
    """Return the columns of a kind, or of the day, in their order."""
    if kind is None:
        return tuple(Column(cell=cell, kind=None) for cell in OF_DAY)
    mine = [cell for cell in CELLS if kind in cell.kinds]
    plain = (Column(cell=cell, kind=kind) for cell in mine if cell.of is Of.KIND)
    lifted = [cell for cell in mine if cell.of is Of.LIFT]
    each = (Column(cell=cell, kind=kind, lift=lift) for lift in lifts for cell in lifted)
    return (*plain, *each)


def all_columns(kinds: tuple[Modality, ...], lifts: tuple[str, ...]) -> tuple[Column, ...]:
    """Return the columns of a program's kinds and lifts, then those of the day."""
    of_kinds = (column for kind in kinds for column in columns_of(kind, lifts))
    return (*of_kinds, *columns_of(None))
