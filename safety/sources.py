"""Every publication that a rule, a limit or a page rests on, once.

`checked` says that the figure was read in a public text of the publication; False means
that it is known from memory and is to be confirmed before anyone relies on it.
"""

from __future__ import annotations

from dataclasses import dataclass


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
            "Topic 819, library copy",
        ),
        _source(
            "prt",
            "Contraindications to progressive resistance training in older adults",
            "Diabetes Care, table 4, markup 27132",
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
            "J Exp Biol 2001;204:3389 (volume and page from memory), abstract",
        ),
        _source(
            "gap2013",
            "Kemmler and others, training frequency and density over 12 years",
            "2013, thieme s-0038-1630099",
        ),
    )
}


def cite(*keys: str) -> tuple[str, ...]:
    """Return the sources of these keys, each in one line."""
    return tuple(SOURCES[key].text for key in keys)
