"""What would change a plan: the draft made again with one thing otherwise, and compared."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from patients.facts import codes
from patients.facts.declared import Condition, Facts, Falls, SpineImage, Tests
from patients.facts.units import show_number
from programs.compare.changed_facts import (
    one_more_day,
    t_beside,
    ten_more_minutes,
    with_clearance,
    with_clearances_unlimited,
    with_condition,
    with_conditions_no,
    with_lowest_t,
    with_pressure,
    with_resources,
    with_tests,
)
from programs.compare.two_drafts import compare
from programs.draft.draft import Draft, draft
from programs.draft.resume import CAP_STEPS, FRAGILE_CAP, FROM_THE_START, Resume
from safety.findings import Level, Modality
from safety.rules.all_rules import RULES
from safety.screen import Screen

_BY = "the doctor who treats it"
_EYE_DOCTOR = "eye doctor"


@dataclass(frozen=True, kw_only=True)
class Candidate:
    """One thing otherwise. words completes "With ...":"""

    words: str
    facts: Facts
    resume: Resume


def what_would_change(
    made: Draft, resume: Resume = FROM_THE_START
) -> dict[Modality, tuple[str, ...]]:
    """Return for each modality what would change it and to what, one sentence each."""
    found: dict[Modality, list[str]] = {m: [] for m in Modality}
    for candidate in candidates(made, resume):
        after = draft(candidate.facts, candidate.resume, limits=made.clinic)
        for row in compare(made, after).changed:
            found[row.modality].append(f"With {candidate.words}: {'; '.join(row.words)}.")
    return {m: tuple(said) for m, said in found.items()}


def candidates(made: Draft, resume: Resume = FROM_THE_START) -> Iterator[Candidate]:
    """Yield the changes that apply to this person, a dozen at most in the common case."""
    facts = made.screen.situation.facts
    changed = (
        *_answers(made.screen, facts),
        *_leaves(made.screen, facts),
        *_densities(made.screen, facts),
        *_room(facts),
        *_standing(made.screen, facts),
        *_measures(made.screen, facts),
    )
    for words, after in changed:
        yield Candidate(words=words, facts=after, resume=resume)
    yield from _lifted(made.screen, facts, resume)


Changed = Iterator[tuple[str, Facts]]


def _answers(screen: Screen, facts: Facts) -> Changed:
    unanswered = [c for c in codes.CONDITIONS if facts.condition(c).answer is None]
    unanswered += [s for s in codes.SYMPTOMS if facts.symptom(s).answer is None]
    if unanswered:
        what = "everything that was not asked answered no"
        yield what, with_conditions_no(facts)
    told = {f.rule.partition(".")[0] for f in screen.findings}
    for code in codes.CONDITIONS:
        if code in told and facts.condition(code).answer:
            words = f"“{codes.CONDITIONS[code]}” answered no"
            yield words, with_condition(facts, code, Condition(answer=False))


def _leaves(screen: Screen, facts: Facts) -> Changed:
    """Yield a clearance for each subject that a finding waits for."""
    waiting = {
        f.rule
        for f in screen.findings
        if f.holds or f.level is Level.CONTRAINDICATED or (f.blocks and not f.missing)
    }
    lifts = {
        (rule.lifted_by.subject, rule.lifted_by.eye_doctor)
        for rule in RULES
        if rule.code in waiting and rule.lifted_by is not None
    }
    for subject, eye in sorted(lifts):
        label = codes.in_a_line({**codes.CONDITIONS, **codes.CLEARANCE_SUBJECTS}[subject])
        by = _EYE_DOCTOR if eye else _BY
        yield (
            f"clearance for all of it, given for {label} by {by}",
            with_clearance(facts, subject, by, eye),
        )
    unlimited = with_clearances_unlimited(facts)
    if unlimited != facts:
        yield "every clearance saying that the dose needs no limit", unlimited


def _densities(screen: Screen, facts: Facts) -> Changed:
    density = screen.situation.density
    if density.by != "t" or density.score is None:
        return
    up, down = t_beside(density.score)
    for t in (up, down):
        if t is not None:
            yield f"a lowest T-score of {show_number(t, 1)}", with_lowest_t(facts, t)


def _room(facts: Facts) -> Changed:
    if (day := one_more_day(facts)) is not None:
        yield f"{codes.DAYS[day[0]]} as one more day", day[1]
    if (minutes := ten_more_minutes(facts)) is not None:
        yield f"{minutes[0]} minutes on each day", minutes[1]
    held = facts.resources
    if not (held and held.supervised):
        yield "trained staff at every session", with_resources(facts, supervised=True)
    if not (held and held.watcher):
        words = "another adult at home who has been shown how"
        yield words, with_resources(facts, watcher=True)


#: Function tests past every cut of rulebook rows 3 and 3a.
_NORMAL = Tests(
    up_and_go_s=9.0,
    chair_stands_30s=16,
    five_stands_s=11.0,
    side_by_side_s=10.0,
    semi_tandem_s=10.0,
    tandem_s=10.0,
    one_leg_s=10.0,
    walk_4m_s=4.0,
)


def _standing(screen: Screen, facts: Facts) -> Changed:
    """Yield what would change how she trains: walking without help, normal function."""
    s = screen.situation
    if s.facts.person.mobility not in ("independent", "stick"):
        person = replace(facts.person, mobility="independent")
        yield "walking without help on record", replace(facts, person=person)
    if s.function_level != "no" and not s.seated:
        yield "function tests that are all normal", with_tests(facts, _NORMAL)


def _measures(screen: Screen, facts: Facts) -> Changed:
    told = {f.rule for f in screen.findings}
    if any(code.startswith("pressure.") for code in told):
        yield (
            "a resting pressure of 130/80 that does not fall on standing",
            with_pressure(facts, (130, 80)),
        )
    if screen.situation.fall_risk.drafted_as == "high":
        none = Falls(last_12_months=0, unsteady=False, worried=False)
        yield "no fall in 12 months", replace(facts, falls=none)
    if screen.situation.image_reasons:
        image = SpineImage(answer=True, on=facts.as_of)
        yield "an image of the spine, without a new fracture", replace(facts, spine_image=image)
    if facts.fractures is None:
        yield "“no fractures” answered", replace(facts, fractures=())


def _lifted(screen: Screen, facts: Facts, resume: Resume) -> Iterator[Candidate]:
    """Yield what a review with no trouble would lift, all of it at once."""
    told = {f.rule for f in screen.findings if not f.cleared}
    codes_ = {rule.code for rule in RULES if rule.review_lifts and rule.code in told}
    # A review lifts the cap on the plate by one step (rulebook row 14).
    held = resume.plate_cap_g is not None and FRAGILE_CAP not in resume.lifted
    step = CAP_STEPS.index(resume.plate_cap_g) + (held and screen.situation.fragile)
    after = replace(resume, lifted=resume.lifted | codes_, plate_cap_g=CAP_STEPS[step])
    if after != resume:
        words = "the precautions that a review with no trouble may lift taken away"
        yield Candidate(words=words, facts=facts, resume=after)
