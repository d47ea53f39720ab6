"""What a handout says, as data; the template only lays it out.

Every field is text to be printed, but for the figures, which are SVG of our own making.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from gettext import NullTranslations

#: Where the words of another language come from; English stands as it is written.
Words = NullTranslations
ENGLISH = NullTranslations()


def gettext_noop(text: str) -> str:
    """Mark a text for the translators; it is translated where it is used."""
    return text


def told(texts: Sequence[str], words: Words) -> tuple[str, ...]:
    """Return marked texts in the paper's language."""
    return tuple(words.gettext(text) for text in texts)


@dataclass(frozen=True, kw_only=True)
class Issue:
    """What says whose paper this is, and by whom it was signed; printed on the pages.

    name         under which it was signed
    called_today her name when it was made, where it is another one by then
    goes_by      in words, the name she goes by; empty where it is her own
    signed_on, signed_at   the day, and the minute with its zone; empty on a draft, and
                 signed_by then as well
    meaning      of the signature, as it was signed, in English
    replaces     empty where there was no plan before
    digest       the SHA-256 of the signed text, hexadecimal; empty on a draft
    anchor       number and first digits of the record's last line when it was made, so that a
                 record that was cut or made anew shows against the paper; empty on a draft
    """

    name: str
    called_today: str
    goes_by: str
    born: str
    record_number: str
    version: str
    starts_on: str
    signed_by: str
    signed_on: str
    signed_at: str
    meaning: str
    replaces: str
    digest: str
    clinic: str
    phone: str
    address: str
    anchor: str


@dataclass(frozen=True, kw_only=True)
class Dose:
    """What holds in some weeks: "Weeks 1 to 2" and what to do in them."""

    weeks: str
    text: str


@dataclass(frozen=True, kw_only=True)
class Todo:
    """One kind of exercise in one week: on which days, how much, what exactly, and how.

    how   sentences that hold for all of the items
    """

    title: str
    days: str
    dose: str
    items: tuple[str, ...]
    how: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Alarm:
    """What a paper says first: when to call the ambulance, then when to stop and call the clinic.

    number  of the ambulance; blank is for a line to fill in by hand, in place of a number
    own     the clinic's own words beside it; empty where it has none
    knock   what to do after a knock on the head; empty where she takes no blood thinner
    phone   of the clinic
    """

    number: str
    own: str
    ambulance: tuple[str, ...]
    knock: str
    phone: str
    stop: tuple[str, ...]
    blank: str


@dataclass(frozen=True, kw_only=True)
class WeekPage:
    """One week at a glance, after what to call for.

    until   what ends by a day, a line each
    after   what to do when this week is over; empty but for the last one
    """

    title: str
    alarm: Alarm
    until: tuple[str, ...]
    todos: tuple[Todo, ...]
    after: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class SheetItem:
    """An exercise of a week: what it is called, how much of it, and where its page is.

    code   of the exercise in the catalogue; "plate" for the plate's own page
    """

    name: str
    dose: str
    code: str


@dataclass(frozen=True, kw_only=True)
class SheetRow:
    """Boxes to write in, a few a day.

    heads   what is written into the boxes of a day, from the left
    open    for each day, whether it has the boxes
    """

    heads: tuple[str, ...]
    open: tuple[bool, ...]


@dataclass(frozen=True, kw_only=True)
class SheetKind:
    """A kind of exercise in a week: what to do, and the boxes for what was done.

    days    on how many of its days, where it names more than it has sessions; else empty
    dose    what holds for all of its exercises; empty where each says its own
    first   its boxes of the heads that all kinds have
    rows    the boxes that are its alone
    """

    title: str
    days: str
    dose: str
    items: tuple[SheetItem, ...]
    how: tuple[str, ...]
    first: SheetRow
    rows: tuple[SheetRow, ...]


@dataclass(frozen=True, kw_only=True)
class SheetLifts:
    """The boxes of each lift whose weight is written down, on the days of lifting."""

    title: str
    days: tuple[str, ...]
    heads: tuple[str, ...]
    items: tuple[SheetItem, ...]


@dataclass(frozen=True, kw_only=True)
class WeekSheet:
    """One week as a sheet: its front says whom to call for what, its back is plan and log.

    goal      what she wants, on the first page of a handout; else empty
    brief     "Week 3", in the corner of the table, for a page that comes loose
    changes   what starts, ends, rests or comes on other days than the week before
    heads     of the first boxes of each kind, which are the same for all
    days      the training days, "Mon 2"
    of_day    the boxes of the day as a whole
    lines     what is written down in words
    key       how the boxes are filled in
    """

    title: str
    brief: str
    goal: str
    alarm: Alarm
    until: tuple[str, ...]
    changes: tuple[str, ...]
    after: tuple[str, ...]
    heads: tuple[str, ...]
    days: tuple[str, ...]
    kinds: tuple[SheetKind, ...]
    lifts: SheetLifts | None
    of_day: tuple[SheetRow, ...]
    lines: tuple[str, ...]
    key: tuple[str, ...]

    @property
    def columns(self) -> int:
        """Return the columns of the table of plan and log: one for the heads, two a day."""
        return 1 + 2 * len(self.days)


@dataclass(frozen=True, kw_only=True)
class Block:
    """One exercise; `figure` is an SVG picture with its text alternative inside.

    wrong   a small picture of what to avoid, crossed out; empty where it is no posture
    """

    code: str
    name: str
    figure: str
    steps: tuple[str, ...]
    doses: tuple[Dose, ...]
    feel: str
    avoid: str
    wrong: str = ""


@dataclass(frozen=True, kw_only=True)
class DoseTable:
    """What holds in which weeks; the first cell of a row names its weeks.

    reading   how the columns are read
    """

    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    reading: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Chapter:
    """One kind of exercise: what holds for all of it, then its exercises.

    table   what all of its exercises share; None where the doses say it
    """

    title: str
    do: tuple[str, ...]
    doses: tuple[Dose, ...]
    table: DoseTable | None
    blocks: tuple[Block, ...]


@dataclass(frozen=True, kw_only=True)
class PlatePage:
    """The plate: what its panel must show in which weeks, how to stand, when to step off.

    heads, rows   a table; the first cell of a row names its weeks
    ended         since when it is over, where later weeks of the paper lack it
    panel         the picture of the panel as it is set in the first weeks, after these
    expect        what so little shaking is good for; empty where the dose rises
    """

    plate: str
    panel_weeks: str
    panel: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    reading: tuple[str, ...]
    ended: tuple[Dose, ...]
    watched: tuple[Dose, ...]
    expect: tuple[str, ...]
    before: tuple[str, ...]
    figure: str
    stand: tuple[str, ...]
    dizzy: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Section:
    """Some advice: sentences that tell, then instructions that begin with a verb.

    fill    what is written in by hand after each instruction, each with a line of its own
    scale   the scale of pain stands in it
    """

    title: str
    tell: tuple[str, ...] = ()
    do: tuple[str, ...] = ()
    fill: tuple[str, ...] = ()
    scale: bool = False


@dataclass(frozen=True, kw_only=True)
class WatchPage:
    """The page of whoever watches: when, what to look at, when to stop it.

    stopped   what to do once it is stopped
    shown     what is written in by hand by whoever showed them, each with a line of its own
    """

    when: tuple[str, ...]
    look: tuple[str, ...]
    stop: tuple[str, ...]
    stopped: tuple[str, ...]
    shown: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class FallPage:
    """What to do after a fall, part by part.

    stay     what stands against getting up, and what to do then
    up       None where she does not stand and walk
    figure   of the steps; empty without them
    """

    title: str
    first: Section
    stay: Section
    up: Section | None
    figure: str
    cannot: Section
    ready: Section


@dataclass(frozen=True, kw_only=True)
class Movement:
    """A movement of the day: what to leave out, what to do instead."""

    name: str
    leave_out: str
    instead: str


@dataclass(frozen=True, kw_only=True)
class Handout:
    """All that a handout says, in the order in which it is printed.

    why      what matters most to her, and what each kind is for
    watch    the page of whoever watches; None where nobody has to
    last     the last line of the paper: which plan it follows, and the anchor of the record
    """

    issue: Issue
    sheets: tuple[WeekSheet, ...]
    fall: FallPage
    why: Section
    cautions: Section | None
    plate: PlatePage | None
    watch: WatchPage | None
    chapters: tuple[Chapter, ...]
    movements: tuple[Movement, ...]
    advice: tuple[Section, ...]
    about: Section
    last: str
