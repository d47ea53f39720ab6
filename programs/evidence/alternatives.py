"""What training without a plate does for each aim, for comparison."""

from __future__ import annotations

from dataclasses import dataclass

from programs.evidence.trial import Checked


@dataclass(frozen=True, kw_only=True)
class Alternative:
    """One pooled effect of training without a plate.

    effect      as printed, with its interval; SMD is the standardised mean difference
    certainty   the review's own grade, or that none was read
    """

    aim: str
    what: str
    effect: str
    certainty: str
    source: str
    checked: Checked


_LOW_TO_MODERATE = "low to moderate"
_NOT_GRADED = "no grade read"
_KEMMLER = "Kemmler 2020, meta-analysis by kind of training"
_WHO = "World Health Organization evidence update 2020 on falls, PMC7689963"


def _of(
    aim: str,
    what: str,
    effect: str,
    source: str,
    certainty: str = _NOT_GRADED,
    checked: Checked = Checked.CHECKED,
) -> Alternative:
    return Alternative(
        aim=aim, what=what, effect=effect, certainty=certainty, source=source, checked=checked
    )


ALTERNATIVES = (
    _of(
        "hip",
        "resistance",
        "total hip SMD 0.51 (0.28 to 0.74), neck 0.27 (0.09 to 0.45)",
        _KEMMLER,
        _LOW_TO_MODERATE,
    ),
    _of(
        "hip",
        "weight-bearing exercise",
        "total hip SMD 0.40 (0.21 to 0.58), neck 0.37 (0.12 to 0.62)",
        _KEMMLER,
        _LOW_TO_MODERATE,
    ),
    _of(
        "hip",
        "both together",
        "total hip SMD 0.34 (0.14 to 0.53), neck 0.35 (0.19 to 0.51)",
        _KEMMLER,
        _LOW_TO_MODERATE,
    ),
    _of(
        "hip",
        "any exercise",
        "total hip SMD 0.41 (0.30 to 0.52), neck 0.27 (0.16 to 0.39)",
        "Mohebbi 2023, 80 studies",
    ),
    _of(
        "hip",
        "high-force resistance, not weight-bearing",
        "femoral neck +1.03 % (0.24 to 1.82)",
        "Howe 2011, Cochrane review",
    ),
    _of(
        "hip",
        "high-impact exercise alone",
        "no gain at the neck or spine after menopause",
        "Martyn-St James 2009, Br J Sports Med 43:898",
    ),
    _of("spine", "resistance", "SMD 0.40 (0.15 to 0.65)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "weight-bearing exercise", "SMD 0.26 (0.03 to 0.49)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "both together", "SMD 0.42 (0.23 to 0.61)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "both together", "+3.22 % (1.80 to 4.64)", "Howe 2011, Cochrane review"),
    _of("spine", "any exercise", "SMD 0.29 (0.16 to 0.42)", "Mohebbi 2023, 80 studies"),
    _of(
        "spine",
        "supervised heavy lifting with impact",
        "+2.9 % against −1.2 % in 8 months",
        "Watson 2018, J Bone Miner Res 33:211, one trial of 101 women",
        "one trial",
    ),
    _of(
        "wrist",
        "training of the arms",
        "SMD 1.27 (0.66 to 1.88), 26 studies",
        "Babatunde 2020, Arch Phys Med Rehabil",
        "moderate for resistance, low for impact",
    ),
    _of(
        "falls",
        "all exercise",
        "rate ratio 0.77 (0.71 to 0.83), 59 studies; fallers 0.85 (0.81 to 0.89)",
        "Cochrane review 2019, CD012424",
        "high",
    ),
    _of("falls", "balance and functional exercise", "rate ratio 0.76 (0.70 to 0.82)", _WHO, "high"),
    _of(
        "falls",
        "several kinds of exercise together",
        "rate ratio 0.72 (0.56 to 0.93)",
        _WHO,
        "moderate",
    ),
    _of("falls", "tai chi", "rate ratio 0.77 (0.61 to 0.97)", _WHO, "moderate"),
    _of(
        "falls",
        "three hours a week or more, with balance",
        "rate ratio 0.58 (0.45 to 0.76)",
        _WHO,
    ),
    _of(
        "strength",
        "fitness training, men over 60, 12 months",
        "isometric +13.1 %, explosive +9.8 %, muscle +3.8 %; the plate did about the same",
        "Bogaerts 2007, J Gerontol A 62:630, one trial",
        "one trial",
    ),
    _of(
        "strength",
        "back strengthening, 2 years",
        "back strength 39.4 to 66.8 kg, control 36.9 to 49.0; 8 years later 1.6 against "
        "4.3 % of vertebrae fractured",
        "Sinaki 2002, Bone 30:836, one trial",
        "one trial",
    ),
)


def alternatives(aim: str) -> tuple[Alternative, ...]:
    """Return what training without a plate does for an aim."""
    return tuple(a for a in ALTERNATIVES if a.aim == aim)
