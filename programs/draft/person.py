"""What the screen of one person comes to for her draft: group, caps, floors, exercises."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from patients.facts.ages import add_months
from patients.facts.declared import Facts, Lift, Resources
from programs.dose import balance, impact, resistance
from programs.dose import posture as posture_dose
from programs.dose.could_lift import floor_of, one_rm_kg
from programs.dose.impact import Asked, Most
from programs.dose.in_force import AS_PUBLISHED, Clinic
from programs.dose.plate_limits import FRAGILE_G
from programs.dose.resistance import Stage
from programs.draft.order_of_value import DEFAULT_AIM
from programs.draft.resume import FRAGILE_CAP, MOST_CAP_G, Resume
from programs.exercises import (
    BALANCE_RUNGS,
    SPARE_SPINE_BARS,
    Exercise,
    balance_rung,
    choose_lifts,
    posture_set,
)
from safety.findings import WALKING_BW, Modality
from safety.fracture_history import vertebral
from safety.screen import Screen
from safety.situation import VERY_LOW_T, TrainingPosture


def group(screen: Screen) -> str:
    """Return the group A, B or C that lifting and impact are drafted by (rulebook row 19)."""
    return resistance.group_of(screen.situation, screen.limits(Modality.RESISTANCE))


def is_overseen(screen: Screen) -> bool:
    """Tell whether trained staff oversee the sessions."""
    resources = screen.situation.facts.resources
    return bool(resources and resources.supervised)


def experience(screen: Screen, of: str) -> str | None:
    """Return none, some or regular of lifting or impact; None where it was not recorded."""
    held = screen.situation.facts.experience
    found: str | None = getattr(held, of) if held else None
    return found


def is_steady(screen: Screen) -> bool:
    """Tell whether fall risk is low and function normal."""
    s = screen.situation
    return s.fall_risk.drafted_as == "low" and s.function_level == "no"


def lifting_stages(screen: Screen, group: str) -> tuple[Stage, ...]:
    """Return the stages of her lifting ramp (rulebook rows 19 and 19b)."""
    return resistance.stages(
        group,
        overseen=is_overseen(screen),
        experience=experience(screen, "resistance"),
        steady=is_steady(screen),
    )


def least_could_lift(screen: Screen, group: str, clinic: Clinic = AS_PUBLISHED) -> int:
    """Return the floor of could-lift: of her findings, and of the clinic's own ceiling."""
    own = resistance.top_percent(group, supervised=is_overseen(screen))
    floor = screen.limits(Modality.RESISTANCE).least_could_lift or 0
    return max(floor, floor_of(clinic.value(own)))


def equipment(screen: Screen) -> frozenset[str]:
    """Return what she has; nothing where it was not recorded."""
    resources = screen.situation.facts.resources or Resources()
    return frozenset(resources.equipment or ())


def no_jumps(screen: Screen) -> bool:
    """Tell whether a finding holds impact to 2 body weights or less."""
    most = screen.limits(Modality.IMPACT).impact_bw
    return most is not None and most <= NO_JUMPS_BW


def impact_cap_bw(screen: Screen, group: str, clinic: Clinic = AS_PUBLISHED) -> float:
    """Return the greatest peak force of an impact for her, in body weights."""
    risk = screen.situation.fall_risk.drafted_as
    return impact.cap_bw(group, risk, screen.limits(Modality.IMPACT), clinic)


def reasoned_cap_bw(screen: Screen, group: str, clinic: Clinic = AS_PUBLISHED) -> float:
    """Return the greatest peak force that a written reason may take her to, in body weights.

    Group C past walking only where function is known to be normal; a vertebral fracture or
    several fractures hold it by findings of their own (rulebook row 20).
    """
    cap = impact_cap_bw(screen, group, clinic)
    if group != "C" or screen.situation.function_level != "no":
        return cap
    own = screen.limits(Modality.IMPACT).impact_bw
    return max(cap, min(impact.REASONED_C_BW, own or impact.REASONED_C_BW))


def impact_asked(
    screen: Screen,
    group: str,
    days: int,
    clinic: Clinic,
    changed: frozenset[str] = frozenset(),
) -> Asked:
    """Return what her impact ramp depends on. changed: what gives place to others."""
    return Asked(
        group=group,
        aim=(screen.situation.facts.aims or (DEFAULT_AIM,))[0],
        cap=impact_cap_bw(screen, group, clinic),
        days=days,
        experience=experience(screen, "impact"),
        equipment=equipment(screen),
        barred=frozenset({"jump"}) if no_jumps(screen) else frozenset(),
        changed=changed,
        most=_most(clinic),
    )


def _most(clinic: Clinic) -> Most:
    """Return the most of a ramp; the days follow the ramp where the clinic has set none."""
    days = impact.LIMITS["sessions"]
    own = clinic.whole(days)
    return Most(
        impacts=clinic.whole(impact.LIMITS["impacts"]),
        days=None if own == days.value else own,
        walk_min=clinic.whole(impact.LIMITS["minutes"]),
    )


def walking_only(asked: Asked) -> Asked:
    """Return the same without counted impacts: for weeks in which lifting is not there."""
    return replace(asked, cap=min(asked.cap, WALKING_BW))


def plate_cap_g(screen: Screen, resume: Resume, clinic: Clinic = AS_PUBLISHED) -> float | None:
    """Return what the plate is held to, in g (rulebook row 14); None where it is not."""
    if not screen.situation.fragile:
        return None
    lifted_to = None if FRAGILE_CAP in resume.lifted else resume.plate_cap_g
    if lifted_to is None:
        return MOST_CAP_G if cap_stays(screen) else None
    return clinic.value(FRAGILE_G) if lifted_to <= FRAGILE_G.value else lifted_to


def cap_stays(screen: Screen) -> bool:
    """Tell whether no review lifts the cap above 2 g (rulebook row 14)."""
    s = screen.situation
    score = s.density.score if s.density.by == "t" else None
    return bool(vertebral(s.fractures)) or (score is not None and score <= VERY_LOW_T)


def balance_has_half(screen: Screen) -> bool:
    """Tell whether balance has half of her minutes before anything else (rulebook row 24)."""
    s = screen.situation
    aims = s.facts.aims or (DEFAULT_AIM,)
    return s.fall_risk.drafted_as == "high" or s.function_is_low or aims[0] == "falls"


def near_support(screen: Screen) -> bool:
    """Tell whether each balance exercise is done within a hand's reach of support."""
    risk = screen.situation.fall_risk.drafted_as
    return screen.limits(Modality.BALANCE).near_support or risk == "high"


def first_rung(screen: Screen) -> int:
    """Return the rung of balance that the stance tests open (rulebook row 21)."""
    read = screen.situation.tests.read
    return balance.first_rung({one: getattr(read, one) for one in balance.STANCES})


def balance_rungs(screen: Screen, places: int, first: int | None = None) -> tuple[int | None, ...]:
    """Return the rung of each place; none in a seated program (rulebook row 21).

    first   where reviews have set it; None: as the tests open it
    """
    s = screen.situation
    if s.seated:
        return (None,) * places
    return balance.rungs(
        first_rung(screen) if first is None else first,
        rises=s.fall_risk.drafted_as == "low",
        near_support=near_support(screen),
        most=most_rung(screen),
        places=places,
    )


def most_rung(screen: Screen) -> int:
    """Return the highest rung: of a faller whom nobody watches the fourth (rulebook row 21)."""
    s = screen.situation
    held_low = s.fall_risk.drafted_as == "high" and s.company is not True
    return balance.MOST_RUNG_UNWATCHED if held_low else BALANCE_RUNGS


def balance_exercises(screen: Screen, rung: int | None) -> tuple[Exercise, ...]:
    """Return the balance exercises of a rung, or those done sitting."""
    return balance_rung(rung, barred(screen), seated=screen.situation.seated)


def barred(screen: Screen) -> frozenset[str]:
    """Return the movements that her findings bar; from the floor only under trained eyes."""
    lifting, posture = (screen.limits(m) for m in (Modality.RESISTANCE, Modality.POSTURE))
    s = screen.situation
    # What spares the spine spares it in lifting and posture alike (row 5a).
    spared = lifting.spare_spine or posture.spare_spine or lifting.group_c
    used = experience(screen, "resistance") == "regular" and not s.fragile
    rules = (
        (spared, SPARE_SPINE_BARS),
        (not is_overseen(screen), {"floor_lift"}),
        (not (is_overseen(screen) or used), {"barbell"}),
        (no_jumps(screen), {"jump"}),
        (lifting.no_arms, {"arms"}),
        (lifting.no_arching or posture.no_arching, {"arching"}),
        (lifting.no_toe_stands, {"toe_stand"}),
        (screen.limits(Modality.BALANCE).hands_on_support, {"unsupported"}),
        (s.fall_risk.drafted_as == "high", FALLER_BARS),
        (s.seated, {"standing"}),
        (s.training_posture is TrainingPosture.LYING, {"sitting"}),
    )
    return frozenset(bar for holds, bars in rules if holds for bar in bars)


def lifts(
    screen: Screen, count: int, changed: frozenset[str] = frozenset()
) -> tuple[Exercise, ...]:
    """Return the lifts for her aims, equipment and bars, most valuable first.

    changed   what gives place to others of its region, where they are as good
    """
    return choose_lifts(
        equipment(screen),
        barred(screen),
        screen.situation.facts.aims or (),
        count,
        tested=frozenset(one_rms(screen)),
        weak_stands=_has_weak_stands(screen),
        changed=changed,
    )


def _has_weak_stands(screen: Screen) -> bool:
    """Tell whether she stands up fewer than eight times: with hands then (rulebook row 19c)."""
    tests = screen.situation.tests
    stands = tests.read.chair_stands_30s
    return tests.unable("chair_stands_30s") or (stands is not None and stands < WEAK_STANDS)


def may_load_the_back(screen: Screen, group: str) -> bool:
    """Tell whether a loaded back extension may come in (rulebook row 22)."""
    return group != "C" and not screen.limits(Modality.POSTURE).spare_spine


def posture_exercises(screen: Screen, *, loaded: bool) -> tuple[Exercise, ...]:
    """Return her posture exercises."""
    limits = screen.limits(Modality.POSTURE)
    return posture_set(
        limits.spare_spine, posture_dose.EXERCISES, barred=barred(screen), loaded=loaded
    )


#: Under so many chair stands in 30 s the version with hands (row 19c).
WEAK_STANDS = 8
#: "No jumps" is to this force, body weights (rows 7 to 10).
NO_JUMPS_BW = 2.0
#: What a faller leaves out of balance (row 21).
FALLER_BARS = frozenset({"free_hands", "backward", "head_turn"})
#: How long a set to fatigue counts, in months: in full, then at OLDER_SHARE (rulebook row 19d).
FULL_MONTHS, OLDER_MONTHS = 6, 12
OLDER_SHARE = 0.8
#: A set counts as new for a half year from so many weeks before it on. Project choice.
NEW_SET_WEEKS = 4


def one_rms(screen: Screen) -> dict[str, float]:
    """Return the one-repetition maximum of each lift, from its newest set that counts, in kg."""
    facts = screen.situation.facts
    best: dict[str, float] = {}
    for lift in sorted(facts.lifts or (), key=lambda one: str(one.on or "")):
        share = _share_of(lift, facts)
        estimate = one_rm_kg(lift.kg, lift.reps)
        best.pop(lift.lift, None)
        if estimate is not None and share:
            best[lift.lift] = estimate * share
    return best


def _share_of(lift: Lift, facts: Facts) -> float:
    """Return how much of a set to fatigue still counts: nothing of an old or undated one."""
    if lift.on is None or lift.on > facts.as_of or _laid_up_since(lift, facts):
        return 0.0
    if facts.as_of <= add_months(lift.on, FULL_MONTHS):
        return 1.0
    return OLDER_SHARE if facts.as_of <= add_months(lift.on, OLDER_MONTHS) else 0.0


def lifted_before(screen: Screen) -> frozenset[str]:
    """Return the lifts with a set to fatigue that no fracture or operation has put in question.

    However old the set is: the load may go on from what was lifted since (rulebook row 29a).
    """
    facts = screen.situation.facts
    return frozenset(one.lift for one in facts.lifts or () if not _laid_up_since(one, facts))


def new_set_since(facts: Facts, half_weeks: int) -> bool:
    """Tell whether a set to fatigue was done for this half year (rulebook row 29a)."""
    first = facts.as_of - dt.timedelta(weeks=half_weeks + NEW_SET_WEEKS)
    days = (one.on for one in facts.lifts or ())
    return any(on is not None and first <= on <= facts.as_of for on in days)


_OPERATIONS = ("recent_surgery", "joint_replacement", "spinal_implant")


def _laid_up_since(lift: Lift, facts: Facts) -> bool:
    """Tell of a fracture or an operation since the set."""
    broke = [fracture.date for fracture in facts.fractures or ()]
    operated = [facts.condition(code) for code in _OPERATIONS]
    days = [*broke, *(one.on for one in operated if one.answer)]
    return lift.on is None or any(day is not None and day > lift.on for day in days)
