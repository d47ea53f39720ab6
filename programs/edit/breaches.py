"""What lifting, impact, balance and posture of one week pass, each limit with its source."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from programs.dose import balance, impact, posture, resistance, rises
from programs.dose.limit import Breach, Limit
from programs.draft import person
from programs.edit.base_draft import Basis
from programs.edit.changes import Weeks
from programs.exercises import EXERCISES
from programs.week.minutes import session_min
from programs.week.week import (
    BalanceWeek,
    ImpactWeek,
    Part,
    PostureWeek,
    ResistanceWeek,
    Week,
    part_of,
)
from safety.findings import Finding, Limits, Modality
from safety.sources import SOURCES


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
        return self.basis.made.clinic.in_force(limit)

    def breach(self, limit: Limit, shown: str, *, judgement: bool) -> Breach:
        """Return a breach of a limit of the tables."""
        return limit.breach(shown, about=self.modality, week=self.week, judgement=judgement)

    def most(self, limit: Limit, value: float) -> Iterator[Breach]:
        """Yield a breach where a value passes a limit; up to its judgement a reason will do."""
        limit = self.in_force(limit)
        if value > limit.value:
            yield self.breach(limit, f"{value:g} {limit.unit}", judgement=limit.stands(value))


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
    yield from look.most(resistance.LIMITS["sessions"], part.sessions)
    yield from _sets(look, part)
    yield from _lifting_rise(look, part)


def _five_by_five(look: Look, part: ResistanceWeek) -> bool:
    """Tell of five by five after weeks of technique, overseen or by a regular lifter of group A."""
    screen, group = look.basis.made.screen, look.basis.made.group
    regular = group == "A" and person.experience(screen, "resistance") == "regular"
    learnt = look.ramp_week > resistance.TECHNIQUE_WEEKS
    trained = person.is_overseen(screen) or regular
    return trained and learnt and (part.sets, part.reps) == (5, 5)


def _may_be_heavier(look: Look, part: ResistanceWeek) -> bool:
    """Tell whether a written reason may let the load stand: in group C from week 12 on."""
    if look.basis.made.group == "C":
        return look.ramp_week >= resistance.HEAVIER_C_WEEK
    return _five_by_five(look, part)


def _load(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    supervised = bool(look.basis.resources.supervised)
    top = look.in_force(resistance.top_percent(look.basis.made.group, supervised=supervised))
    percent, could_lift = part.percent_1rm, part.could_lift
    if percent is None or could_lift is None:
        return
    if percent > top.value:
        reasoned = top.stands(percent) and _may_be_heavier(look, part)
        shown = f"{percent:g} %, a weight that could be lifted {could_lift} times"
        yield look.breach(top, shown, judgement=reasoned)
    limits, _ = own(look.basis, look.modality, "least_could_lift")
    if limits.least_could_lift is not None and could_lift < limits.least_could_lift:
        shown = f"{could_lift} times where {limits.least_could_lift} is the fewest"
        yield _own_breach(look, "could_lift", "least_could_lift", shown)


def _reserve(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    least, kept = look.in_force(resistance.LIMITS["reps_in_reserve"]), part.reps_in_reserve
    if kept is not None and kept < least.value:
        yield look.breach(least, f"{kept}", judgement=least.stands(kept))


def _sets(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    limit = look.in_force(resistance.LIMITS["sets"])
    if part.sets > limit.value:
        reasoned = limit.stands(part.sets) and _five_by_five(look, part)
        yield look.breach(limit, f"{part.sets} sets", judgement=reasoned)


def _lifting_rise(look: Look, part: ResistanceWeek) -> Iterator[Breach]:
    before = look.before
    assert isinstance(before, ResistanceWeek)
    if part.percent_1rm and before.percent_1rm:
        up = round(100 * (part.percent_1rm / before.percent_1rm - 1), 1)
        yield from look.most(rises.STEP_PERCENT, up)
    risen = _risen(
        ("sessions", before.sessions, part.sessions),
        ("sets", before.sets, part.sets),
        ("load", before.percent_1rm, part.percent_1rm),
    )
    yield from _deload(look, risen)


def _risen(*pairs: tuple[str, float | None, float | None]) -> tuple[str, ...]:
    return tuple(name for name, was, now in pairs if was and now and now > was)


def _deload(look: Look, risen: Sequence[str]) -> Iterator[Breach]:
    rest = look.basis.resume.rests(look.week)
    if risen and rest is not None:
        shown = f"{', '.join(risen)} in week {look.week}"
        yield look.breach(rest, shown, judgement=rest.judgement is not None)


# --- Impact -------------------------------------------------------------------------------


def impacts(look: Look) -> Iterator[Breach]:
    """Yield what a week's impact passes."""
    part, before = look.part, look.before
    assert isinstance(part, ImpactWeek)
    assert isinstance(before, ImpactWeek)
    yield from _force(look, part)
    if part.sessions > look.drafted.sessions:
        yield from look.most(impact.LIMITS["sessions"], part.sessions)
    yield from look.most(impact.LIMITS["impacts"], part.impacts or 0)
    yield from look.most(impact.LIMITS["minutes"], part.minutes or 0)
    if part.peak_bw > before.peak_bw:
        yield from look.most(rises.NEW_RUNG, part.impacts or 0)
    else:
        more = (part.impacts or 0) - (before.impacts or 0)
        yield from look.most(rises.STEP_IMPACTS, more)
    risen = _risen(
        ("days", before.sessions, part.sessions),
        ("impacts", before.impacts, part.impacts),
        ("force", before.peak_bw, part.peak_bw),
        ("minutes", before.minutes, part.minutes),
    )
    yield from _deload(look, risen)


def _force(look: Look, part: ImpactWeek) -> Iterator[Breach]:
    screen = look.basis.made.screen
    group, risk = look.basis.made.group, screen.situation.fall_risk.drafted_as
    reasoned = part.peak_bw <= person.reasoned_cap_bw(screen, group, look.basis.made.clinic)
    for top in map(look.in_force, impact.tops_bw(group, risk)):
        if part.peak_bw > top.value:
            yield look.breach(top, f"{part.peak_bw:g} body weights", judgement=reasoned)
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
    yield from look.most(balance.LIMITS["minutes"], part.minutes)
    asked = max((EXERCISES[code].rung or 0 for code in part.exercises), default=0)
    rung, was = max(part.rung or 0, asked), drafted.rung
    if was is not None and rung > was:
        yield _rung(look, rung, was)


def _rung(look: Look, rung: int, drafted: int) -> Breach:
    """Return the breach of a rung above the drafted one (rulebook row 21)."""
    shown = f"level {rung} where level {drafted} is drafted"
    screen = look.basis.made.screen
    if rung > person.most_rung(screen):
        return _own_breach(look, "rung", "near_support", f"{shown}, and nobody watches")
    pace = balance.NEAR_SUPPORT_PACE if person.near_support(screen) else balance.PACE
    steady = screen.situation.fall_risk.drafted_as == "low"
    when = (
        f"one level every {pace} weeks" if steady else "one level at a review, after stance tests"
    )
    return Breach(
        path=f"{look.modality}.rung",
        week=look.week,
        name="rung",
        text=f"The balance ladder goes up {when}: {shown}.",
        source=SOURCES["project"].title,
        judgement=True,
    )


def upright(look: Look) -> Iterator[Breach]:
    """Yield what a week's posture work passes."""
    part = look.part
    assert isinstance(part, PostureWeek)
    yield from look.most(posture.LIMITS["minutes_a_day"], session_min(part))


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
