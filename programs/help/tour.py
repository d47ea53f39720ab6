"""The tour: three sentences a page, shown until somebody puts them away."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

#: In place of a page: all of them.
ALL_PAGES = "all"

#: By the name of the page's address; three sentences each: what it is for, what to do first,
#: what happens then.
TOUR: Mapping[str, tuple[str, str, str]] = MappingProxyType(
    {
        "programs:caseload": (
            "The Caseload lists who needs something today: a call, a signature, a review.",
            "Search for anybody, or add a patient, at the top.",
            "A list that is empty stands at the foot, so that you can see it was looked at.",
        ),
        "patients:facts": (
            "Facts holds everything known about this person, section by section.",
            "“First consult on one page” asks first for what decides; the sections ask for the "
            "rest.",
            "What was not asked stays “not recorded” and is never taken for a no.",
        ),
        "programs:consult": (
            "Only what decides is asked here; what each kind may do stands beside it.",
            "One key answers a question, “no to all” a list.",
            "All else is asked on the Facts pages.",
        ),
        "safety:screen": (
            "The Screen says what bars, limits or allows each kind of loading, and why.",
            "Look first at what is asked for: one answer often settles several findings.",
            "A clearance is written down here, with its last day; then the plan can count on it.",
        ),
        "programs:plan": (
            "The Plan shows 26 weeks, kind by kind, as a picture and as a table.",
            "“Why” beside a kind gives its reasons and sources; “Change” sets a week within its "
            "limits.",
            "None of it is used until it is signed.",
        ),
        "programs:sign": (
            "Sign shows what to check again: what differs, what has no room, what is blank.",
            "Each point has a link that mends it; then give your password again.",
            "A signed program stays as it is, and the next one takes its place.",
        ),
        "programs:handout": (
            "Papers are made from the signed program and from nothing else.",
            "Choose the paper, its language and the size of its letters.",
            "A paper that was made is kept and printed again as it was.",
        ),
        "programs:log": (
            "The Log takes what was done, from the sheet or from the patient’s own phone.",
            "Type a day as it is written on the paper; what was left blank stays unknown.",
            "A fall, pain or a warning sign holds papers back until a review.",
        ),
        "programs:review": (
            "The Review proposes a next step for each kind from the log and the new measures.",
            "Decide each of them; going further than proposed needs a reason.",
            "Keeping the review makes the next draft, which is signed like the first.",
        ),
        "programs:beside": (
            "This page holds what goes with the exercise: consent or refusal, the goal, prompts.",
            "Write a refusal down in the person’s own words, with who asked and when.",
            "It is shown on Plan and Sign, and it never changes a dose.",
        ),
        "patients:measures": (
            "Measures shows density, bone markers and function tests over time.",
            "A change counts only where it is larger than the error of measurement.",
            "The error is that of your own scanner and laboratory, once it is entered.",
        ),
        "programs:plates": (
            "Plates is the clinic’s register of vibration plates.",
            "Enter each as its maker describes it, and what was measured on it.",
            "A plan then doses by the settings that this plate really has.",
        ),
        "patients:scanners": (
            "Scanners holds each density scanner with its precision study.",
            "Enter the study of your own machine; without it, published errors are used.",
            "Two scans are compared only where they come from one scanner.",
        ),
        "programs:clinic": (
            "Clinic settings hold what appears on every paper, and the limits in force.",
            "Begin with what to set, from the top.",
            "A looser limit needs a reason, and is shown on each plan that it affects.",
        ),
        "safety:rulebook": (
            "The Rulebook lists every rule with what it reads, what it says and its source.",
            "“From memory” marks a figure that nobody has looked up yet.",
            "A change of rules comes with a release, never by itself.",
        ),
    }
)


def tour_of(page: str, away: frozenset[str]) -> tuple[str, ...]:
    """Return the sentences of a page; none where it has none or they were put away."""
    return () if away & {page, ALL_PAGES} else TOUR.get(page, ())
