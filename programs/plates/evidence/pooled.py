"""Meta-analyses and systematic reviews of vibration plates, oldest first."""

from __future__ import annotations

from programs.plates.evidence.trial import Checked, Direction, Measure, Pooled, PooledOutcome

NOT_GRADED = "no grade read"


def _pooled(
    aims: str,
    measure: Measure,
    direction: Direction,
    effect: str,
    interval: str = "",
    certainty: str = NOT_GRADED,
    checked: Checked = Checked.CHECKED,
) -> PooledOutcome:
    return PooledOutcome(
        aims=tuple(aims.split()),
        measure=measure,
        direction=direction,
        effect=effect,
        interval=interval,
        certainty=certainty,
        checked=checked,
    )


_BETTER, _NONE, _MIXED = Direction.BETTER, Direction.NO_DIFFERENCE, Direction.MIXED
_DENSITY = Measure.DENSITY

POOLED = (
    Pooled(
        key="slatkovska_2010",
        citation="Slatkovska 2010, Osteoporos Int 21:1969",
        identifier="",
        studies=None,
        people=None,
        outcomes=(
            _pooled(
                "hip",
                _DENSITY,
                _BETTER,
                "+0.015 g/cm² at the hip; small gain after menopause and in children, none in "
                "young adults",
                checked=Checked.MEMORY,
            ),
        ),
        note="That the gain was small and significant was read second hand; its size was not.",
    ),
    Pooled(
        key="rogan_2011",
        citation="Rogan 2011, BMC Geriatr 11:72",
        identifier="",
        studies=None,
        people=None,
        outcomes=(
            _pooled("falls", Measure.BALANCE, _NONE, "static balance SMD −0.06", "−0.31 to 0.18"),
            _pooled(
                "falls", Measure.BALANCE, _BETTER, "dynamic balance SMD −0.34", "−0.60 to −0.08"
            ),
        ),
    ),
    Pooled(
        key="ahrq_2011",
        citation="Agency for Healthcare Research and Quality 2011, technical brief",
        identifier="NBK83043",
        studies=12,
        people=None,
        outcomes=(
            _pooled("hip spine", _DENSITY, _MIXED, "no claim of effectiveness can be made yet"),
        ),
    ),
    Pooled(
        key="oliveira_2016",
        citation="Oliveira 2016, Osteoporos Int 27:2913",
        identifier="PMID 27145947",
        studies=15,
        people=None,
        outcomes=(
            _pooled(
                "hip spine",
                _DENSITY,
                _MIXED,
                "no difference in the main analysis; gains in subgroups: lumbar spine in seven, "
                "trochanter in four, femoral neck in one",
                checked=Checked.ABSTRACT,
            ),
        ),
    ),
    Pooled(
        key="ma_2016",
        citation="Ma 2016, J Orthop Surg Res 11:24",
        identifier="doi 10.1186/s13018-016-0357-2",
        studies=8,
        people=1014,
        outcomes=(
            _pooled("spine", _DENSITY, _BETTER, "lumbar spine +0.01 g/cm², p 0.01", "0.00 to 0.01"),
            _pooled("hip", _DENSITY, _NONE, "femoral neck 0.00 g/cm², p 0.18", "−0.00 to 0.01"),
            _pooled(
                "spine",
                _DENSITY,
                _BETTER,
                "low magnitude only, lumbar spine +0.01 g/cm², p 0.007",
                "0.00 to 0.01",
            ),
            _pooled(
                "spine",
                _DENSITY,
                _NONE,
                "1 g and over only, lumbar spine 0.00 g/cm², p 0.47",
                "−0.01 to 0.02",
            ),
            _pooled(
                "hip",
                _DENSITY,
                _NONE,
                "low magnitude only, femoral neck 0.00 g/cm², p 0.92",
                "−0.00 to 0.00",
                checked=Checked.ABSTRACT,
            ),
            _pooled(
                "hip",
                _DENSITY,
                _NONE,
                "1 g and over only, femoral neck +0.02 g/cm², p 0.06",
                "−0.00 to 0.05",
            ),
        ),
    ),
    Pooled(
        key="fratini_2016",
        citation="Fratini 2016, PLoS One 11:e0166774",
        identifier="doi 10.1371/journal.pone.0166774",
        studies=9,
        people=527,
        outcomes=(
            _pooled(
                "hip spine",
                _DENSITY,
                _MIXED,
                "better than nothing at hip and spine; nothing added to exercise, or against "
                "sham; better with side-alternating plates, over 3 g, under 25 Hz, over 1000 min",
            ),
        ),
        note="The 1000 min do not part the trials that gained from those that did not.",
    ),
    Pooled(
        key="jepsen_2017",
        citation="Jepsen 2017, BMJ Open 7:e018342",
        identifier="PMC6027066",
        studies=None,
        people=805,
        outcomes=(
            _pooled(
                "falls",
                Measure.FALLS,
                _BETTER,
                "rate ratio of falls 0.67, 4 trials of 746 people",
                "0.50 to 0.89",
                "moderate",
            ),
            _pooled(
                "falls",
                Measure.FALLS,
                _NONE,
                "risk ratio of falling at all 0.76, 805 people",
                "0.48 to 1.20",
                "low",
            ),
            _pooled(
                "hip spine",
                Measure.FRACTURES,
                _NONE,
                "risk ratio of fracture 0.47, one trial",
                "0.14 to 1.57",
                "moderate",
            ),
        ),
    ),
    Pooled(
        key="marin_cascales_2018",
        citation="Marín-Cascales 2018, Medicine 97:e11918",
        identifier="PMID 30142802",
        studies=10,
        people=462,
        outcomes=(
            _pooled("spine", _DENSITY, _BETTER, "lumbar spine rose from before to after"),
            _pooled(
                "hip",
                _DENSITY,
                _MIXED,
                "femoral neck rose under 65 only",
                checked=Checked.SECOND_HAND,
            ),
        ),
    ),
    Pooled(
        key="dadematthews_2022",
        citation="DadeMatthews 2022, Complement Ther Med 102811",
        identifier="doi 10.1016/j.ctim.2022.102811",
        studies=None,
        people=None,
        outcomes=(_pooled("hip spine", _DENSITY, Direction.NOT_READ, ""),),
    ),
    Pooled(
        key="li_2021",
        citation="Li 2021, network meta-analysis of exercise, preprint",
        identifier="doi 10.1101/2021.07.12.21260370",
        studies=66,
        people=4336,
        outcomes=(
            _pooled(
                "hip spine",
                _DENSITY,
                _BETTER,
                "the plate is among what raised the lumbar spine and the femoral neck; not among "
                "what raised the total hip",
                checked=Checked.ABSTRACT,
            ),
        ),
        note="A preprint; sizes not read.",
    ),
    Pooled(
        key="de_oliveira_2023",
        citation="de Oliveira 2023, Osteoporos Int 34:29",
        identifier="PMID 36282343",
        studies=23,
        people=None,
        outcomes=(
            _pooled("spine", _DENSITY, _BETTER, "lumbar spine rose, 20 studies pooled"),
            _pooled(
                "hip",
                _DENSITY,
                _MIXED,
                "trochanter rose, most with bent knees; neck and total hip not named as rising",
            ),
            _pooled(
                "spine",
                _DENSITY,
                _BETTER,
                "high frequency with low magnitude, and a high total dose of it",
                certainty="high, for these two only",
            ),
            _pooled(
                "hip spine",
                _DENSITY,
                _BETTER,
                "high magnitude with low frequency, and a low total dose of it: lumbar spine and "
                "trochanter",
                checked=Checked.ABSTRACT,
            ),
            _pooled(
                "hip spine",
                _DENSITY,
                _BETTER,
                "high magnitude with high frequency: lumbar spine, trochanter and Ward's area",
                checked=Checked.ABSTRACT,
            ),
            _pooled(
                "wrist",
                Measure.STRUCTURE,
                _NONE,
                "trabecular density of the radius was pooled and is not named as rising",
                checked=Checked.ABSTRACT,
            ),
            _pooled(
                "hip spine",
                _DENSITY,
                _BETTER,
                "side-alternating plates: lumbar spine and trochanter; vertical: lumbar spine",
            ),
        ),
    ),
    Pooled(
        key="network_2023",
        citation="Network meta-analysis 2023",
        identifier="PMC10140584",
        studies=25,
        people=1267,
        outcomes=(
            _pooled(
                "strength",
                Measure.FUNCTION,
                _BETTER,
                "up and go −1.37 s with low frequency against sham",
                "−2.53 to −0.20",
            ),
        ),
    ),
    Pooled(
        key="yin_2024",
        citation="Yin 2024, BMC Womens Health 24:444, overview of reviews",
        identifier="doi 10.1186/s12905-024-03290-x",
        studies=15,
        counted="reviews",
        people=None,
        outcomes=(
            _pooled(
                "hip spine",
                _DENSITY,
                _NONE,
                "no significant advantage for density after menopause",
                checked=Checked.ABSTRACT,
            ),
        ),
        note="13 of the 15 reviews are of critically low quality, and they share many trials; "
        "five report harms.",
    ),
    Pooled(
        key="network_2025",
        citation="Network meta-analysis of exercise 2025, Front Physiol",
        identifier="doi 10.3389/fphys.2025.1633913",
        studies=55,
        people=3453,
        outcomes=(
            _pooled(
                "hip",
                _DENSITY,
                Direction.NOT_READ,
                "the one gain that its abstract names is of several kinds of training together, "
                "femoral neck +0.02 (0.01 to 0.04; unit not read); none of the plate",
                checked=Checked.ABSTRACT,
            ),
            _pooled(
                "spine",
                _DENSITY,
                Direction.NOT_READ,
                "its abstract names no gain of the plate; mind-body training ranks first",
                checked=Checked.ABSTRACT,
            ),
        ),
    ),
    Pooled(
        key="qiao_2025",
        citation="Qiao 2025, Chin J Tissue Eng Res 29:5195",
        identifier="",
        studies=28,
        people=None,
        outcomes=(
            _pooled(
                "hip spine",
                _DENSITY,
                _BETTER,
                "over 20 Hz and over 2 mm: femoral neck, trochanter and lumbar spine rose, p under "
                "0.01; the studies differ widely (I² over 50 %)",
                checked=Checked.ABSTRACT,
            ),
        ),
    ),
)
