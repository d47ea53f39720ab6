"""The limits that a clinic may set for itself, and what a draft does with them.

Tightening is taken as it is. Loosening goes only as far as a clinician may go for one person
with a written reason, and carries a name and a reason of its own. What is never drafted
however it is judged (85 % of the maximum, five sets) stays a judgement of one person.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from programs.dose import balance, impact, plate_limits, posture, resistance
from programs.dose.limit import Limit
from safety.findings import Limits, Modality


@dataclass(frozen=True, kw_only=True)
class ClinicLimit:
    """One limit that a clinic may set.

    value      as the rulebook has it
    tightest   no clinic may go further this way
    loosest    nor further this way; equal to value where it may not be loosened
    floor      the limit is the least that is allowed, so that tighter is higher
    """

    name: str
    modality: Modality
    text: str
    unit: str
    value: float
    tightest: float
    loosest: float
    source: tuple[str, ...]
    floor: bool = False

    @property
    def counted(self) -> bool:
        """Tell whether only whole numbers make sense."""
        return self.unit not in ("g peak", "body weights")

    def is_looser(self, value: float) -> bool:
        """Tell whether a value allows more than the rulebook does."""
        return value < self.value if self.floor else value > self.value

    def problem(self, value: float) -> str:
        """Return why this limit cannot have the value, or nothing."""
        low, high = sorted((self.tightest, self.loosest))
        if low <= value <= high:
            return ""
        why = "" if self.loosest != self.value else " It can be tightened, not loosened."
        return f"Write {low:g} to {high:g} {self.unit}.{why}"

    def words(self, value: float) -> str:
        """Return the limit with a value, in words."""
        return f"{self.text}: {'at least' if self.floor else 'at most'} {value:g} {self.unit}"


def _of(
    modality: Modality,
    limit: Limit,
    text: str,
    tightest: float,
    *,
    loosens: bool = False,
    floor: bool = False,
) -> ClinicLimit:
    return ClinicLimit(
        name=f"{modality}.{limit.name}",
        modality=modality,
        text=text,
        unit=limit.unit,
        value=limit.value,
        tightest=tightest,
        loosest=limit.judgement if loosens and limit.judgement is not None else limit.value,
        source=limit.source,
        floor=floor,
    )


_R, _I = resistance.LIMITS, impact.LIMITS
_TOP_G = ClinicLimit(
    name="plate.top_g",
    modality=Modality.PLATE,
    text="Peak acceleration of any plate",
    unit="g peak",
    value=plate_limits.TOP_G.value,
    tightest=0.3,
    loosest=plate_limits.REASONED_TOP_G.value,
    source=(plate_limits.TOP_G.source, plate_limits.REASONED_TOP_G.source),
)
_PLATE_SESSIONS = ClinicLimit(
    name="plate.sessions",
    modality=Modality.PLATE,
    text="Sessions on a plate with bouts",
    unit="a week",
    value=plate_limits.SESSIONS_A_WEEK.value,
    tightest=1,
    loosest=plate_limits.SESSIONS_A_WEEK.value,
    source=(plate_limits.SESSIONS_A_WEEK.source,),
)
#: Every limit a clinic may set, by name. Two lifting sessions are not among them: they are
#: the least that bone answers to, and the most that is drafted.
CLINIC_LIMITS: Mapping[str, ClinicLimit] = {
    limit.name: limit
    for limit in (
        _TOP_G,
        _PLATE_SESSIONS,
        _of(Modality.RESISTANCE, _R["percent_1rm.A"], "Load of group A", 40),
        _of(Modality.RESISTANCE, _R["percent_1rm.B"], "Load of group B", 40),
        _of(Modality.RESISTANCE, _R["percent_1rm.B.supervised"], "Load of group B, supervised", 40),
        _of(Modality.RESISTANCE, _R["percent_1rm.C"], "Load of group C", 40),
        _of(Modality.RESISTANCE, _R["reps_in_reserve"], "Repetitions in reserve", 6, floor=True),
        _of(Modality.RESISTANCE, _R["sets"], "Sets of an exercise", 1),
        _of(Modality.IMPACT, _I["peak_bw.A"], "Peak force of an impact, group A", 1.5),
        _of(Modality.IMPACT, _I["peak_bw.B"], "Peak force of an impact, group B", 1.5),
        _of(Modality.IMPACT, _I["impacts"], "Impacts of a session", 10, loosens=True),
        _of(Modality.IMPACT, _I["sessions"], "Days with impact or walking", 1, loosens=True),
        _of(Modality.IMPACT, _I["minutes"], "Brisk walking", 5, loosens=True),
        _of(Modality.BALANCE, balance.LIMITS["minutes"], "Balance work", 30),
        _of(Modality.POSTURE, posture.LIMITS["minutes_a_day"], "Posture work", 5),
    )
}


@dataclass(frozen=True, kw_only=True)
class Setting:
    """One limit as the clinic has set it: the value, who set it, when and why."""

    name: str
    value: float
    by: str
    on: dt.date
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Clinic:
    """The limits in force at a clinic: the rulebook's, but for those it has set."""

    settings: Mapping[str, Setting] = field(default_factory=dict)

    def value(self, name: str) -> float:
        """Return the value in force of a limit. Raises KeyError for no such limit."""
        limit = CLINIC_LIMITS[name]
        return self.settings[name].value if name in self.settings else limit.value

    def tightens(self, name: str) -> bool:
        """Tell whether the clinic allows less than the rulebook."""
        limit, value = CLINIC_LIMITS[name], self.value(name)
        return value != limit.value and not limit.is_looser(value)

    def lifting(self, group: str, *, supervised: bool) -> Limits:
        """Return what the clinic's own limits ask of lifting."""
        guarded = ".supervised" if group == "B" and supervised else ""
        return Limits(
            percent_1rm=self.value(f"resistance.percent_1rm.{group}{guarded}"),
            reps_in_reserve=self.value("resistance.reps_in_reserve"),
        )

    def sets(self, step: resistance.LiftingStep) -> resistance.LiftingStep:
        """Return a step with no more sets than the clinic allows."""
        return replace(step, sets=min(step.sets, int(self.value("resistance.sets"))))

    def impact_bw(self, group: str) -> float:
        """Return the greatest peak force of an impact of the group, in body weights."""
        return impact.WALKING_BW if group == "C" else self.value(f"impact.peak_bw.{group}")

    def in_force(self, modality: Modality, limit: Limit) -> Limit:
        """Return a limit of the tables with the value in force here."""
        name = f"{modality}.{limit.name}"
        if name not in self.settings:
            return limit
        own = self.settings[name]
        return replace(limit, value=own.value, text=CLINIC_LIMITS[name].words(own.value))

    def words(self, modality: Modality, group: str, *, supervised: bool) -> tuple[str, ...]:
        """Return the clinic's own limits that touch a modality of a plan, one sentence each."""
        return tuple(
            _words(self.settings[name])
            for name, limit in CLINIC_LIMITS.items()
            if name in self.settings
            and limit.modality is modality
            and self.value(name) != limit.value
            and _touches(name, group, supervised)
        )


#: As the rulebook has them: nothing set.
AS_PUBLISHED = Clinic()


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


def _touches(name: str, group: str, supervised: bool) -> bool:
    """Tell whether the limit is this group's own, or everyone's."""
    if "percent_1rm" in name:
        guarded = ".supervised" if group == "B" and supervised else ""
        return name.endswith(f"percent_1rm.{group}{guarded}")
    return "peak_bw" not in name or name.endswith(f".{group}")


def _words(setting: Setting) -> str:
    limit = CLINIC_LIMITS[setting.name]
    how = "loosened" if limit.is_looser(setting.value) else "tightened"
    why = f": {setting.reason.rstrip('.')}" if setting.reason else ""
    return (
        f"The clinic's own limit. {limit.words(setting.value)} (the rulebook has "
        f"{limit.value:g}), {how} by {setting.by} on {setting.on:%-d %B %Y}{why}."
    )
