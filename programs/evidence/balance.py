"""What the trials say for each aim, both sides where they disagree."""

from __future__ import annotations

from dataclasses import dataclass

from programs.evidence.function import FUNCTION_TRIALS
from programs.evidence.low_magnitude import LOW_MAGNITUDE_TRIALS
from programs.evidence.pooled import POOLED
from programs.evidence.tilting import TILTING_TRIALS
from programs.evidence.trial import COUNTED, Direction, Pooled, Trial
from programs.evidence.vertical import VERTICAL_TRIALS

TRIALS: tuple[Trial, ...] = tuple(
    sorted(
        (*VERTICAL_TRIALS, *TILTING_TRIALS, *LOW_MAGNITUDE_TRIALS, *FUNCTION_TRIALS),
        key=lambda trial: (trial.citation.split(",")[0].split()[-1], trial.citation),
    )
)


@dataclass(frozen=True, kw_only=True)
class Balance:
    """The balance of the trials for one aim.

    sentence        what it comes to, for a clinician
    both_sides      where trials or reviews point opposite ways, one line for each side
    better and so on the trials that found it, of those with a result that counts
    """

    aim: str
    sentence: str
    both_sides: tuple[str, ...]
    better: tuple[Trial, ...]
    no_difference: tuple[Trial, ...]
    mixed: tuple[Trial, ...]
    pooled: tuple[Pooled, ...]

    @property
    def counts(self) -> str:
        """Return how many trials found what, in words."""
        total = len(self.better) + len(self.no_difference) + len(self.mixed)
        if not total:
            return "No trial listed here measured it."
        return (
            f"Of {total} trials listed here that measured it: {len(self.better)} found a gain, "
            f"{len(self.no_difference)} no difference, {len(self.mixed)} mixed."
        )


SENTENCES = {
    "hip": (
        "A small gain at the hip is possible and uncertain: a few trials found one, most did not; "
        "pooled analyses mostly find none at the femoral neck, and some find one at the trochanter."
    ),
    "spine": (
        "A small gain at the lumbar spine is possible: about one trial in four found one, and the "
        "pooled gain of about 0.01 g/cm² is less than two scans of one person can tell apart."
    ),
    "wrist": "No trial listed here measured density at the wrist, and the plate does not load it.",
    "falls": (
        "The case for the plate is better here than for density: fewer falls in pooled trials "
        "(rate ratio 0.67), while balance tests went both ways."
    ),
    "strength": (
        "Legs get stronger and rising and walking get easier in most trials, about as much as with "
        "fitness training; very short bouts did nothing."
    ),
}

_LOW_MAGNITUDE_DENSITY = (
    "For low magnitude: a 2023 review (de Oliveira) grades its gain at the lumbar spine as high "
    "certainty, and a 2016 one (Ma) finds +0.01 g/cm² there.",
    "Against low magnitude: the two large trials, of 18 months (Leung 2014) and 24 months (Kiel "
    "2015), found no gain in density.",
)
_HOW_STRONG = (
    "For strong vibration: one review (Fratini 2016) finds more above 3 g, below 25 Hz or on "
    "side-alternating plates.",
    "Against strong vibration: another (Ma 2016) finds no gain at the spine at 1 g and over.",
)
BOTH_SIDES: dict[str, tuple[str, ...]] = {
    "hip": (
        "For: femoral neck +4.3 % on a side-alternating plate (Gusi 2006, 28 women); total hip "
        "+0.93 % on a vertical one (Verschueren 2004, from memory, to be confirmed).",
        "Against: no gain at the hip in trials of 8 to 24 months (Bemben 2010, Beck 2010, Leung "
        "2014, Kiel 2015).",
        *_LOW_MAGNITUDE_DENSITY,
    ),
    "spine": (
        "For: lumbar spine +0.5 to +0.7 % against control in 108 women (von Stengel 2011), and "
        "+2.95 % beside teriparatide in 35 (Jepsen 2019).",
        "Against: nothing added to training (Bemben 2010; von Stengel 2011, from memory, to be "
        "confirmed), and no difference in the main analysis of one review (Oliveira 2016).",
        *_LOW_MAGNITUDE_DENSITY,
        *_HOW_STRONG,
    ),
    "wrist": (),
    "falls": (
        "For: falls or fractures 18.6 against 28.7 % in 710 women (Leung 2014); dynamic balance "
        "better when pooled (Rogan 2011).",
        "Against: no fewer people who fall at all when pooled (Jepsen 2017, low certainty); "
        "balance tests unchanged in several trials (Verschueren 2011, Marín 2011, Beaudart 2013).",
    ),
    "strength": (
        "For: strength or walking better in most trials (Bemben 2010, Leung 2014, Russo 2003); "
        "fitness training did as well (Bogaerts 2007).",
        "Against: nothing from bouts of 15 s (Beaudart 2013) or 12 weeks after breast cancer "
        "(Baker 2018).",
    ),
}


def usable() -> tuple[Trial, ...]:
    """Return the trials that may be relied on: all that were not retracted."""
    return tuple(trial for trial in TRIALS if trial.retracted_on is None)


def for_plate(motion: str) -> tuple[Trial, ...]:
    """Return the usable trials that ran on this kind of plate."""
    return tuple(trial for trial in usable() if motion in trial.motions)


def balance(aim: str) -> Balance:
    """Return the balance for an aim; KeyError for an aim that is not one."""
    return Balance(
        aim=aim,
        sentence=SENTENCES[aim],
        both_sides=BOTH_SIDES[aim],
        better=_that_found(aim, Direction.BETTER),
        no_difference=_that_found(aim, Direction.NO_DIFFERENCE),
        mixed=_that_found(aim, Direction.MIXED),
        pooled=tuple(p for p in POOLED if any(aim in o.aims for o in p.outcomes)),
    )


def direction(trial: Trial, aim: str) -> Direction | None:
    """Return what a trial found for an aim by the measures that count; None if it has none.

    Measures that disagree within one trial make it mixed; an unread result counts for nothing.
    """
    found = {
        o.direction
        for o in trial.outcome(aim)
        if o.measure in COUNTED[aim] and o.direction is not Direction.NOT_READ
    }
    if not found:
        return None
    return found.pop() if len(found) == 1 else Direction.MIXED


def _that_found(aim: str, wanted: Direction) -> tuple[Trial, ...]:
    return tuple(trial for trial in usable() if direction(trial, aim) is wanted)
