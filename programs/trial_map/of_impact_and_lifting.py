"""Trials of impacts and of lifting on the map, with the load of one leg or of one lift."""

from __future__ import annotations

from collections.abc import Mapping

from programs.plates.evidence.trial import Checked, Direction
from programs.trial_map.published import Found, Published, Span

_GAIN, _NONE, _MIXED = Direction.BETTER, Direction.NO_DIFFERENCE, Direction.MIXED
_FIVES = "5 sets of 5 of each lift, twice a week for 35 weeks"
_FIVES_COUNT = 25 * 2 * 35
_HALF = "half of the two-foot landing is taken for one leg"


def _found(**by_site: tuple[Direction, str]) -> Mapping[str, Found]:
    return {
        site: Found(direction=direction, effect=effect)
        for site, (direction, effect) in by_site.items()
    }


def _of(load: tuple[float, float], count: tuple[float, float]) -> Span:
    return Span(low=load[0] * count[0], high=load[1] * count[1])


#: Force on one leg, in body weights, times the landings of that leg over the whole trial.
IMPACTS = (
    Published(
        key="bassey_1998_before",
        citation="Bassey 1998, before menopause",
        source="Bassey 1998, PMID 9844097",
        known=Checked.ABSTRACT,
        who="women before menopause",
        people=None,
        did="50 small jumps on 6 days a week, 3.0 body weights on both feet",
        months=5,
        by_site=_found(hip=(_GAIN, "femur +2.8 %")),
        amount=_of((1.5, 1.5), (50 * 6 * 22, 50 * 6 * 22)),
        note=f"{_HALF}.",
    ),
    Published(
        key="bassey_1998_after",
        citation="Bassey 1998, after menopause",
        source="Bassey 1998, PMID 9844097",
        known=Checked.ABSTRACT,
        who="women after menopause",
        people=None,
        did="50 small jumps on 6 days a week, 4.0 body weights on both feet, for 12 to 18 months",
        months=18,
        by_site=_found(hip=(_NONE, "no gain at 12 to 18 months")),
        amount=_of((2, 2), (50 * 6 * 52, 50 * 6 * 78)),
        note=f"{_HALF}. Its attendance was 91 %.",
    ),
    Published(
        key="hops_2013",
        citation="Hopping trial 2013",
        source="PMID 23291565; force of other people, PMID 23439490",
        known=Checked.ABSTRACT,
        who="men of about 70, one leg trained",
        people=50,
        did="50 hops a day on one leg in several directions; 304 of 336 days done",
        months=12,
        by_site=_found(hip=(_GAIN, "femoral neck +0.7 % against −0.9 % in the other leg")),
        amount=_of((2.61, 2.61), (50 * 304, 50 * 336)),
        note="The force is that of a forward hop in college women. Its authors advise against "
        "hopping in osteoporosis; 14 of 50 stopped.",
    ),
    Published(
        key="young_2007",
        citation="Young 2007, Osteoporos Int 18:1379",
        source="Young 2007, Osteoporos Int 18:1379",
        known=Checked.ABSTRACT,
        who="women after menopause",
        people=45,
        did="four foot stamps twice a day",
        months=None,
        by_site=_found(hip=(_NONE, "no difference between groups; the more were done, the better")),
        lacks="its force and its length",
    ),
    Published(
        key="winters_2000",
        citation="Winters and Snow 2000",
        source="Winters and Snow 2000, summary",
        known=Checked.SECOND_HAND,
        who="women before menopause",
        people=None,
        did="100 jumps and 100 repetitions of lifts, 3 a week, with a vest to 10 to 13 % of weight",
        months=None,
        by_site=_found(hip=(_GAIN, "a gain, lost in 6 months without it")),
        lacks="its force and its length",
    ),
    Published(
        key="jumps_twice_a_day",
        citation="Thesis on jumps twice a day",
        source="scholarsarchive.byu.edu/etd/667",
        known=Checked.CHECKED,
        who="women before menopause",
        people=None,
        did="10 or 20 jumps twice a day, 30 s of rest after each, for 16 weeks",
        months=4,
        by_site=_found(hip=(_GAIN, "hip kept while the others lost; 10 did as much as 20")),
        lacks="its force",
    ),
)

#: Share of the one-repetition maximum times the repetitions of one lift over the whole trial.
LIFTING = (
    Published(
        key="watson_2018",
        citation="Watson 2018, J Bone Miner Res 33:211",
        source="Watson 2018, J Bone Miner Res 33:211; erratum 34:572 not read",
        known=Checked.ABSTRACT,
        who="women of about 65 with low bone mass",
        people=101,
        did=f"{_FIVES}, over 85 % of the maximum, with drop landings, supervised",
        months=8,
        by_site=_found(
            hip=(_GAIN, "femoral neck +0.3 % against −1.9 %"),
            spine=(_GAIN, "lumbar spine +2.9 % against −1.2 %"),
        ),
        amount=_of((0.85, 1), (_FIVES_COUNT, _FIVES_COUNT)),
        note="Impacts were part of it; the others trained gently at home. The first month was "
        "lighter (from memory).",
    ),
    Published(
        key="watson_2015",
        citation="Watson 2015, Osteoporos Int, pilot",
        source="Watson 2015, doi 10.1007/s00198-015-3263-2",
        known=Checked.ABSTRACT,
        who="women after menopause with low bone mass",
        people=28,
        did=f"{_FIVES}, over 85 % of the maximum, with drop landings, supervised",
        months=8,
        by_site=_found(
            hip=(_GAIN, "femoral neck +0.3 % against −2.5 %"),
            spine=(_GAIN, "lumbar spine +1.6 % against −1.7 %"),
        ),
        amount=_of((0.85, 1), (_FIVES_COUNT, _FIVES_COUNT)),
    ),
    Published(
        key="harding_2020",
        citation="Harding 2020, J Bone Miner Res",
        source="Harding 2020, doi 10.1002/jbmr.4008",
        known=Checked.ABSTRACT,
        who="men of about 67 with low bone mass",
        people=93,
        did="heavy lifting with impact, twice a week",
        months=8,
        by_site=_found(
            hip=(_GAIN, "trochanter +2.8 % against −0.1 %"),
            spine=(_GAIN, "lumbar spine +4.1 % against +0.9 %"),
        ),
        lacks="its sets and loads",
    ),
    Published(
        key="medex_2022",
        citation="MEDEX-OP 2022",
        source="MEDEX-OP, conference abstracts of 2021 and 2022",
        known=Checked.ABSTRACT,
        who="women, some on bone medicine",
        people=115,
        did=f"{_FIVES}, over 80 % of the maximum, with impact",
        months=8,
        by_site=_found(spine=(_GAIN, "lumbar spine +1.9 % against +0.1 %")),
        amount=_of((0.8, 1), (_FIVES_COUNT, _FIVES_COUNT)),
    ),
    Published(
        key="kerr_1996_heavy",
        citation="Kerr 1996, heavy arm",
        source="Kerr 1996, J Bone Miner Res 11:218",
        known=Checked.CHECKED,
        who="women after menopause, one side trained",
        people=56,
        did="3 sets of what could be lifted 8 times; 3 a week from memory",
        months=12,
        by_site=_found(hip=(_GAIN, "trochanter +1.7 % against −0.6 % on the other side")),
        amount=_of((0.8, 0.86), (24 * 3 * 52, 24 * 3 * 52)),
    ),
    Published(
        key="kerr_1996_light",
        citation="Kerr 1996, light arm",
        source="Kerr 1996, J Bone Miner Res 11:218",
        known=Checked.CHECKED,
        who="women after menopause, one side trained",
        people=56,
        did="3 sets of what could be lifted 20 times; 3 a week from memory",
        months=12,
        by_site=_found(hip=(_NONE, "no gain at the hip; strength rose as in the heavy arm")),
        amount=_of((0.6, 0.67), (60 * 3 * 52, 60 * 3 * 52)),
    ),
    Published(
        key="kerr_2001",
        citation="Kerr 2001, J Bone Miner Res 16:175",
        source="Kerr 2001, PMID 11149482",
        known=Checked.ABSTRACT,
        who="women after menopause",
        people=126,
        did="3 sets of 9 exercises, 3 a week, with rising load",
        months=24,
        by_site=_found(
            hip=(_GAIN, "total hip +0.9 %"), spine=(_NONE, "no difference at the spine")
        ),
        lacks="its repetitions and loads",
        note="The others did a circuit with hardly any load.",
    ),
    Published(
        key="verschueren_2004_lifting",
        citation="Verschueren 2004, lifting arm",
        source="Verschueren 2004, J Bone Miner Res 19:352, doi 10.1359/JBMR.0301245",
        known=Checked.MEMORY,
        who="women of 58 to 74",
        people=70,
        did="leg press and extension, from 20 to 8 times to lift, 3 a week for 24 weeks",
        months=6,
        by_site=_found(hip=(_NONE, "total hip −0.60 %, control −0.62 %")),
        lacks="its sets",
    ),
    Published(
        key="von_stengel_2007",
        citation="von Stengel 2007, Br J Sports Med 41:649",
        source="von Stengel 2007, PMC2465172",
        known=Checked.CHECKED,
        who="trained women after menopause, fast against slow lifting",
        people=None,
        did="2 to 4 sets of 4 to 12 at 70 to 92.5 % of the maximum, twice a week",
        months=24,
        by_site=_found(spine=(_MIXED, "lumbar spine −0.3 % lifting fast, −2.4 % slowly")),
        amount=_of((0.7, 0.925), (2 * 4 * 2 * 104, 4 * 12 * 2 * 104)),
    ),
)
