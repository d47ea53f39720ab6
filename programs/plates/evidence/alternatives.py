"""What training without a plate does for each aim, for comparison."""

from __future__ import annotations

from dataclasses import dataclass

from programs.plates.evidence.trial import Checked


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

    @property
    def cited(self) -> str:
        """Return the source, with how it is known where that is less than its own text."""
        return self.source if self.checked is Checked.CHECKED else f"{self.source}; {self.checked}"


_LOW_TO_MODERATE = "low to moderate"
_NOT_GRADED = "no grade read"
_KEMMLER = "Kemmler 2020, meta-analysis by kind of training"
_INTENSITY = "Kistler-Fischbacher 2021, meta-analysis by intensity of any exercise, 63 groups"
_KAST = "Kast 2022, PMC9499891, 11 trials of one intensity against another"
_WANG = "Wang 2023, PMC9941565, network of 19 trials of lifting, 919 women"
_LIFTING_2025 = "Meta-analysis of lifting 2025, 17 trials, 690 women"
_NETWORK = "Network meta-analysis of exercise 2025, doi 10.3389/fphys.2025.1633913, 55 trials"
_HEAVY = "Watson 2018, J Bone Miner Res 33:211, one trial of 101 women; erratum 34:572 not read"
_MEDICINE = "MEDEX-OP, conference abstracts of 2021 and 2022, one trial of 115 women"
_ADDED = "Schumm 2023, PMC10579159, 5 trials of 530 people on bone medicine"
_FRACTURES = "Shojaa 2023, doi 10.1055/a-2067-4323, 20 trials"
_FRACTURE_DOSE = "Hoffmann 2023, Osteoporos Int 34:15, 11 trials"
_FOREARM = "Babatunde 2020, Arch Phys Med Rehabil 101:487, 26 studies, 21 of them pooled"
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


def _abstract(
    aim: str, what: str, effect: str, source: str, certainty: str = _NOT_GRADED
) -> Alternative:
    return _of(aim, what, effect, source, certainty, Checked.ABSTRACT)


#: Fractures themselves, for each aim that is a site of bone.
_FRACTURE = tuple(
    _abstract(aim, what, effect, source)
    for aim in ("hip", "spine", "wrist")
    for what, effect, source in (
        (
            "any exercise, fractures",
            "rate ratio of low-trauma fractures 0.67 (0.51 to 0.87), of major ones (hip, spine, "
            "forearm, upper arm) 0.69 (0.52 to 0.92)",
            _FRACTURES,
        ),
        (
            "any exercise, major fractures by dose",
            "0.75 (0.54 to 0.94); no significant difference by progression or length",
            _FRACTURE_DOSE,
        ),
    )
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
    _abstract(
        "hip",
        "exercise by its intensity, not lifting alone",
        "neck, low +0.011 g/cm² (0.006 to 0.016), moderate +0.011 (0.007 to 0.015), high (4 of "
        "the groups) no effect",
        _INTENSITY,
    ),
    _abstract("hip", "high against low intensity", "SMD 0.17 (−0.04 to 0.38)", _KAST),
    _abstract(
        "hip",
        "lifting by its load",
        "moderate raised the neck, none the total hip",
        _WANG,
    ),
    _abstract(
        "hip",
        "lifting by its load",
        "neck SMD 0.89 (0.40 to 1.39), total hip 0.30 (0.10 to 0.50); at 70 % and over "
        "significant at both; the studies differ widely at the neck",
        _LIFTING_2025,
    ),
    _abstract(
        "hip", "several kinds together", "neck +0.02 (0.01 to 0.04), unit not read", _NETWORK
    ),
    _abstract(
        "hip",
        "supervised heavy lifting with impact",
        "neck +0.3 % against −1.9 % in 8 months",
        _HEAVY,
        "one trial",
    ),
    _abstract(
        "hip",
        "the same on bone medicine and off it (15 and 42 women)",
        "neck +4.9 against 0.0 %, total hip +2.2 against −0.5 % in 8 months",
        _MEDICINE,
        "one trial",
    ),
    _abstract(
        "hip",
        "exercise added to bone medicine",
        "SMD total hip 0.18 (−1.71 to 2.06), neck −0.03 (−1.80 to 1.75); unclear",
        _ADDED,
        "very low",
    ),
    _abstract(
        "hip",
        "four stamps twice a day beside squats and a weekly dance class",
        "no difference between groups; the more of them done, the better the hip (r 0.79)",
        "Young 2007, Osteoporos Int 18:1379, one trial of 45 women",
        "one trial",
    ),
    _of("spine", "resistance", "SMD 0.40 (0.15 to 0.65)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "weight-bearing exercise", "SMD 0.26 (0.03 to 0.49)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "both together", "SMD 0.42 (0.23 to 0.61)", _KEMMLER, _LOW_TO_MODERATE),
    _of("spine", "both together", "+3.22 % (1.80 to 4.64)", "Howe 2011, Cochrane review"),
    _of("spine", "any exercise", "SMD 0.29 (0.16 to 0.42)", "Mohebbi 2023, 80 studies"),
    _abstract(
        "spine",
        "exercise by its intensity, not lifting alone",
        "high (4 of the groups) +0.031 g/cm² (0.012 to 0.049), moderate +0.012 (0.008 to 0.017), "
        "low +0.010 (0.005 to 0.015)",
        _INTENSITY,
    ),
    _abstract("spine", "high against low intensity", "SMD 0.19 (−0.23 to 0.61)", _KAST),
    _abstract(
        "spine",
        "lifting by its load",
        "moderate raised it; on 3 days a week better than on 2, and better than low and high",
        _WANG,
    ),
    _abstract(
        "spine",
        "lifting",
        "SMD 0.88 (0.21 to 1.56); the studies differ widely",
        _LIFTING_2025,
    ),
    _abstract(
        "spine",
        "supervised heavy lifting with impact",
        "+2.9 % against −1.2 % in 8 months",
        _HEAVY,
        "one trial",
    ),
    _abstract(
        "spine",
        "the same against gentle floor work, with and without bone medicine",
        "+1.9 % against −0.6 % (2021) or +0.1 % (2022) in 8 months",
        _MEDICINE,
        "one trial",
    ),
    _abstract(
        "spine",
        "exercise added to bone medicine",
        "SMD 0.20 (−1.15 to 1.55); unclear",
        _ADDED,
        "very low",
    ),
    _abstract(
        "spine",
        "vertebral fracture under supervised heavy lifting with impact",
        "none induced in 8 months; kyphosis standing tall −6.7 against −1.6 degrees",
        "Watson 2019, Osteoporos Int 30:957, the same trial as Watson 2018",
        "one trial",
    ),
    _abstract(
        "wrist",
        "training of the arms",
        "SMD 1.27 (0.66 to 1.88); heavy lifting 1.00 (0.37 to 1.62), light 2.36 (0.37 to 4.36)",
        _FOREARM,
        "moderate",
    ),
    _abstract(
        "wrist",
        "impact of the arms alone",
        "SMD 1.12 (−1.27 to 3.50), not significant",
        _FOREARM,
        "low",
    ),
    _abstract(
        "wrist",
        "exercise added to bone medicine",
        "SMD forearm 0.05 (−0.35 to 0.46); unclear",
        _ADDED,
        "very low",
    ),
    *_FRACTURE,
    _of(
        "falls",
        "all exercise",
        "rate ratio 0.77 (0.71 to 0.83), 59 studies; fallers 0.85 (0.81 to 0.89)",
        "Cochrane review 2019, CD012424 (it pools Iwamoto 2009, 67 people, as told second hand; "
        "a 2005 trial of that author was retracted)",
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
