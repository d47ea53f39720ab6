"""A limit of a dose, declared once with unit and source, and the breach of one."""

from __future__ import annotations

from dataclasses import dataclass, replace

from safety.findings import Modality
from safety.sources import cite

#: Deload: in every fourth week nothing rises (rulebook row 25).
DELOAD_EVERY_WEEKS = 4
DRAFT_WEEKS = 26
#: A later half year: 8 weeks of rise, then 4 in which nothing rises (rulebook row 29a).
RISING_WEEKS, STEADY_WEEKS = 8, 4


@dataclass(frozen=True, kw_only=True)
class Range:
    """What a clinic may set a limit to.

    text       what is limited, in the words of the clinic's page
    tightest   no clinic may go further this way
    loosest    nor further this way; None: it may be tightened, not loosened
    unit       where the page's words want another than the limit's own
    source     where the loosest comes from, beside the limit's own sources
    """

    text: str
    tightest: float
    loosest: float | None = None
    unit: str = ""
    source: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Limit:
    """One limit.

    modality    None: it is about more than one
    bare        the text leaves the value out, so a breach adds it
    floor       the least that is allowed, so that tighter is higher
    sources     keys of safety.sources
    found       what they say of it, where the limit does not show it
    judgement   the value that a clinician may go to with a written reason; None: to none;
                infinite: until another limit stops it
    clinic      what a clinic may set it to; None: nothing
    beside      the field of a week's part it is shown beside; "": none
    group       the group of lifting and impact it is for; None: everyone's
    supervised  it is for those with trained staff, or for those without; None: for both
    """

    name: str
    modality: Modality | None
    value: float
    unit: str
    text: str
    sources: tuple[str, ...]
    bare: bool = False
    floor: bool = False
    found: str = ""
    judgement: float | None = None
    clinic: Range | None = None
    beside: str = ""
    group: str | None = None
    supervised: bool | None = None

    @property
    def code(self) -> str:
        """Return the name by which a clinic's setting knows it, like "plate.top_g"."""
        return f"{self.modality}.{self.name}"

    @property
    def source(self) -> tuple[str, ...]:
        """Return where it comes from, a line each."""
        return (*cite(*self.sources), *([self.found] if self.found else ()))

    def touches(self, group: str, *, supervised: bool) -> bool:
        """Tell whether it is this group's own, or everyone's."""
        return self.group in (None, group) and self.supervised in (None, supervised)

    def stands(self, value: float) -> bool:
        """Tell whether a written reason lets a value past the limit stand."""
        if self.judgement is None:
            return False
        return value >= self.judgement if self.floor else value <= self.judgement

    def set_to(self, value: float, text: str) -> Limit:
        """Return it as a clinic has set it, in words that name the value."""
        return replace(self, value=value, text=text, bare=False)

    def breach(self, shown: str, *, about: Modality, week: int, judgement: bool) -> Breach:
        """Return the breach of it by what is shown, in a week of a modality."""
        bound = f" ({self.value:g} {self.unit})" if self.bare else ""
        return Breach(
            path=f"{about}.{self.beside}" if self.beside else str(about),
            week=week,
            name=self.name,
            text=f"{self.text}{bound}: {shown}.",
            source="; ".join(self.source),
            judgement=judgement,
        )


@dataclass(frozen=True, kw_only=True)
class Breach:
    """A limit that a week passes.

    path          the field it stands beside, like "plate.frequency_hz"; the modality alone, or
                  nothing, where it is about no one field
    text          what is passed and by what, for a clinician
    judgement     a written reason lets it stand
    """

    path: str
    week: int
    name: str
    text: str
    source: str
    judgement: bool


def is_deload(week: int) -> bool:
    """Tell whether nothing rises in this week."""
    return week % DELOAD_EVERY_WEEKS == 0


def is_steady_later(week: int) -> bool:
    """Tell whether nothing rises in this week of a later half year, the first is 1."""
    return (week - 1) % (RISING_WEEKS + STEADY_WEEKS) >= RISING_WEEKS
