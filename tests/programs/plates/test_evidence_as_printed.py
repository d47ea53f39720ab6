"""Reviews since 2016, and training without a plate, as their abstracts print them."""

from __future__ import annotations

import pytest

from programs.dose.plate_settings import GENTLE_TRIALS
from programs.plates.evidence import (
    ALTERNATIVES,
    AWAITED,
    POOLED,
    TRIALS,
    Checked,
    Direction,
    alternatives,
    balance,
    direction,
    for_plate,
)

BY_KEY = {trial.key: trial for trial in TRIALS}
POOLED_BY_KEY = {one.key: one for one in POOLED}


def effects(key: str) -> str:
    return " ".join(f"{o.effect} {o.interval}" for o in POOLED_BY_KEY[key].outcomes)


@pytest.mark.parametrize(
    "key, studies, people, direction, printed",
    [
        # Yin 2024, BMC Womens Health 24:444 (PMID 39107743), abstract: 15 reviews, 13 of them
        # critically low by AMSTAR-2, no significant advantage.
        ("yin_2024", 15, None, Direction.NO_DIFFERENCE, ["no significant advantage"]),
        # Front Physiol 2025 1633913, abstract: 55 trials, 3453 people, multicomponent training
        # at the femoral neck 0.02 (0.01, 0.04); no other gain is named.
        ("network_2025", 55, 3453, Direction.NOT_READ, ["+0.02 (0.01 to 0.04", "none of the"]),
        # Li 2021, medRxiv 2021.07.12.21260370, abstract: 66 trials, 4336 people.
        ("li_2021", 66, 4336, Direction.BETTER, ["lumbar spine and the femoral neck"]),
        # Qiao 2025, Chin J Tissue Eng Res 29:5195, abstract: 28 trials, P<0.01, I2>50%.
        ("qiao_2025", 28, None, Direction.BETTER, ["over 20 Hz and over 2 mm", "over 50 %"]),
    ],
)
def test_reviews_since_2021_as_their_abstracts_print_them(
    key: str, studies: int, people: int | None, direction: Direction, printed: list[str]
) -> None:
    one = POOLED_BY_KEY[key]
    assert (one.studies, one.people) == (studies, people)
    assert {o.direction for o in one.outcomes} == {direction}
    assert {o.checked for o in one.outcomes} == {Checked.ABSTRACT}
    assert [words for words in printed if words not in effects(key)] == []


def test_an_overview_counts_reviews_and_not_trials() -> None:
    assert POOLED_BY_KEY["yin_2024"].counted == "reviews"
    assert "13 of the 15 reviews" in POOLED_BY_KEY["yin_2024"].note


def test_high_magnitude_stands_beside_low_in_the_review_of_2023() -> None:
    """de Oliveira 2023 (PMID 36282343), abstract: gains too at high magnitude with low and with

    high frequency; only high frequency or high dose with low magnitude is graded high.
    """
    said = POOLED_BY_KEY["de_oliveira_2023"].outcomes
    high = [o for o in said if "high magnitude" in o.effect]
    assert [("low frequency" in o.effect, "high frequency" in o.effect) for o in high] == [
        (True, False),
        (False, True),
    ]
    assert {o.certainty for o in high} == {"no grade read"}
    assert "high magnitude" in " ".join(balance("spine").both_sides)


def test_the_neck_gained_in_one_subgroup_of_2016() -> None:
    """Oliveira 2016 (PMID 27145947), abstract: spine in seven subgroups, trochanter four, neck one.

    Ma 2016, abstract: low magnitude, femoral neck 0.00 (-0.00, 0.00), p 0.92.
    """
    assert "femoral neck in one" in effects("oliveira_2016")
    assert "femoral neck 0.00 g/cm², p 0.92 −0.00 to 0.00" in effects("ma_2016")


def test_both_sides_of_the_reviews_since_2021_stand_at_hip_and_spine() -> None:
    for aim in ("hip", "spine"):
        said = " ".join(balance(aim).both_sides)
        assert "Yin 2024" in balance(aim).sentence
        assert [n for n in ("Li 2021", "Qiao 2025", "Yin 2024", "(2025)") if n not in said] == []


def test_the_gain_of_the_hip_trial_of_2004_is_no_net_one() -> None:
    """From memory: +0.93 % is the plate group's own; control -0.62 %, lifting -0.60 %."""
    (density,) = (o for o in BY_KEY["verschueren_2004"].outcome("hip"))
    assert "net" not in density.effect
    assert "control −0.62 %" in density.effect
    assert density.checked is Checked.MEMORY


def test_the_one_trial_of_gentle_plates_and_falls_is_named_as_such() -> None:
    """Leung 2014: 710 women, by centre; falls or fractures counted together."""
    (first, *_) = balance("falls").both_sides
    assert "counted together" in first
    assert "by centre" in first
    at_low = [t.key for t in for_plate("low_magnitude") if direction(t, "falls")]
    assert at_low == ["leung_2014"]
    assert "stands alone" in GENTLE_TRIALS
    assert "no gain in density" in GENTLE_TRIALS


def test_trials_under_way_claim_no_result() -> None:
    """VIBMOR, protocol, doi 10.1186/s13063-021-05911-4: four arms, 9 months, total hip."""
    (one,) = AWAITED
    assert "No result" in one
    assert "total hip" in one


#: Each as its abstract prints it: aim, a word of the source, what is printed.
WITHOUT_A_PLATE = [
    # wbldb.lievers.net/10229629: 63 interventions, 4 of high intensity.
    ("spine", "Kistler-Fischbacher 2021", "+0.031 g/cm² (0.012 to 0.049)"),
    (
        "hip",
        "Kistler-Fischbacher 2021",
        "+0.011 (0.007 to 0.015), high (4 of the groups) no effect",
    ),
    # PMC9499891: high less low intensity, p 0.373 and 0.109.
    ("spine", "Kast 2022", "0.19 (−0.23 to 0.61)"),
    ("hip", "Kast 2022", "0.17 (−0.04 to 0.38)"),
    # PMC9941565: 19 trials, 919 women.
    ("spine", "Wang 2023", "on 3 days a week better than on 2"),
    # 17 trials, 690 women, to March 2025.
    ("hip", "lifting 2025", "neck SMD 0.89 (0.40 to 1.39), total hip 0.30 (0.10 to 0.50)"),
    ("spine", "lifting 2025", "0.88 (0.21 to 1.56)"),
    # doi 10.3389/fphys.2025.1633913
    ("hip", "fphys.2025.1633913", "+0.02 (0.01 to 0.04)"),
    # PMID 28975661; erratum PMID 30861219.
    ("hip", "Watson 2018", "+0.3 % against −1.9 %"),
    ("spine", "Watson 2018", "+2.9 % against −1.2 %"),
    # PMID 30612163.
    ("spine", "Watson 2019", "−6.7 against −1.6 degrees"),
    # Two conference abstracts of one trial print two control changes.
    ("hip", "MEDEX-OP", "neck +4.9 against 0.0 %, total hip +2.2 against −0.5 %"),
    ("spine", "MEDEX-OP", "+1.9 % against −0.6 % (2021) or +0.1 % (2022)"),
    # PMC10579159: 5 trials, 530 people, very low certainty.
    ("hip", "Schumm 2023", "0.18 (−1.71 to 2.06), neck −0.03 (−1.80 to 1.75)"),
    ("spine", "Schumm 2023", "0.20 (−1.15 to 1.55)"),
    ("wrist", "Schumm 2023", "0.05 (−0.35 to 0.46)"),
    # doi 10.1007/s00198-007-0400-6: 45 women, no difference between groups, r 0.79.
    ("hip", "Young 2007", "r 0.79"),
    # archives-pmr.org S0003-9993(19)30985-2: 26 studies, 21 pooled, impact alone p 0.36.
    ("wrist", "21 of them pooled", "1.27 (0.66 to 1.88)"),
    ("wrist", "21 of them pooled", "1.12 (−1.27 to 3.50), not significant"),
    # doi 10.1055/a-2067-4323: 20 trials.
    ("hip", "Shojaa 2023", "0.67 (0.51 to 0.87)"),
    ("spine", "Shojaa 2023", "0.69 (0.52 to 0.92)"),
    # doi 10.1007/s00198-022-06592-8: 11 trials.
    ("wrist", "Hoffmann 2023", "0.75 (0.54 to 0.94)"),
]


@pytest.mark.parametrize("aim, source, printed", WITHOUT_A_PLATE)
def test_training_without_a_plate_as_printed(aim: str, source: str, printed: str) -> None:
    found = [a for a in alternatives(aim) if source in a.source and printed in a.effect]
    (one,) = found
    assert one.checked is Checked.ABSTRACT
    assert one.cited.endswith("; abstract only read")


def test_a_source_read_further_is_cited_bare() -> None:
    (one,) = (a for a in ALTERNATIVES if a.what == "tai chi")
    assert one.cited == one.source
