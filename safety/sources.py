"""Every publication that a rule, a limit or a page rests on, once.

`checked` says that the figure was read in a public text of the publication; False means
that it is known from memory and is to be confirmed before anyone relies on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache


@dataclass(frozen=True, kw_only=True)
class Source:
    """One publication, or the plain word that there is none."""

    key: str
    title: str
    where: str
    checked: bool

    @property
    def text(self) -> str:
        """Return it in one line, with the word for what was not read."""
        place = f" {self.where}." if self.where else ""
        return f"{self.title}.{place}" + ("" if self.checked else " From memory, to be confirmed.")


def _source(key: str, title: str, where: str = "", *, checked: bool = True) -> Source:
    return Source(key=key, title=title, where=where, checked=checked)


SOURCES = {
    source.key: source
    for source in (
        _source("common", "Common practice"),
        _source("project", "Project choice, for the clinic to confirm"),
        _source(
            "who",
            "World Health Organization criteria for osteoporosis by T-score",
            "As given in a clinical criteria page",
        ),
        _source(
            "iscd",
            "International Society for Clinical Densitometry, adult official positions",
            "Summary of the positions; Leslie 2006, PMID 16731428",
        ),
        _source(
            "iscd_vfa",
            "International Society for Clinical Densitometry, vertebral fracture assessment 2007",
            "PMC2787277, table T3",
        ),
        _source(
            "bhof2022",
            "LeBoff and others, clinician's guide to prevention and treatment of osteoporosis",
            "Osteoporos Int 2022, doi 10.1007/s00198-021-05900-y",
            checked=False,
        ),
        _source(
            "acr2022",
            "American College of Rheumatology guideline on glucocorticoid osteoporosis, 2022",
            "Risk tiers as given in a clinical criteria page",
        ),
        _source(
            "aace2020",
            "American Association of Clinical Endocrinologists, postmenopausal osteoporosis 2020",
            "Guideline summary; exact list of very high risk",
            checked=False,
        ),
        _source(
            "treatment_line",
            "Common treatment line: hip 3 % or major fracture 20 % in ten years",
            "Public guideline summaries",
        ),
        _source(
            "imminent",
            "Risk of a further fracture in Swedish women of 50 and over: 7.1 % at 12 months",
            "PMC6422949",
        ),
        _source(
            "espen2014",
            "Deutz and others, protein intake and exercise with ageing: ESPEN expert group",
            "Clin Nutr 2014; 33: 929, doi 10.1016/j.clnu.2014.04.007",
        ),
        _source(
            "iom2011",
            "Institute of Medicine, dietary reference intakes for calcium and vitamin D, 2011",
            "Tables of the allowances as several public pages give them",
        ),
        _source(
            "canada2023",
            "Morin and others, osteoporosis and fracture prevention in Canada, 2023 update",
            "CMAJ 2023, PMC10610956",
            checked=False,
        ),
        _source(
            "wfg2022",
            "World guidelines for falls prevention and management for older adults",
            "Age Ageing 2022, doi 10.1093/ageing/afac205; severe fall, PMC9523684",
        ),
        _source(
            "steadi",
            "Fall risk screening of the US Centers for Disease Control and Prevention",
            "Up-and-go form, chair stand and four-stage balance tables",
        ),
        _source(
            "uk2022",
            "Brooke-Wavell and others, Strong, steady and straight: UK consensus on exercise",
            "Br J Sports Med 2022;56:837, doi 10.1136/bjsports-2021-104634",
        ),
        _source(
            "toofit2014",
            "Giangregorio and others, Too Fit To Fracture: exercise recommendations",
            "Osteoporos Int 2014;25:821, doi 10.1007/s00198-013-2523-2; PMC5101068, table T4",
        ),
        _source(
            "bp819",
            "Clinical reference on osteoporotic spinal compression fracture",
            "BMJ Best Practice, topic 819",
        ),
        _source(
            "prt",
            "Contraindications to progressive resistance training in older adults",
            "Diabetes Care, table 4 (Fiatarone Singh)",
        ),
        _source("rt_bp", "Contraindications to resistance training, table 1", "PMC10959113"),
        _source(
            "acsm_box",
            "American College of Sports Medicine, contraindications to exercise testing",
            "Box 3.5, copy of the 9th edition",
        ),
        _source(
            "vibration_lists",
            "Seven public lists of reasons not to use a vibration plate",
            "Low authority; several copy one another",
        ),
        _source(
            "vibration_harms",
            "Reported harms of plates: retinal tear, vitreous bleeding, positional vertigo",
            "Amir 2010, PMID 20003605; Riley and Rittweger 2020, doi 10.1007/978-3-030-43985-9_4",
        ),
        _source(
            "trial_exclusions",
            "Exclusions common in trials of vibration plates",
            checked=False,
        ),
        _source(
            "joint_surgeons",
            "Surgeons' advice on sport after hip or knee replacement",
            "Eur Rev Aging Phys Act, s11556-022-00285-1, table 1",
        ),
        _source(
            "knee_oa",
            "Multanen and others, high-impact training in mild knee osteoarthritis",
            "2014 and 2015, news summaries",
        ),
        _source(
            "pelvic_floor",
            "Bo and Nygaard, physical activity and the female pelvic floor",
            "Sports Med 2020, s40279-019-01243-1",
        ),
        _source(
            "red_flags",
            "Red flags of back pain: a regional care pathway and a national evidence table",
            "NBK52120, table A34364",
        ),
        _source("red_flags_m", "Red flags before exercise, general", checked=False),
        _source(
            "kiiski2008",
            "Kiiski and others, transmissibility of vertical whole-body vibration",
            "J Bone Miner Res 2008;23:1318, doi 10.1359/jbmr.080315",
        ),
        _source(
            "pavos",
            "Jepsen and others, vibration with teriparatide in severe osteoporosis",
            "Osteoporos Int 2019, PMID 31309239",
        ),
        _source(
            "pain",
            "Pain guides of public musculoskeletal services, 0 to 10",
            "Clinic pages that agree on 0-3, 4-5 and 6-10",
        ),
        _source(
            "kelley2013",
            "Kelley and others, 36 bone trials pooled: 76.3 % of sessions done, 20.9 % dropped out",
            "J Osteoporos 2013;250423",
        ),
        _source(
            "detraining",
            "Bone gained by exercise is lost again without it",
            "Dalsky and others 1988; Winters and Snow",
        ),
        _source(
            "nhs_retention",
            "NHS Records Management Code of Practice: most health records are kept 8 years after "
            "the last treatment",
            "As given on a page for patients in England",
        ),
        _source(
            "us_retention",
            "Rules of the states of the USA on patient records, often 7 to 10 years; the federal "
            "privacy rule sets no time",
            "As given in a summary",
        ),
        _source(
            "orthostatic",
            "Orthostatic fall in pressure: 20 systolic or 10 diastolic within 3 minutes",
            "As given in a clinical summary",
        ),
        _source(
            "turner2003",
            "Turner and Robling, designing exercise regimens to increase bone strength",
            "Exerc Sport Sci Rev 2003;31:45; two sessions a day, 6 hours",
            checked=False,
        ),
        _source(
            "robling2001",
            "Robling and others, recovery periods restore mechanosensitivity to loaded bone (rats)",
            "J Exp Biol 2001;204:3389, abstract",
        ),
        _source(
            "rubin2003",
            "Rubin and others, transmission of vertical vibration to hip and spine",
            "Spine 2003;28:2621",
        ),
        _source(
            "gusi2006",
            "Gusi and others, side-alternating vibration and walking after menopause",
            "BMC Musculoskelet Disord 2006;7:92",
        ),
        _source(
            "von_stengel2011",
            "von Stengel and others, vertical and side-alternating plates in older women",
            "Med Sci Sports Exerc 2011;43(6)",
        ),
        _source(
            "cheung2007",
            "Cheung and others, side-alternating vibration and balance of older women",
            "Arch Phys Med Rehabil 2007;88:852",
        ),
        _source(
            "verschueren2004",
            "Verschueren and others, hip density and strength after menopause on a plate",
            "J Bone Miner Res 2004;19:352",
            checked=False,
        ),
        _source(
            "camacho2019",
            "Camacho-Cardenosa and others, vibration in older adults",
            "Front Physiol 2019;10:1122",
        ),
        _source(
            "leung2014",
            "Leung and others, low-magnitude vibration and falls in older women",
            "Osteoporos Int 2014;25:1785",
        ),
        _source(
            "kiel2015",
            "Kiel and others, low-magnitude vibration in older adults",
            "J Bone Miner Res 2015;30:1319",
        ),
        _source(
            "lai2013",
            "Lai and others, vertical vibration and spine density after menopause",
            "Clin Interv Aging 2013;8:1603",
        ),
        _source(
            "kemmler2006",
            "Kemmler and others, one-repetition maximum of trained women after menopause",
            "J Strength Cond Res 2006;20:838",
        ),
        _source("epley", "Epley's equation, as public code prints it"),
        _source("brzycki", "Brzycki's equation, as public code prints it"),
        _source("brzycki_linear", "Brzycki's equation, decimal form"),
        _source("lander", "Lander's equation, as public code prints it"),
        _source("lombardi", "Lombardi's equation, as public code prints it"),
        _source("o_conner", "O'Conner's equation, as public code prints it"),
        _source("mayhew", "Mayhew's equation, as public code prints it"),
        _source("wathan", "Wathan's equation, as a public page prints it"),
        _source(
            "older2024",
            "One-repetition maximum of trained older adults, an equation a lift",
            "Sports 2024;12:233",
        ),
        _source(
            "knutzen1999",
            "Knutzen and others, six older one-repetition equations",
            "J Strength Cond Res 1999",
        ),
        _source(
            "gap2013",
            "Kemmler and others, training frequency and density over 12 years",
            "2013, thieme s-0038-1630099",
        ),
        _source(
            "ewgsop2",
            "Revised European consensus on sarcopenia (EWGSOP2)",
            "Age Ageing 2019",
            checked=False,
        ),
        _source(
            "denosumab_rebound",
            "Vertebral fractures after denosumab was stopped; European position statement",
            checked=False,
        ),
        _source(
            "hormone_blocking",
            "Bone loss under aromatase inhibitors and androgen deprivation",
            checked=False,
        ),
        _source(
            "atypical_femur",
            "Atypical fractures of the femur, task force of the bone research society",
            checked=False,
        ),
        _source(
            "low_energy",
            "Consensus on low energy availability in athletes",
            checked=False,
        ),
        _source(
            "head_injury",
            "Guidance on head injury in people on blood thinners",
            checked=False,
        ),
        _source(
            "dcb0129",
            "DCB0129 (England), clinical risk management: words for severity, five by five matrix",
            "As given on a vendor's page (skillmds.dev, dcb0129-hazard-log)",
        ),
    )
}


@cache
def cite(*keys: str) -> tuple[str, ...]:
    """Return the sources of these keys, each in one line."""
    return tuple(SOURCES[key].text for key in keys)
