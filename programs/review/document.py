"""The proposal/1 document of a review, and the answer to a line of follow-up."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from patients.facts.document import Problem
from programs.draft import document as draft_document
from programs.review.followup import FollowUp, read_followup
from programs.review.next_steps import STEPS_BACK, Next
from programs.review.proposal import Proposal
from programs.review.proposing import Review
from safety.findings import Modality

FORMAT = "proposal/1"


def answer(document: object) -> dict[str, Any]:
    """Return the proposal/1 answer to a followup/1 document; its errors where it is not one."""
    found = read_followup(document)
    return write(found) if isinstance(found, FollowUp) else refusal(found)


def refusal(problems: tuple[Problem, ...]) -> dict[str, Any]:
    """Return the answer that says what is wrong."""
    return {"format": FORMAT, "errors": [asdict(problem) for problem in problems]}


def write(found: FollowUp) -> dict[str, Any]:
    """Return the proposal/1 document of a program in force and its log."""
    review = Review(found.held, found.log, found.reading)
    rank = {m: one.rank for m, one in review.included.standings.items()}
    proposal, made = review.proposal(rank), review.next_draft()
    return {
        "format": FORMAT,
        "state": proposal.state,
        "plate_cap_g": proposal.plate_cap_g,
        "events": [
            {"on": one.on.isoformat(), "what": one.what, "source": one.source}
            for one in proposal.events
        ],
        "reached": {str(m): review.ledger.reached(m) for m in Modality},
        "proposals": {str(m): _proposed(m, review, proposal) for m in Modality},
        "ask": list(proposal.ask),
        "may_stay_in_force": not proposal.against_staying,
        "next": made and draft_document.write(made),
        "dates": {name: day.isoformat() for name, day in asdict(proposal.dates).items()},
    }


def _proposed(modality: Modality, review: Review, proposal: Proposal) -> dict[str, Any]:
    grounds = review.grounds[modality]
    chosen = review.proposed[modality]
    told = proposal.of(modality)
    return {
        "do": "step_back" if chosen in STEPS_BACK else str(chosen),
        "restart_week": told.restart if told and chosen is not Next.STOP else None,
        "because": [one.text for one in grounds],
        "sources": list(dict.fromkeys(source for one in grounds for source in one.sources)),
    }
