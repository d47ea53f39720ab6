"""How she trains: standing, sitting or lying; with hands on support or a worktop in reach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from programs.exercises import Exercise
from programs.papers.paper_parts import Words, gettext_noop, told
from programs.signed.program import SignedProgram
from programs.week.week import Week
from safety.findings import Modality
from safety.situation import TrainingPosture

HANDS_ON = gettext_noop("Keep hold of something fixed.")
WITH_THE_FRAME = gettext_noop("Keep both hands on your frame.")
IN_REACH = gettext_noop("Keep within a hand's reach of a worktop.")
SEAT = gettext_noop("Sit on a chair that cannot slide, or in a wheelchair with the brakes on.")
BED = gettext_noop("Lie in the middle of the bed, with firm pillows behind you.")


@dataclass(frozen=True, kw_only=True)
class Manner:
    """How a program is done: rulebook rows 3a and 3b.

    seated   no standing work: on a chair, or lying (lying then as well)
    frame    hands on support in every standing exercise
    """

    seated: bool
    lying: bool
    frame: bool


def manner_of(program: SignedProgram) -> Manner:
    """Return how a signed program is done; standing where its format does not say."""
    posture = program.assessed.training_posture
    return Manner(
        seated=posture in (TrainingPosture.SEATED, TrainingPosture.LYING),
        lying=posture == TrainingPosture.LYING,
        frame=any(finding.subject == "frame" for finding in program.findings),
    )


def near_support(weeks: Sequence[Week]) -> bool:
    """Tell whether the weeks' balance is done within a hand's reach of support."""
    return any(week.balance.near_support for week in weeks if week.balance)


def support_words(
    exercise: Exercise, manner: Manner, *, near: bool, words: Words
) -> tuple[str, ...]:
    """Return what an exercise done standing needs to hold on to, as steps of their own."""
    if exercise.position != "standing":
        return ()
    if manner.frame:
        walking = exercise.modality is Modality.IMPACT
        return told((WITH_THE_FRAME if walking else HANDS_ON,), words)
    if near and exercise.modality is Modality.BALANCE:
        return told((IN_REACH,), words)
    return ()
