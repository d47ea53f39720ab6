"""What lifting, impact, balance and posture of one week pass, each limit with its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from programs.basis import Basis
from programs.dose import balance, impact, posture, resistance, rises
from programs.dose.limit import Limit, is_deload
from programs.edits import Weeks
from programs.exercises import EXERCISES
from programs.minutes import Part, part_of, session_min
from programs.week import BalanceWeek, ImpactWeek, PostureWeek, ResistanceWeek, Week
from safety.findings import Finding, Limits, Modality


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


@dataclass(frozen=True, kw_only=True)
class Look:
    """One week's part under the eye: what it holds, what came before, what it was drafted as."""

    week: int
    part: Part
    before: Part
    drafted: Part
    modality: Modality
    basis: Basis

    @property
    def ramp_week(self) -> int:
        """Return the week of the ramp, those behind her counted."""
        return self.week + self.basis.resume.done(self.modality)

    def in_force(self, limit: Limit) -> Limit:
        """Return a limit with the value that the clinic has set for itself, if it has."""
        return self.basis.made.clinic.in_force(self.modality, limit)

    def breach(self, field: str, limit: Limit, shown: str, *, judgement: bool) -> Breach:
        """Return a breach of a limit of the tables."""
        return Breach(
            path=f"{self.modality}.{field}" if field else str(self.modality),
            week=self.week,
            name=limit.name,
            text=f"{limit.text}: {shown}.",
            source="; ".join(limit.source),
            judgement=judgement,
        )

    def most(self, field: str, limit: Limit, value: float) -> Iterator[Breach]:
        """Yield a breach where a value passes a limit; up to its judgement a reason will do."""
        limit = self.in_force(limit)
        if value > limit.value:
            reasoned = limit.judgement is not None and value <= limit.judgement
            yield self.breach(field, limit, f"{value:g} {limit.unit}", judgement=reasoned)


def looks(weeks: Weeks, modality: Modality, basis: Basis) -> Iterator[Look]:
    """Yield each week that holds the modality and was drafted with it.

    The week before the first is the first as drafted: that is where the ramp starts.
    """
    drafted = {week.week: part_of(week, modality) for week in basis.made.weeks}
    before: Part | None = None
    for week in weeks:
        part, was = part_of(week, modality), drafted.get(week.week)
        if part is None or was is None:
            continue
        yield Look(
            week=week.week,
            part=part,
            before=before or was,
            drafted=was,
            modality=modality,
            basis=basis,
        )
        before = part


def own(basis: Basis, modality: Modality, asks: str) -> tuple[Limits, tuple[Finding, ...]]:
    """Return the person's own limits on a modality and the findings that set one of them."""
    screen = basis.made.screen
    setting = tuple(f for f in screen.about(modality) if getattr(f.limits, asks))
    return screen.limits(modality), setting


def _own_breach(look: Look, field: str, asks: str, shown: str) -> Breach:
    """Return the breach of a limit that her own findings set; no reason lets it stand."""
    _, found = own(look.basis, look.modality, asks)
    return Breach(
        path=f"{look.modality}.{field}",
        week=look.week,
        name=f"own.{asks}",
        text=f"What was found allows less ({shown}): " + " ".join(f.text for f in found),
        source="; ".join(dict.fromkeys(s for f in found for s in f.sources)),
        judgement=False,
    )


# --- Lifting ------------------------------------------------------------------------------


def lifting(look: Look) -> Iterator[Breach]:
    """Yield what a week's lifting passes."""
    part = look.part
    assert isinstance(part, ResistanceWeek)
    yield from _load(look, part)
    yield from _reserve(look, part)
    yield from look.most("sessions", resistance.LIMITS["sessions"], part.sessions)
    yield from _sets(look, part)
    yield from _repetitions(look, part)
    yield from _lifting_rise(look, part)


def _five_by_five(look: Look, part: ResistanceWeek) -> bool:
    supervised = bool(look.basis.resources.supervised)
    learnt = look.ramp_week > resistance.TECHNIQUE_WEEKS
    return supervised and learnt and (part.sets, part.reps) == (5, 5)


def _load(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    supervised = bool(look.basis.resources.supervised)
    top = look.in_force(resistance.top_percent(look.basis.made.group, supervised=supervised))
    percent = part.percent_1rm
    if percent > top.value:
        within = top.judgement is not None and percent <= top.judgement
        reasoned = within and _five_by_five(look, part)
        yield look.breach("percent_1rm", top, f"{percent:g} %", judgement=reasoned)
    limits, _ = own(look.basis, look.modality, "percent_1rm")
    if limits.percent_1rm is not None and percent > limits.percent_1rm:
        shown = f"{percent:g} % where {limits.percent_1rm:g} % is the most"
        yield _own_breach(look, "percent_1rm", "percent_1rm", shown)


def _reserve(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    least, kept = look.in_force(resistance.LIMITS["reps_in_reserve"]), part.reps_in_reserve
    if kept < least.value:
        yield look.breach("reps_in_reserve", least, f"{kept}", judgement=False)
    limits, _ = own(look.basis, look.modality, "reps_in_reserve")
    if limits.reps_in_reserve is not None and kept < limits.reps_in_reserve:
        shown = f"{kept} where {limits.reps_in_reserve:g} is the fewest"
        yield _own_breach(look, "reps_in_reserve", "reps_in_reserve", shown)


def _sets(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    limit = look.in_force(resistance.LIMITS["sets"])
    if part.sets > limit.value:
        within = limit.judgement is not None and part.sets <= limit.judgement
        reasoned = within and _five_by_five(look, part)
        yield look.breach("sets", limit, f"{part.sets} sets", judgement=reasoned)


def _repetitions(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    """Yield where so many repetitions, and those in reserve, are more than the load allows."""
    one_rm = resistance.one_rm_kg(1.0, part.reps + part.reps_in_reserve)
    possible = None if one_rm is None else 100 / one_rm
    if possible is not None and part.percent_1rm > possible:
        shown = (
            f"{part.reps} and {part.reps_in_reserve} in reserve go with about {possible:.0f} %, "
            f"not {part.percent_1rm:g} %"
        )
        yield look.breach("reps", rises.REPETITIONS, shown, judgement=True)
    elif possible is None:
        shown = f"{part.reps} and {part.reps_in_reserve} in reserve are outside the equation"
        yield look.breach("reps", rises.REPETITIONS, shown, judgement=True)


def _lifting_rise(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    before = look.before
    assert isinstance(before, ResistanceWeek)
    up = part.percent_1rm - before.percent_1rm
    yield from look.most("percent_1rm", rises.STEP_PERCENT, up)
    risen = _risen(
        ("sessions", before.sessions, part.sessions),
        ("sets", before.sets, part.sets),
        ("load", before.percent_1rm, part.percent_1rm),
    )
    yield from _deload(look, risen)


def _risen(*pairs: tuple[str, float | None, float | None]) -> tuple[str, ...]:
    return tuple(name for name, was, now in pairs if was and now and now > was)


def _deload(look: Look, risen: Sequence[str]) -> Iterator[Breach]:
    if risen and is_deload(look.ramp_week):
        shown = f"{', '.join(risen)} in week {look.week}"
        yield look.breach("", rises.DELOAD, shown, judgement=True)


# --- Impact -------------------------------------------------------------------------------


def impacts(look: Look) -> Iterator[Breach]:
    """Yield what a week's impact passes."""
    part, before = look.part, look.before
    assert isinstance(part, ImpactWeek)
    assert isinstance(before, ImpactWeek)
    yield from _force(look, part)
    yield from look.most("sessions", impact.LIMITS["sessions"], part.sessions)
    yield from look.most("impacts", impact.LIMITS["impacts"], part.impacts or 0)
    yield from look.most("minutes", impact.LIMITS["minutes"], part.minutes or 0)
    if part.peak_bw > before.peak_bw:
        yield from look.most("impacts", rises.NEW_RUNG, part.impacts or 0)
    else:
        more = (part.impacts or 0) - (before.impacts or 0)
        yield from look.most("impacts", rises.STEP_IMPACTS, more)
    risen = _risen(
        ("days", before.sessions, part.sessions),
        ("impacts", before.impacts, part.impacts),
        ("force", before.peak_bw, part.peak_bw),
        ("minutes", before.minutes, part.minutes),
    )
    yield from _deload(look, risen)


def _force(look: Look, part: ImpactWeek) -> Iterator[Breach]:
    top = look.in_force(impact.LIMITS[f"peak_bw.{look.basis.made.group}"])
    if part.peak_bw > top.value:
        yield look.breach("exercises", top, f"{part.peak_bw:g} body weights", judgement=False)
    limits, _ = own(look.basis, look.modality, "impact_bw")
    if limits.impact_bw is not None and part.peak_bw > limits.impact_bw:
        shown = f"{part.peak_bw:g} where {limits.impact_bw:g} body weights is the most"
        yield _own_breach(look, "exercises", "impact_bw", shown)


# --- Balance and posture ------------------------------------------------------------------


def steadiness(look: Look) -> Iterator[Breach]:
    """Yield what a week's balance passes."""
    part, drafted = look.part, look.drafted
    assert isinstance(part, BalanceWeek)
    assert isinstance(drafted, BalanceWeek)
    yield from look.most("minutes", balance.LIMITS["minutes"], part.minutes)
    asked = max((EXERCISES[code].rung or 0 for code in part.exercises), default=0)
    if max(part.rung, asked) > drafted.rung:
        yield _rung(look, max(part.rung, asked), drafted.rung)


def _rung(look: Look, rung: int, drafted: int) -> Breach:
    shown = f"rung {rung} where rung {drafted} is drafted"
    if own(look.basis, look.modality, "near_support")[0].near_support:
        return _own_breach(look, "rung", "near_support", shown)
    return Breach(
        path=f"{look.modality}.rung",
        week=look.week,
        name="rung",
        text=f"The balance ladder goes up a rung every fourth week: {shown}.",
        source="project choice, for the clinic to confirm",
        judgement=True,
    )


def upright(look: Look) -> Iterator[Breach]:
    """Yield what a week's posture work passes."""
    part = look.part
    assert isinstance(part, PostureWeek)
    yield from look.most("minutes", posture.LIMITS["minutes_a_day"], session_min(part))


CHECKS = {
    Modality.RESISTANCE: lifting,
    Modality.IMPACT: impacts,
    Modality.BALANCE: steadiness,
    Modality.POSTURE: upright,
}


def breaches_of(weeks: Sequence[Week], basis: Basis) -> Iterator[Breach]:
    """Yield what lifting, impact, balance and posture pass over all weeks."""
    for modality, check in CHECKS.items():
        for look in looks(tuple(weeks), modality, basis):
            yield from check(look)
