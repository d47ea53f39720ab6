"""The map of one kind of loading: which programs have a place on it, which have none, and hers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from programs.plates.evidence.trial import Direction
from programs.trial_map.hers import amount
from programs.trial_map.of_impact_and_lifting import IMPACTS, LIFTING
from programs.trial_map.on_plates import on_plates
from programs.trial_map.published import SITES, Published, rounded
from programs.week.week import Week
from safety.findings import Modality

#: The findings in the order of the map, as it heads them.
HEADS: Mapping[Direction, str] = {
    Direction.BETTER: "found a gain",
    Direction.MIXED: "found both",
    Direction.NO_DIFFERENCE: "found no difference",
    Direction.WORSE: "found a loss",
}
_AXES: Mapping[Modality, str] = {
    Modality.PLATE: "peak g at the plate times minutes of vibration in all",
    Modality.IMPACT: "body weights on one leg times landings of that leg in all",
    Modality.RESISTANCE: "share of the maximum times repetitions of one lift in all",
}
_NOTES: Mapping[Modality, str] = {
    Modality.PLATE: "The product holds the whole of what was scheduled at the strongest setting, "
    "so it is the most that a trial can have given. It does not tell a short strong program from a "
    "long gentle one, and says nothing of what reaches the bone.",
    Modality.IMPACT: "Bone answers to force more than to number, so equal products are not equal "
    "programs. Forces are those of other people where the trial measured none.",
    Modality.RESISTANCE: "Bone answers to load more than to number: in one trial the light arm did "
    "more in all and gained less at the hip. The share of a maximum is no force on the bone.",
}


@dataclass(frozen=True, kw_only=True)
class TrialMap:
    """The map of one kind.

    hers   load times count of her own program; None where it has none that can be told
    """

    modality: Modality
    axis: str
    note: str
    programs: tuple[Published, ...]
    hers: float | None

    @property
    def hers_words(self) -> str:
        """Return hers to two figures."""
        return "" if self.hers is None else rounded(self.hers)

    @property
    def placed(self) -> tuple[Published, ...]:
        """Return those with a place on the axis, the most first."""
        with_one = (one for one in self.programs if one.amount)
        return tuple(sorted(with_one, key=lambda one: -(one.amount.high if one.amount else 0)))

    @property
    def unplaced(self) -> tuple[Published, ...]:
        """Return those of which load or count was not read."""
        return tuple(one for one in self.programs if not one.amount)

    def lane(self, site: str, direction: Direction) -> tuple[Published, ...]:
        """Return those on the axis that found this at a site."""
        return tuple(
            one
            for one in self.placed
            if (found := one.found(site)) is not None and found.direction is direction
        )

    @property
    def says(self) -> tuple[str, ...]:
        """Return, for each site, how many found what between which amounts."""
        return tuple(
            f"{name.capitalize()}: {'; '.join(lanes)}."
            for site, name in SITES.items()
            if (lanes := list(self._lanes(site)))
        )

    def _lanes(self, site: str) -> Iterator[str]:
        for direction, head in HEADS.items():
            if lane := self.lane(site, direction):
                amounts = [one.amount for one in lane if one.amount]
                low = rounded(min(one.low for one in amounts))
                high = rounded(max(one.high for one in amounts))
                span = low if low == high else f"{low} to {high}"
                yield f"{len(lane)} {head}, at {span}"


def trial_map(modality: Modality, weeks: Iterable[Week]) -> TrialMap | None:
    """Return the map of a kind with her program on it; None for a kind that has none."""
    if modality not in _AXES:
        return None
    declared = {Modality.IMPACT: IMPACTS, Modality.RESISTANCE: LIFTING}
    return TrialMap(
        modality=modality,
        axis=_AXES[modality],
        note=_NOTES[modality],
        programs=declared.get(modality) or on_plates(),
        hers=amount(modality, weeks),
    )
