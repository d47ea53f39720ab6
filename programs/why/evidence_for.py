"""What stands for every plan of a modality: how strong, what else, what is not known."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from safety.findings import Level, Modality

CANADA = "Osteoporosis Canada 2023 (CMAJ 195:E1333)"
NO_FRACTURE_DOSE = "No dose of it has been shown to prevent fractures."
ANY_EXERCISE = (
    "Exercise of any kind, pooled, lowered low-trauma fractures, rate ratio 0.67 (0.51 to 0.87; "
    "Shojaa 2023), with no significant difference by progression or length (Hoffmann 2023); "
    "abstracts."
)


@dataclass(frozen=True, kw_only=True)
class Said:
    """What is declared of one modality.

    strength       how strong the recommendation is, and who says so
    rule           how its dose is chosen, in plain words
    alternatives   what may be done instead, doing less first
    not_known      known limits, and who was not studied
    """

    strength: str
    rule: str
    alternatives: tuple[str, ...]
    not_known: tuple[str, ...]


SAID: Mapping[Modality, Said] = {
    Modality.PLATE: Said(
        strength="Weak: the trials disagree, and most found no gain in density; an overview of 15 "
        "reviews sees no significant advantage (Yin 2024, abstract).",
        rule="Start at the plate's gentlest setting within the start window; let one thing rise "
        "every second week; stop at the ceilings.",
        alternatives=(
            "Less: keep the start dose for all 26 weeks.",
            "Without a plate: lifting and impact load hip and spine with better evidence.",
        ),
        not_known=(
            "Most trials were small, of women after menopause, and ran 6 to 24 months.",
            "People with vertebral fracture, implants or high fall risk were mostly left out "
            "(from memory, to be confirmed).",
            NO_FRACTURE_DOSE,
        ),
    ),
    Modality.RESISTANCE: Said(
        strength=f"Conditional, low certainty for bone ({CANADA}); two sessions a week are the "
        "least that kept density over 12 years (Kemmler 2013).",
        rule="Group A, B or C by fracture and fall risk; learn the movements first; then fewer "
        "repetitions with more load, at least two weeks a stage.",
        alternatives=(
            "Less: fewer exercises or one set; two sessions a week are the last to go.",
            "Other: rising from a chair and stairs, where no equipment can be used.",
        ),
        not_known=(
            "The heavy trials were supervised, ran 8 months, and took people of about 65.",
            "Loads rest on one set lifted to fatigue; beginners lift less than they could.",
            "Which load is best: high intensity, 4 of 63 groups, did most at the spine and nothing "
            "at the femoral neck (Kistler-Fischbacher 2021); high against low, no difference (Kast "
            "2022); abstracts.",
            "What it adds to bone medicine: unclear, very low certainty (Schumm 2023); one trial "
            "gained more at the hip with both (MEDEX-OP); abstracts.",
            NO_FRACTURE_DOSE,
            ANY_EXERCISE,
        ),
    ),
    Modality.IMPACT: Said(
        strength=f"Optional beside lifting and balance, never instead ({CANADA}); UK consensus "
        "2022 for the count.",
        rule="The lowest level first; ten impacts more a week to fifty, then days, then "
        "the next level; walking alone after a vertebral fracture or several fractures.",
        alternatives=(
            "Less: stay on the first level, or walk.",
            "Without it: lifting alone; femoral neck SMD 0.27, weight-bearing work 0.37 (Kemmler "
            "2020).",
        ),
        not_known=(
            "Jumping alone did not raise density after menopause (Bassey 1998).",
            "Forces were measured in women of about 42; an older landing may be harder.",
            "Four stamps twice a day made no difference between groups of 45 women; the more of "
            "them done, the better the hip (Young 2007, abstract).",
            NO_FRACTURE_DOSE,
            ANY_EXERCISE,
        ),
    ),
    Modality.BALANCE: Said(
        strength=f"Strong, moderate certainty, with functional exercise ({CANADA}).",
        rule="75 minutes a week, 30 more each week (every second week with low function) to 120, "
        "or to 180 where the fall risk is intermediate, high or unknown; the first level "
        "by the stance tests.",
        alternatives=(
            "Less: ten minutes on each day.",
            "Other: tai chi, or a group class, counts as the same minutes.",
        ),
        not_known=(
            "It lowers falls; it does not raise density.",
            "Most trials were of older people living at home (from memory, to be confirmed).",
        ),
    ),
    Modality.POSTURE: Said(
        strength="Expert consensus; one small trial with a long follow-up (Sinaki 2002).",
        rule="Five minutes a day, a minute more every second week to ten where the days have room; "
        "what it gives up it does not take back. Back endurance and the hip hinge first.",
        alternatives=(
            "Less: two days a week.",
            "Other: a physiotherapist’s own program, above all after a vertebral fracture.",
        ),
        not_known=(
            "One trial of two years; 8 years later 1.6 against 4.3 % of vertebrae had fractured.",
            "No trial compared amounts of it.",
        ),
    ),
}

STRENGTH_OF_LEVEL: Mapping[Level, str] = {
    Level.CONTRAINDICATED: "A bar: nothing lifts it while it lasts.",
    Level.NEEDS_CLEARANCE: "A bar until somebody named clears it.",
    Level.MISSING: "A question: it counts against the program until it is answered.",
    Level.PRECAUTION: "A caution: the dose is lower, the work goes on.",
    Level.REFER: "A referral.",
}
EYE_LIFTS = "A bar; only clearance by an ophthalmologist lifts it."
ALTERNATIVES_OF_LEVEL: Mapping[Level, tuple[str, ...]] = {
    Level.CONTRAINDICATED: (
        "Less: leave it out, and give its minutes to what is not barred.",
        "Later: look again when what bars it has passed.",
    ),
    Level.NEEDS_CLEARANCE: (
        "Less: leave it out; nobody then has to be asked.",
        "Ask the doctor who treats it, and record the answer with name and last day.",
    ),
    Level.MISSING: ("Less: go on without what waits for it.", "Ask or measure it now."),
    Level.PRECAUTION: (
        "Less: leave it out until the next review.",
        "More: a review with no trouble may lift it, where the rule says so.",
    ),
    Level.REFER: ("Less: no program until the referral is answered.",),
}
RULE_NOT_KNOWN = (
    "Rules of this kind come from lists, consensus and whom trials left out; few were tested."
)
