"""Red flags: nothing is issued, refer (rulebook row 11)."""

from __future__ import annotations

from collections.abc import Callable

from patients.facts.codes import MODALITIES, SYMPTOMS, in_a_line
from patients.facts.declared import Falls
from safety.findings import ALL, Level, Modality
from safety.rules.rule import NO, Lift, Rule, Seen, Unanswered, rule
from safety.situation import Situation
from safety.sources import cite

SAME_DAY = (
    "bladder_or_bowel_change",
    "new_weakness_or_numbness",
    "chest_pain",
    "breathless_at_rest",
    "blackout",
)
_WHY = {
    "new_back_pain": "A new vertebral fracture must be looked for.",
    "new_weakness_or_numbness": "Cord or nerve may be pressed, or it may be a stroke.",
    "bladder_or_bowel_change": "The nerves of the saddle area may be pressed.",
    "chest_pain": "The heart comes first.",
    "blackout": "The cause must be found before any training.",
    "unexplained_weight_loss": "Tumour or infection must be looked for.",
    "fever": "Infection must be looked for.",
    "thigh_or_groin_pain": "A stress or atypical fracture of the thigh bone must be looked for.",
    "breathless_at_rest": "Heart or lung comes first.",
}


def _sees(code: str) -> Callable[[Situation], Seen]:
    def when(s: Situation) -> Seen:
        answer = s.facts.symptom(code).answer
        label = SYMPTOMS[code]
        return Seen(answer=answer, facts=(f"{label}: yes",), missing=(in_a_line(label),))

    return when


def _blackout(s: Situation) -> Seen:
    """A fall with a blackout counts, whatever the count of falls says; not recorded after a fall
    counts as unanswered."""
    falls = s.facts.falls or Falls()
    own = s.facts.symptom("blackout").answer
    if own or falls.blackout:
        return Seen(answer=True, facts=("Blackout: yes",))
    unasked = falls.blackout is None and bool(falls.last_12_months)
    missing = ("blackout, also in a fall",)
    return Seen(answer=None, missing=missing) if own is None or unasked else NO


def _flag(code: str) -> Rule:
    same_day = code in SAME_DAY
    urgency = "the same day" if same_day else "within days"
    return rule(
        f"red_flag.{code}",
        ALL,
        Level.REFER,
        _blackout if code == "blackout" else _sees(code),
        reads=(f"symptoms.{code}", *(("falls.blackout",) if code == "blackout" else ())),
        reason=f"{SYMPTOMS[code]}: refer {urgency}. {_WHY[code]} Nothing is issued.",
        source=cite("red_flags", "red_flags_m"),
        evidence="One red flag alone has many false alarms; the rule stops and leaves the "
        "judgement to a clinician.",
        unanswered=Unanswered.BLOCK,
        lifted_by=Lift(subject="blackout") if code == "blackout" else None,
        blocks=True,
        same_day=same_day,
    )


def _cleared_for_some(s: Situation) -> Seen:
    """See a blackout for which anything is cleared: each modality then needs its own leave."""
    seen = _blackout(s)
    cleared = [m for m in Modality if s.cleared("blackout", m)] if seen.answer else []
    words = f"Cleared for: {', '.join(cleared)}"
    return Seen(answer=True, facts=(*seen.facts, words)) if cleared else NO


def _not_named_rule(modality: Modality) -> Rule:
    return rule(
        f"blackout.not_cleared.{modality}",
        modality,
        Level.NEEDS_CLEARANCE,
        _cleared_for_some,
        reads=("symptoms.blackout", "falls.blackout", "clearances"),
        reason=f"Blackout: {MODALITIES[modality]} needs a clearance that names it.",
        source=cite("project"),
        evidence="A clearance names what it is for; what it does not name waits.",
        unanswered=Unanswered.NOTE,
        lifted_by=Lift(subject="blackout", as_precaution=False),
    )


RED_FLAG_RULES: tuple[Rule, ...] = (
    *(_flag(code) for code in SYMPTOMS),
    *(_not_named_rule(modality) for modality in Modality),
)
