"""What the trials say for each aim, both sides where they disagree."""

from __future__ import annotations

from dataclasses import dataclass

from programs.plates.evidence.function import FUNCTION_TRIALS
from programs.plates.evidence.low_magnitude import LOW_MAGNITUDE_TRIALS
from programs.plates.evidence.pooled import POOLED
from programs.plates.evidence.tilting import TILTING_TRIALS
from programs.plates.evidence.trial import COUNTED, Direction, Pooled, Trial
from programs.plates.evidence.vertical import VERTICAL_TRIALS_TO_2010
from programs.plates.evidence.vertical_since_2011 import VERTICAL_TRIALS_SINCE_2011

TRIALS: tuple[Trial, ...] = tuple(
    sorted(
        (
            *VERTICAL_TRIALS_TO_2010,
            *VERTICAL_TRIALS_SINCE_2011,
            *TILTING_TRIALS,
            *LOW_MAGNITUDE_TRIALS,
            *FUNCTION_TRIALS,
        ),
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
    worse: tuple[Trial, ...]
    pooled: tuple[Pooled, ...]

    @property
    def counts(self) -> str:
        """Return how many trials found what, in words."""
        total = sum(map(len, (self.better, self.no_difference, self.mixed, self.worse)))
        if not total:
            return "No trial listed here measured it."
        return (
            f"Of {total} trials listed here that measured it: {len(self.better)} found a gain, "
            f"{len(self.no_difference)} no difference, {len(self.mixed)} mixed"
            + (f", {len(self.worse)} a loss." if self.worse else ".")
        )


SENTENCES = {
    "hip": (
        "A small gain at the hip is possible and uncertain: a few trials found one, most did not; "
        "pooled analyses mostly find none at the femoral neck, some find one at the trochanter, "
        "and an overview of 15 reviews sees no significant advantage (Yin 2024)."
    ),
    "spine": (
        "A small gain at the lumbar spine is possible: about one trial in four found one, and the "
        "pooled gain of about 0.01 g/cm² is less than two scans of one person can tell apart; an "
        "overview of 15 reviews sees no significant advantage (Yin 2024)."
    ),
    "wrist": (
        "No gain at the wrist is shown: where the radius was measured, nothing changed in young "
        "adults (Torvinen 2003), and it fell slightly with plate and lifting while it rose "
        "slightly in the control group (Bemben 2010)."
    ),
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
    "side-alternating plates; another (de Oliveira 2023) finds gains at the lumbar spine and the "
    "trochanter at high magnitude, with low and with high frequency, not graded high.",
    "Against strong vibration: another (Ma 2016) finds no gain at the spine at 1 g and over.",
)
_LATER_REVIEWS = (
    "For, in reviews since 2021: gains at the femoral neck and the lumbar spine in a network of 66 "
    "trials (Li 2021, a preprint), and over 20 Hz and 2 mm in 28 trials (Qiao 2025); abstracts.",
    "Against, in reviews since 2021: no significant advantage over 15 reviews, 13 of them of "
    "critically low quality (Yin 2024); in a network of 55 trials only several kinds of training "
    "together are named as a gain, at the femoral neck (2025); abstracts.",
)
BOTH_SIDES: dict[str, tuple[str, ...]] = {
    "hip": (
        "For: femoral neck +4.3 % on a side-alternating plate (Gusi 2006, 28 women); total hip "
        "+0.93 % from before to after on a vertical one (Verschueren 2004, from memory, to be "
        "confirmed).",
        "Against: no gain at the hip in trials of 8 to 24 months (Bemben 2010, Beck 2010, Leung "
        "2014, Kiel 2015).",
        *_LOW_MAGNITUDE_DENSITY,
        *_HOW_STRONG,
        *_LATER_REVIEWS,
    ),
    "spine": (
        "For: lumbar spine +0.5 to +0.7 % against control in 108 women (von Stengel 2011), and "
        "+2.95 % beside teriparatide in 35 (Jepsen 2019).",
        "Against: nothing added to training (Bemben 2010; von Stengel 2011, from memory, to be "
        "confirmed), and no difference in the main analysis of one review (Oliveira 2016).",
        *_LOW_MAGNITUDE_DENSITY,
        *_HOW_STRONG,
        *_LATER_REVIEWS,
    ),
    "wrist": (),
    "falls": (
        "For: fewer falls or fractures, counted together, 18.6 against 28.7 % in 710 women, "
        "randomized by centre (Leung 2014), the one trial of falls at low magnitude listed here; "
        "dynamic balance better when pooled (Rogan 2011).",
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

#: Trials under way whose result would change a sentence above, by their protocols.
AWAITED = (
    "Low magnitude, heavy lifting with impact, both or neither for 9 months in women with low "
    "bone mass, total hip first (VIBMOR; protocol, doi 10.1186/s13063-021-05911-4, abstract "
    "read). No result of it was found.",
)


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
        worse=_that_found(aim, Direction.WORSE),
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
