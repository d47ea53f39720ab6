"""A paper that waits for a press: the page that stands for it, and who is given it in the end.

The press is played here: it says what it was to print, so that no paper is laid out.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from patients import audit
from patients.models.looks import Look
from patients.models.patient import Audit
from programs.actions import papers, press_queue
from programs.actions.papers import print_ahead
from programs.actions.program_state import stop_program
from programs.models.press import PressOrder
from programs.models.program import Handout, SessionLog, SignedPlan
from programs.papers.kinds import KINDS, TO_VISIT
from programs.views import being_made
from tests.programs import rows
from tests.programs.actions.test_papers import options, page
from tests.programs.actions.test_signing import drafted, sign
from tests.programs.rows import AT
from tests.programs.views import test_plan
from tests.programs.views.test_sign import typed

pytestmark = [pytest.mark.long, pytest.mark.counted, pytest.mark.usefixtures("on_the_first_day")]
HIDDEN = re.compile(r'<input type="hidden" name="(\w+)" value="([^"]*)"')
HOW_FAR = re.compile(r'data-how-far="([^"]+)"')


@pytest.fixture(autouse=True)
def served() -> Iterator[None]:
    press_queue.serve_line(True)
    yield
    press_queue.serve_line(False)


@pytest.fixture
def signed(clinician: User) -> SignedPlan:
    return sign(drafted(clinician), clinician)


def press() -> list[str]:
    """Print all that waits; return the pages."""
    printed = []
    while job := press_queue.take(("here 1",), timezone.now()):
        printed.append(press_queue.order_of(job).text)
        press_queue.keep_printed(job, f"%PDF {len(printed[-1])}".encode())
    return printed


def test_the_page_says_how_far_it_is_and_asks_again_as_it_was_asked(
    signed: SignedPlan, signed_in: Client
) -> None:
    looks = Look.objects.count()
    waits = signed_in.post(page(signed), options(signed))
    text = waits.content.decode()
    assert waits.status_code == 202
    assert "It is the next one." in text
    # Nothing of hers is on it, so it is no look.
    assert signed.patient.family_name not in text
    assert Look.objects.count() == looks
    assert not Handout.objects.exists()
    how_far = HOW_FAR.findall(text)[0]
    assert signed_in.get(how_far).json() == {"ready": False, "words": "It is the next one."}
    assert len(press()) == 1
    assert signed_in.get(how_far).json() == {"ready": True, "words": "It is ready."}
    sent = dict(HIDDEN.findall(text))
    assert sent.items() >= {"kind": "handout", "language": "en", "type_pt": "16"}.items()
    given = signed_in.post(page(signed), sent, follow=True)
    assert given["Content-Type"] == "application/pdf"
    row = Handout.objects.get()
    assert given.content == bytes(row.pdf)
    assert Audit.objects.filter(action="make paper", object_id=row.pk).count() == 1


def test_what_was_stopped_while_it_was_printed_is_not_handed_out(
    signed: SignedPlan, signed_in: Client, clinician: User
) -> None:
    """Printed, and then the state is asked again."""
    signed_in.post(page(signed), options(signed))
    press()
    stop_program(signed=signed, why="She fell.", by=clinician, at=timezone.now())
    told = signed_in.post(page(signed), options(signed), follow=True).content.decode()
    assert "She fell." in told
    assert not Handout.objects.exists()


def test_a_row_that_is_not_as_recorded_keeps_back_what_was_printed_too(
    signed: SignedPlan, signed_in: Client, clinician: User
) -> None:
    signed_in.post(page(signed), options(signed))
    press()
    # Written past the program: no line of the record tells of it.
    SessionLog.objects.create(
        patient=signed.patient,
        signed=signed,
        on=rows.DAY,
        modality="balance",
        done="all",
        entered_by=clinician,
        entered_at=AT,
    )
    signed_in.post(page(signed), options(signed))
    assert not Handout.objects.exists()


def test_every_paper_that_was_printed_is_found_when_the_record_has_grown(
    signed: SignedPlan, signed_in: Client, clinician: User
) -> None:
    """Else it would wait again, without end, for what another line of the record makes of it."""

    for kind in KINDS:
        sent = options(signed, kind=kind, first_week=1, last_week=2)
        assert signed_in.post(page(signed), sent).status_code == 202, kind
        assert len(press()) == 1, kind
        with audit.writing():
            audit.record(by=clinician, at=AT, action="look around", on=signed.patient, new={})
        assert signed_in.post(page(signed), sent).status_code == 302, kind
    assert Handout.objects.count() == len(KINDS)


@pytest.mark.parametrize("name", ["questionnaire", "clinic_safety_pdf"])
def test_a_paper_of_nobody_is_asked_for_again_by_its_address(signed_in: Client, name: str) -> None:
    asked = reverse(f"programs:{name}") + ("?language=es" if name == "questionnaire" else "")
    waits = signed_in.get(asked)
    text = waits.content.decode()
    assert waits.status_code == 202
    assert '<form method="get"' in text
    assert 'http-equiv="refresh"' in text
    assert PressOrder.objects.get().patient is None
    press()
    assert signed_in.get(asked).content.startswith(b"%PDF")


def test_a_draft_waits_too(clinician: User, signed_in: Client) -> None:
    plan = drafted(clinician)
    asked = reverse("programs:draft_pdf", args=[plan.patient_id])
    assert signed_in.get(asked).status_code == 202
    assert PressOrder.objects.get().patient == plan.patient
    press()
    assert signed_in.get(asked).content.startswith(b"%PDF")


def test_one_thread_at_a_time_puts_a_paper_together(signed: SignedPlan, signed_in: Client) -> None:
    """The others answer at once: they are for the pages."""
    with being_made._put_together:
        waits = signed_in.post(page(signed), options(signed))
    assert waits.status_code == 202
    text = waits.content.decode()
    assert "asked for again by itself" in text
    assert HOW_FAR.search(text) is None
    assert not PressOrder.objects.exists()
    # And lets go of it, whatever came of the paper.
    signed_in.post(page(signed), options(signed))
    assert PressOrder.objects.count() == 1
    assert not being_made._put_together.locked()


# --- Ahead of need ------------------------------------------------------------------------------


def test_at_signing_the_next_paper_is_printed_and_nobody_is_handed_it(
    clinician: User, signed_in: Client
) -> None:
    plan = test_plan.drafted(rows.recorded(clinician, test_plan.document()), clinician)
    signed_in.post(reverse("programs:sign", args=[plan.patient_id]), typed(plan))
    signed = SignedPlan.objects.get()
    assert [order.wanted for order in PressOrder.objects.all()] == [False]
    press()
    assert not Handout.objects.exists()
    given = signed_in.post(page(signed), options(signed, kind=TO_VISIT))
    assert given.status_code == 302
    assert Handout.objects.get().kind.startswith(TO_VISIT)


def test_it_is_laid_out_as_her_last_one(
    signed: SignedPlan, signed_in: Client, clinician: User
) -> None:
    spanish = options(signed, kind=TO_VISIT, language="es", type_pt=20)
    signed_in.post(page(signed), spanish)
    press()
    signed_in.post(page(signed), spanish)
    PressOrder.objects.all().delete()
    print_ahead(signed=signed, at=timezone.now())
    assert 'lang="es"' in press()[0]
    assert signed_in.post(page(signed), spanish).status_code == 302


def test_nothing_is_printed_ahead_of_what_may_not_be_handed_out_or_without_presses(
    signed: SignedPlan, clinician: User
) -> None:
    press_queue.serve_line(False)
    print_ahead(signed=signed, at=timezone.now())
    press_queue.serve_line(True)
    stop_program(signed=signed, why="She fell.", by=clinician, at=timezone.now())
    print_ahead(signed=signed, at=timezone.now())
    assert not PressOrder.objects.exists()


def test_what_goes_wrong_ahead_of_need_breaks_no_signature(
    signed: SignedPlan, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def fails(*_: object) -> None:
        raise KeyError("no such thing")

    monkeypatch.setattr(papers, "to_print", fails)
    print_ahead(signed=signed, at=timezone.now())
    assert "A paper was not printed ahead of need." in caplog.text
    assert not PressOrder.objects.exists()


def test_words_of_a_place() -> None:
    def words(**place: Any) -> str:
        return being_made.words_of_place(press_queue.Place(ready=False, **place))

    assert words(printing=True) == "It is being printed now."
    assert words(before=1) == "1 paper is before it."
    assert words(before=3) == "3 papers are before it."
