"""What the product is for and what it is not, who answers, and its known limits."""

from __future__ import annotations

from dataclasses import dataclass

#: The release, as pyproject.toml has it.
VERSION = "0.1.0"


@dataclass(frozen=True, kw_only=True)
class Statement:
    """A heading and what stands under it, a line each."""

    title: str
    lines: tuple[str, ...]


INTENDED_USE = (
    Statement(
        title="What it is for",
        lines=(
            "It supports a clinician within a consult: it screens what is recorded of a person "
            "with fragile bone, drafts a program of loading, and prints what the clinician has "
            "signed.",
            "Kinds of loading: vibration plate, resistance, impact, balance, posture. At a review "
            "it reads the log and proposes what comes next.",
            "Each proposal shows the facts, the rule and the source that it rests on, so that the "
            "clinician can judge it without relying on it.",
        ),
    ),
    Statement(
        title="Who may use it, and for whom",
        lines=(
            "Clinicians who are licensed to prescribe exercise for people with fragile bone, and "
            "whom they answer for.",
            "For adults with osteoporosis, low bone mass or a raised risk of fracture. For nobody "
            "under 18.",
            "The person herself gets paper that was signed for her. It gives her no advice of its "
            "own.",
        ),
    ),
    Statement(
        title="What it is not",
        lines=(
            "No tool for emergencies: it watches nobody, calls nobody, and answers in no time "
            "that could be counted on.",
            "No prescription by itself: nothing is a program before a clinician has signed it.",
            "No diagnosis, and no examination. It reads no pictures and no signals of the body.",
            "It measures plates, not people: a recording is of the plate's own motion.",
            "It is not registered as a medical device anywhere. Whether it may be used, and as "
            "what, the law of the place decides; that law differs between countries.",
        ),
    ),
    Statement(
        title="Who answers",
        lines=(
            "The clinician who signs answers for the program, and for its suitability "
            "for this person.",
            "The clinic answers for its settings, its accounts, its telephone and emergency "
            "numbers, its plates, its machine and its backups.",
            "Whoever makes and changes the product answers for this file: that each hazard stands "
            "in it and that each control has a living test.",
            "Local codes, guidelines and licensed practice come first; where they are stricter, "
            "they are followed.",
        ),
    ),
)

KNOWN_LIMITS = Statement(
    title="Known limits",
    lines=(
        "The rulebook rests on published sources where there are any. Some of them are known from "
        "memory and say so; many limits are choices of the project, for want of a trial.",
        "No clinical trial of the product, and no study of its use with clinicians or patients, "
        "was made. The ratings in this file are judgements.",
        "It knows what is recorded. What is not recorded it asks for; what is recorded wrongly it "
        "believes, unless it looks mistyped.",
        "Trials held few men, few people over 85 and hardly anybody who sits; what is drafted for "
        "them is drawn from others and held low.",
        "The forces of several impacts were never measured on such people. Exposure of the whole "
        "body to vibration is shown beside limits that were made for work, not for training.",
        "It knows nothing of her day at home: what she does, holds on to, and does with an old "
        "paper.",
        "No patient has read its papers, and no named clinician its Spanish or French.",
        "It does not record consent, refusals or letters to and from others, and has no view for "
        "a group or for carers.",
        "It runs on one machine in one room, and no request leaves it: "
        "it updates nothing, reminds nobody and backs nothing up by itself.",
        "What each hazard still lacks stands with it below.",
    ),
)
