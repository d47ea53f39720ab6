"""What rulebook 2027.1 changed against 2026.2 and for whom: a line for each row of the rulebook.

Numbers come from where the draft reads them, so that the note and the draft cannot disagree.
"""

from __future__ import annotations

from dataclasses import dataclass

from patients.facts.codes import CONDITIONS
from patients.facts.newly_asked import NEW_CONDITIONS
from programs.dose.balance import MOST_RUNG_UNWATCHED
from programs.dose.could_lift import percent_of
from programs.dose.impact import LIMITS as IMPACT
from programs.dose.plate_limits import FRAGILE_G
from programs.dose.resistance import LIMITS as LIFTING
from programs.draft.person import FULL_MONTHS, OLDER_MONTHS, OLDER_SHARE
from programs.draft.standings import LITTLE_BALANCE_MIN
from programs.review.against_rulebook import IN_FORCE_WEEKS
from safety.findings import WALKING_BW
from safety.situation import FRAGILE_AGE


@dataclass(frozen=True, kw_only=True)
class Change:
    """One row of the rulebook: what changed, and whom it concerns. For a clinician."""

    row: str
    what: str
    whom: str


_LIGHT, _HEAVY = 25, 11
CHANGES = (
    Change(
        row="0",
        what="Each test is read by itself, its newest result; an old normal result is as never "
        "measured, an old abnormal one still counts. A date may be a year or a month.",
        whom="Everybody with tests, scans or undated fractures.",
    ),
    Change(
        row="2, 2a, 2b",
        what="Treatment that blocks sex hormones raises the risk; denosumab that ran out asks for "
        "an image of the spine; until then the spine is spared.",
        whom="Men and women under such treatment; anybody who had denosumab.",
    ),
    Change(
        row="3",
        what="A frame indoors, or two medicines that make drowsy, raise the risk of falling; a "
        "bruise alone is no injury.",
        whom="Anybody with falls, a frame, or several such medicines.",
    ),
    Change(
        row="3a",
        what="Low function: balance first, form before load, impact no higher than walking until "
        "a re-test no longer shows it.",
        whom="Anybody slow at rising, walking or the short battery, or untested at 75 and over.",
    ),
    Change(
        row="3b",
        what="A seated program, with exercises of its own; no plate, impact or standing work. "
        "With a frame: hands on support.",
        whom="Anybody in a wheelchair or bed, or with a frame.",
    ),
    Change(
        row="4, 5b",
        what="What is allowed after a fracture goes by the bone; an arm is out of lifting until "
        "it has healed; an atypical fracture of the thigh is asked about.",
        whom="Anybody with a fracture of the last year.",
    ),
    Change(
        row="5, 5a",
        what="The spine is spared in lifting and in posture alike: no bending under load, no "
        "twisting, no press overhead, no chest lift lying on the front.",
        whom="Vertebral or several fractures, very high risk, an image of the spine owed.",
    ),
    Change(
        row="6, 6a",
        what="Low pressure is a precaution too; nothing is drafted under 18.",
        whom="Systolic 90 or lower; children and young people.",
    ),
    Change(
        row="7 to 10",
        what=f"Newly asked: {'; '.join(CONDITIONS[code] for code in NEW_CONDITIONS)}.",
        whom="Everybody; one page asks all of it.",
    ),
    Change(
        row="7 to 10",
        what="A cleared modality is dosed as a precaution unless the clearance says that no limit "
        "is needed; an eye doctor is told by a tick.",
        whom="Anybody with a clearance.",
    ),
    Change(
        row="11a",
        what="Kind of bone medicine, since when, last dose: denosumab more than seven months old "
        "is a referral the same week.",
        whom="Anybody on a medicine for bone, or at high risk without one.",
    ),
    Change(
        row="12a, 14",
        what=f"Each session on the plate is watched, and its peak is {FRAGILE_G.value:g} g at "
        "most until reviews lift it, a step each; the watching is never lifted.",
        whom=f"High fall risk, low function, vertebral fracture, very high risk, {FRAGILE_AGE} "
        "and over.",
    ),
    Change(
        row="17",
        what="Fit and ramp go by what a telephone or a logger measured on a plate, per setting and "
        "near her weight, and ceilings hold for the upper end. Her paper names what the panel must "
        "show. A plate that stood on her list before is to be put there anew.",
        whom="Anybody whose plate is in the register of the clinic and was measured.",
    ),
    Change(
        row="19a",
        what="One dose, one load: a weight is told by how often it could be lifted. "
        f"{_HEAVY} times is {percent_of(_HEAVY)} %, {_LIGHT} times about {percent_of(_LIGHT)} %. "
        "Older papers could tell far more than the percent beside them.",
        whom="Everybody who lifts.",
    ),
    Change(
        row="19, 19b",
        what=f"Lifting of group C stays at {LIFTING['percent_1rm.C'].value:g} % or less.",
        whom="High fall risk, low function, very high risk, a vertebral fracture.",
    ),
    Change(
        row="19d",
        what=f"A set to fatigue counts in full for {FULL_MONTHS} months, at "
        f"{100 * OLDER_SHARE:g} % to {OLDER_MONTHS}; older or undated: no kilograms, found again.",
        whom="Everybody with a tested lift.",
    ),
    Change(
        row="20",
        what=f"Impact has two forces, of one leg and of the whole body. Group B to "
        f"{IMPACT['peak_bw.B'].value:g} times body weight; group C walks, to {WALKING_BW:g}.",
        whom="Everybody with impact.",
    ),
    Change(
        row="21",
        what="The first level of balance follows the stance tests. At high fall risk each exercise "
        f"is near support, and level {MOST_RUNG_UNWATCHED} is the highest unless watched.",
        whom="Everybody; fallers most.",
    ),
    Change(
        row="22a",
        what="Of plate, lifting and impact at most two rise in one week.",
        whom="Everybody with all three.",
    ),
    Change(
        row="22b",
        what="A modality leaves the weeks after the last day of its clearance; papers say so.",
        whom="Anybody with a clearance that ends within the program.",
    ),
    Change(
        row="24",
        what="Balance has half of her minutes first; no lower rank takes a minute from a higher. "
        f"Less than {LITTLE_BALANCE_MIN} minutes a week is said to be too little.",
        whom="High fall risk, low function, fewer falls as first aim.",
    ),
    Change(
        row="28",
        what="The chance that a scan shows a gain stands where its month stood. "
        "At usual errors, 1 % lost a year: heavy lifting, spine 25 % (was month 15), neck 6 % "
        "(185); combined exercise, spine 13 % (20); plate, hip 6 % (33).",
        whom="Everybody who is scanned; no dose changes.",
    ),
    Change(
        row="29a",
        what=f"A program runs 26 weeks and may go on at its last dose to week {IN_FORCE_WEEKS}.",
        whom="Everybody.",
    ),
)
