"""The limits that a clinic may set for itself, as the tables declare them, and their words.

Tightening is taken as it is. Loosening goes only as far as a clinician may go for one person
with a written reason, and carries a name and a reason of its own. What is never drafted
however it is judged (85 % of the maximum, five sets) stays a judgement of one person.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from programs.dose.in_force import Clinic, Setting, set_words
from programs.dose.limit import Limit, Range
from programs.dose.limit_tables import TABLES
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class ClinicLimit:
    """One limit that a clinic may set, and its range."""

    limit: Limit
    span: Range

    @property
    def name(self) -> str:
        """Return the code its settings are kept by."""
        return self.limit.code

    @property
    def modality(self) -> Modality | None:
        """Return what it is about."""
        return self.limit.modality

    @property
    def text(self) -> str:
        """Return what is limited."""
        return self.span.text

    @property
    def unit(self) -> str:
        """Return its unit."""
        return self.span.unit or self.limit.unit

    @property
    def value(self) -> float:
        """Return the value as in the rulebook."""
        return self.limit.value

    @property
    def floor(self) -> bool:
        """Tell whether it is the least that is allowed, so that tighter is higher."""
        return self.limit.floor

    @property
    def source(self) -> tuple[str, ...]:
        """Return where it comes from, and how far it may be loosened."""
        return (*self.limit.source, *self.span.source)

    @property
    def tightest(self) -> float:
        """Return the value that no clinic may be tighter than."""
        return self.span.tightest

    @property
    def loosest(self) -> float:
        """Return the value that no clinic may be looser than."""
        return self.value if self.span.loosest is None else self.span.loosest

    @property
    def counted(self) -> bool:
        """Tell whether only whole numbers make sense."""
        return self.unit not in _MEASURED

    def is_looser(self, value: float) -> bool:
        """Tell whether a value allows more than the rulebook does."""
        return value < self.value if self.floor else value > self.value

    def problem(self, value: float) -> str:
        """Return why this limit cannot have the value, or nothing."""
        low, high = sorted((self.tightest, self.loosest))
        if low <= value <= high:
            return ""
        why = "" if self.span.loosest is not None else " It can be tightened, not loosened."
        return f"Write {low:g} to {high:g} {self.unit}.{why}"

    def nearest(self, value: float) -> float:
        """Return the value that it can have next to one set under another rulebook."""
        low, high = sorted((self.tightest, self.loosest))
        return min(max(value, low), high)

    def words(self, value: float) -> str:
        """Return the limit with a value, in words."""
        return set_words(self.limit, self.span, value)


_MEASURED = frozenset({"g peak", "body weights", "mm peak to peak", "Hz", "times"})


def _all() -> Iterator[ClinicLimit]:
    for table in TABLES.values():
        for limit in table:
            if limit.clinic is not None:
                yield ClinicLimit(limit=limit, span=limit.clinic)


#: Every limit a clinic may set, by the name of its settings.
CLINIC_LIMITS: Mapping[str, ClinicLimit] = {limit.name: limit for limit in _all()}


def clinic(settings: Iterable[Setting]) -> Clinic:
    """Return the limits in force from the settings, oldest first: the newest of each counts.

    Raises ValueError where a value lies outside what the limit may have.
    """
    found: dict[str, Setting] = {}
    for one in settings:
        if problem := CLINIC_LIMITS[one.name].problem(one.value):
            raise ValueError(f"{one.name} is {one.value:g}: {problem}")
        found[one.name] = one
    return Clinic(settings=found)


def own_words(here: Clinic, modality: Modality, group: str, *, supervised: bool) -> tuple[str, ...]:
    """Return the clinic's own limits that touch a modality of a plan, one sentence each."""
    return tuple(
        _words(one, here.settings[name])
        for name, one in CLINIC_LIMITS.items()
        if one.modality is modality
        and here.value(one.limit) != one.value
        and one.limit.touches(group, supervised=supervised)
    )


def _words(limit: ClinicLimit, setting: Setting) -> str:
    how = "loosened" if limit.is_looser(setting.value) else "tightened"
    why = f": {setting.reason.rstrip('.')}" if setting.reason else ""
    return (
        f"The clinic's own limit. {limit.words(setting.value)} (the rulebook has "
        f"{limit.value:g}), {how} by {setting.by} on {setting.on:%-d %B %Y}{why}."
    )
