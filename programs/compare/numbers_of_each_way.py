"""The numbers of each way to fit the week, and in words what it gains and loses against now."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from programs.compare.two_sessions_a_day import index_in_two, index_of_week
from programs.compare.ways_to_fit import Fit
from programs.dose.limit import DRAFT_WEEKS
from programs.draft.standings import weeks_named
from programs.week.week import BalanceWeek, ImpactWeek, PlateWeek, ResistanceWeek, Week, part_of
from safety.findings import Modality


@dataclass(frozen=True, kw_only=True)
class Amount:
    """One number of a week.

    unit       after the number in a sentence; of a planning number before it
    places     decimals it is told to
    reached    it is not added up over the weeks: the most that it comes to is told
    planning   a number of no proven worth: more of it is no gain
    """

    code: str
    modality: Modality
    name: str
    unit: str
    places: int = 0
    reached: bool = False
    planning: bool = False

    def told(self, value: float) -> str:
        """Return a value in figures."""
        return f"{round(value, self.places):g}"

    def words(self, value: float, now: float) -> str:
        """Return a value beside the present one: "3 days a week, now 2"."""
        told = self.told(value)
        if self.planning:
            return f"{self.unit} {told}, now {self.told(now)}"
        unit = self.unit.replace("s a week", " a week") if told == "1" else self.unit
        return f"{'up to ' if self.reached else ''}{told} {unit}, now {self.told(now)}"


_P, _R, _I, _B, _S = Modality


def _a(modality: Modality, code: str, name: str, unit: str, places: int = 0) -> Amount:
    return Amount(code=code, modality=modality, name=name, unit=unit, places=places)


def _up_to(modality: Modality, code: str, name: str, unit: str, places: int = 0) -> Amount:
    return replace(_a(modality, code, name, unit, places), reached=True)


def _planning(modality: Modality, code: str, name: str, unit: str) -> Amount:
    return replace(_a(modality, code, name, unit), planning=True)


#: In the order of the table; the first of each modality tells whether it has room at all.
AMOUNTS = (
    _a(_R, "lifting", "Lifting sessions a week", "sessions a week", 1),
    _a(_R, "sets", "Lifting sets a week", "sets a week"),
    _up_to(_R, "percent", "Load, % of 1RM", "% of 1RM"),
    _a(_I, "impact_days", "Days of impact a week", "days a week", 1),
    _a(_I, "impacts", "Impacts a week", "impacts a week"),
    _a(_I, "walk", "Brisk walking, min a week", "min of brisk walking a week"),
    _up_to(_I, "peak_bw", "Peak of impact, body weights", "body weights", 2),
    _planning(_I, "hip_index", "Osteogenic index a week, hip", "osteogenic index of the hip"),
    _planning(_I, "spine_index", "Osteogenic index a week, spine", "osteogenic index of the spine"),
    _a(_P, "plate", "Plate sessions a week", "sessions a week", 1),
    _a(_P, "vibration", "Vibration, min a week", "min of vibration a week"),
    _up_to(_P, "peak_g", "Peak of plate, g", "g peak", 2),
    _a(_B, "balance", "Balance, min a week", "min a week"),
    _a(_S, "posture", "Posture, min a week", "min a week"),
)


def numbers(fit: Fit, number: int) -> Mapping[str, float]:
    """Return the numbers of one week by their codes; one that is not in the week is not there."""
    return dict(_numbers(fit.made.weeks[number - 1], in_two=fit.in_two))


def _numbers(week: Week, *, in_two: bool) -> Iterator[tuple[str, float]]:
    for modality in Modality:
        match part_of(week, modality):
            case None:
                continue
            case ResistanceWeek() as part:
                yield "lifting", part.sessions
                yield "sets", part.sessions * len(part.exercises) * part.sets
                if part.percent_1rm is not None:
                    yield "percent", part.percent_1rm
            case PlateWeek() as part:
                yield "plate", part.sessions
                yield "vibration", part.sessions * part.vibration_min
                yield "peak_g", part.peak_g
            case ImpactWeek() as part:
                yield from _of_impact(part, in_two=in_two)
            case BalanceWeek() as part:
                yield "balance", part.minutes
            case part:
                yield "posture", part.minutes


def _of_impact(part: ImpactWeek, *, in_two: bool) -> Iterator[tuple[str, float]]:
    yield "impact_days", part.sessions
    yield "peak_bw", part.peak_bw
    if part.impacts is None:
        yield "walk", part.sessions * (part.minutes or 0)
        return
    yield "impacts", part.sessions * part.impacts
    index = index_in_two(part) if in_two else index_of_week(part)
    yield "hip_index", index.hip
    yield "spine_index", index.spine


@dataclass(frozen=True, kw_only=True)
class Difference:
    """What differs of one modality against the present fit, over all weeks.

    planning   what is neither gain nor loss, because nobody knows what it is worth
    """

    modality: Modality
    gains: tuple[str, ...]
    losses: tuple[str, ...]
    planning: tuple[str, ...]


class _Kind(Enum):
    GAIN = "gain"
    LOSS = "loss"
    PLANNING = "planning"


def differences(fit: Fit, now: Fit) -> tuple[Difference, ...]:
    """Return what each modality gains and loses; a modality that is the same is not named."""
    found = []
    for modality in Modality:
        here, there = _held(fit, modality), _held(now, modality)
        moved = [*_room_moved(len(here), len(there)), *_moved(here, there, modality)]
        gains, losses, planning = (
            tuple(words for words, kind in moved if kind is wanted) for wanted in _Kind
        )
        if moved:
            found.append(
                Difference(modality=modality, gains=gains, losses=losses, planning=planning)
            )
    return tuple(found)


def _held(fit: Fit, modality: Modality) -> list[Mapping[str, float]]:
    """Return the numbers of each week that holds the modality."""
    weeks = (week for week in fit.made.weeks if part_of(week, modality) is not None)
    return [numbers(fit, week.week) for week in weeks]


def _room_moved(here: int, there: int) -> Iterator[tuple[str, _Kind]]:
    if here != there:
        words = f"room in {here or 'none'} of the {DRAFT_WEEKS} weeks, now {there or 'none'}"
        yield words, _Kind.GAIN if here > there else _Kind.LOSS


def _moved(
    here: Sequence[Mapping[str, float]], there: Sequence[Mapping[str, float]], modality: Modality
) -> Iterator[tuple[str, _Kind]]:
    """Yield what differs in the weeks that hold it; nothing where one of the fits has none."""
    if not here or not there:
        return
    for one in AMOUNTS:
        after, before = _over(here, one), _over(there, one)
        if one.modality is modality and one.told(after) != one.told(before):
            kind = _Kind.GAIN if after > before else _Kind.LOSS
            yield one.words(after, before), _Kind.PLANNING if one.planning else kind


def _over(weeks: Sequence[Mapping[str, float]], one: Amount) -> float:
    """Return a number on average over the weeks, or the most it comes to."""
    held = [week.get(one.code, 0.0) for week in weeks]
    return max(held) if one.reached else sum(held) / len(held)


def verdict(differing: Sequence[Difference]) -> str:
    """Return in a few words whether anything is gained or lost."""
    gains = any(one.gains for one in differing)
    losses = any(one.losses for one in differing)
    if gains and losses:
        return "gains and loses"
    if gains or losses:
        return "gains only" if gains else "loses only"
    return "planning number only" if differing else "no difference"


def left_out(fit: Fit) -> tuple[tuple[Modality, str], ...]:
    """Return what is included and finds no room, and in which weeks."""
    return tuple((one.about, weeks_named(_absent(fit, one.about))) for one in fit.made.left_out)


def _absent(fit: Fit, modality: Modality) -> list[int]:
    return [week.week for week in fit.made.weeks if part_of(week, modality) is None]
