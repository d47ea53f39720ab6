"""What the doctor's letter tells of consents, refusals and prompts: as it was at the signature."""

import datetime as dt

import pytest
from django.contrib.auth.models import User
from django.template.loader import render_to_string

from programs.actions import papers
from programs.actions.beside import Told, answer_prompts, say_of_kind
from programs.actions.told_beside import ToldBeside, told_beside
from programs.models.program import SignedPlan
from safety.findings import Modality
from tests.programs.actions.test_papers import Printed
from tests.programs.actions.test_papers import printed as printed
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT, DAY

pytestmark = [pytest.mark.long, pytest.mark.counted, pytest.mark.usefixtures("on_the_first_day")]

BEFORE, LATER = AT - dt.timedelta(hours=1), AT + dt.timedelta(days=1)
WORDS = "Not that; it shook my sister’s teeth"


def signed_by(by: User) -> SignedPlan:
    """Return a plan before whose signature a kind was refused and two prompts were answered."""
    plan = drafted(by)
    say(plan.patient, by, Modality.BALANCE, "agrees", "")
    say(plan.patient, by, Modality.IMPACT, "agrees", "")
    say(plan.patient, by, Modality.IMPACT, "nothing", "")
    say(plan.patient, by, Modality.POSTURE, "refuses", WORDS)
    told = [
        Told(prompt="vision", answer="referred", to="the eye clinic", note="Cataract on the left."),
        Told(prompt="medicine_review", answer="done"),
    ]
    answer_prompts(patient=plan.patient, told=told, on=DAY, by=by, at=BEFORE)
    return sign(plan, by)


def say(
    patient: object, by: User, kind: Modality, said: str, words: str, at: dt.datetime = BEFORE
) -> None:
    say_of_kind(
        patient=patient,  # type: ignore[arg-type]
        modality=kind,
        said=said,
        words=words,
        asked_by="Marta Ferro",
        on=DAY,
        by=by,
        at=at,
    )


ON = f"{DAY.day} {DAY:%b %Y}"
TOLD = ToldBeside(
    said=(
        f"Balance: Agrees to it. Asked by Marta Ferro on {ON}.",
        f"Posture: Does not want it: “{WORDS}”. Asked by Marta Ferro on {ON}.",
    ),
    prompts=(
        f"Medicine review: done, {ON}.",
        f"Vision: referred to the eye clinic, {ON}. Cataract on the left.",
    ),
)


def test_it_tells_what_held_at_the_signature(clinician: User) -> None:
    signed = signed_by(clinician)
    assert told_beside(signed) == TOLD
    say(signed.patient, clinician, Modality.POSTURE, "agrees", "", LATER)
    later = [Told(prompt="vision", answer="done")]
    answer_prompts(patient=signed.patient, told=later, on=DAY, by=clinician, at=LATER)
    assert told_beside(signed) == TOLD


def test_the_letter_says_it_and_no_other_paper_does(clinician: User, printed: Printed) -> None:
    signed = signed_by(clinician)
    for kind in ("summary", "handout"):
        papers.make_paper(kind=kind, signed=signed, by=clinician, at=LATER)
    letter, handout = printed
    page = render_to_string("paper/summary.html", letter | letter["context"])
    for line in (*TOLD.said, *TOLD.prompts):
        assert line in page
    assert "beside" not in handout["context"]


def test_nobody_asked_and_nothing_looked_at_is_not_told(clinician: User, printed: Printed) -> None:
    signed = sign(drafted(clinician), clinician)
    papers.make_paper(kind="summary", signed=signed, by=clinician, at=AT)
    page = render_to_string("paper/summary.html", printed[0] | printed[0]["context"])
    assert told_beside(signed) == ToldBeside(said=(), prompts=())
    assert "Looked at beside the exercise" not in page
