"""Where a revised program takes up, what a review has lifted or stopped, and how it rises."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from programs.dose.limit import Limit, is_deload, is_steady_later
from programs.dose.rises import DELOAD, HELD, STEADY
from safety.findings import Modality

#: The caps of a fragile person on the plate, in g: a review lifts one to the next (row 14).
CAP_STEPS: tuple[float | None, ...] = (1.0, 1.5, 2.0, None)
#: With a vertebral fracture, or T of -3.5 or lower, no review lifts it further (row 14).
MOST_CAP_G = 2.0


@dataclass(frozen=True, kw_only=True)
class Resume:
    """Where a revised program takes up: what of each ramp is behind her, what a review lifted.

    done_weeks    places of the ramp that are behind her; one not named starts at its start
    lifted        codes of rules that a review with no trouble has lifted
    plate_cap_g   what the plate of a fragile person is held to; None: lifted altogether
    watched       plates, by name, on which a watched session was logged (row 12a)
    stopped       what a review stopped: left out of the weeks
    one_rm_kg     of a lift: the maximum that its loads are made from, where what was done, or a
                  lift that goes up by the log, asks for another than the newest set (row 26)
    own_start     of an exercise without a load: the repetitions of place 1, likewise
    first_rung    of balance, where reviews have raised it (row 21); None: as the tests open it
    half_year     of the ramp, the first is 1; from the second on as row 29a says
    half_weeks    weeks of that half year that are behind her
    changed       exercises of lifting and impact that give place to others in a later half year
    maintains     one dose that holds: nothing rises
    """

    done_weeks: Mapping[Modality, int] = field(default_factory=dict)
    lifted: frozenset[str] = frozenset()
    plate_cap_g: float | None = CAP_STEPS[0]
    watched: frozenset[str] = frozenset()
    stopped: frozenset[Modality] = frozenset()
    one_rm_kg: Mapping[str, float] = field(default_factory=dict)
    own_start: Mapping[str, int] = field(default_factory=dict)
    first_rung: int | None = None
    half_year: int = 1
    half_weeks: int = 0
    changed: frozenset[str] = frozenset()
    maintains: bool = False

    def done(self, modality: Modality) -> int:
        """Return the places of this modality's ramp that are behind her."""
        return self.done_weeks.get(modality, 0)

    @property
    def is_later(self) -> bool:
        """Tell whether a half year of the ramp lies behind her (rulebook row 29a)."""
        return self.half_year > 1

    @property
    def goes_on_from_done(self) -> bool:
        """Tell whether loads go on from what was lifted where no newer set is given."""
        return self.is_later or self.maintains

    def rests(self, week: int) -> Limit | None:
        """Return the limit by which nothing rises in a week of the draft; None: it may rise."""
        if self.maintains:
            return HELD
        if self.is_later:
            return STEADY if is_steady_later(self.half_weeks + week) else None
        return DELOAD if is_deload(week) else None

    def is_steady(self, week: int) -> bool:
        """Tell whether nothing rises in a week of the draft (rows 25 and 29a)."""
        return self.rests(week) is not None


FROM_THE_START = Resume()
#: The name by which reviews before rulebook 2027.1 lifted the cap altogether.
FRAGILE_CAP = "plate.fragile_cap"
