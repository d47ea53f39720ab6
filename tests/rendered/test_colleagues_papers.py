"""Papers for colleagues as printed: how long, by the rules of access, the slip of the letter."""

import datetime as dt

import page as pdf_rules
import pytest

from programs.actions import printing
from programs.papers import ENGLISH, issue_of
from programs.papers.first_plate_session import plate_session
from programs.papers.summary import summary
from tests.programs.sample_papers import DIGEST, PEOPLE, SIGNER, program_of, snapshot_of
from tests.rendered import reading
from tests.rendered.reading import squeezed
from tests.rendered.test_handout_texts import print_summary

pytestmark = [pytest.mark.rendered, pytest.mark.usefixtures("quiet")]


@pytest.mark.parametrize("person", [name for name in PEOPLE if name != "no_plate"])
def test_papers_for_colleagues_are_short_and_the_slip_is_whole(person: str) -> None:
    """The record of a session is one page; the full letter, with its slip, two at most."""
    held = snapshot_of(person)
    issue = issue_of(program_of(held), ENGLISH, digest=DIGEST, zone=dt.UTC)
    how = {"issue": issue, "language": "en", "paper": "Letter", "type_pt": 10}
    session = printing.pdf(
        "paper/plate_session.html", {"session": plate_session(program_of(held), ENGLISH)}, **how
    )
    letter = print_summary(held)
    assert len(reading.pages_of(session)) == 1
    assert len(reading.pages_of(letter)) <= 2
    for made in (letter, session):
        assert pdf_rules.is_pdf_compliant_bytes(made, profile="ua1")
    text = reading.text_of(letter)
    for part in (f"Signature {SIGNER['name']}", SIGNER["meaning"], f"Seal {DIGEST}", "UTC+00:00"):
        assert squeezed(part) in text
    asked = summary(program_of(held)).asked
    slips = [page.text for page in reading.pages_of(letter) if "Answer slip" in page.text]
    assert len(slips) == bool(asked)
    for slip in slips:
        rest = squeezed(slip.partition("Answer slip")[2])
        assert all(squeezed(one.words) in rest for one in asked)
        assert "Signature" in rest
