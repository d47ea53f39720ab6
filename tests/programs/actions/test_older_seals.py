"""Signatures from before there were keyed seals: sealed once, on record, nothing rewritten."""

from __future__ import annotations

from typing import Any

import pytest
from django.contrib.auth.models import User
from django.core.management import CommandError, call_command

from patients.models.patient import Audit
from programs.actions.as_signed import why_not_as_signed
from programs.actions.older_seals import SEAL_OLDER, seal_older, unsealed
from programs.actions.record_check import look_over
from programs.actions.sealing import seals_break
from programs.models.program import SignedPlan
from programs.models.seal import SignedSeal
from tests.programs import rows
from tests.programs.rows import AT

pytestmark = pytest.mark.database


@pytest.fixture
def older(clinician: User, monkeypatch: pytest.MonkeyPatch) -> list[SignedPlan]:
    """Two programs signed as they were before: no seal, and none in the line."""
    with monkeypatch.context() as patch:
        patch.setattr(rows, "make_seal", lambda *_: None)
        patch.setattr(rows, "told_of", lambda _: {})
        made = [
            rows.signed(rows.plan(rows.patient(clinician), clinician), clinician) for _ in range(2)
        ]
    assert not SignedSeal.objects.exists()
    return made


def columns(row: SignedPlan) -> dict[str, Any]:
    return SignedPlan.objects.filter(pk=row.pk).values().get()


def test_they_are_read_without_a_seal_and_sealed_once(older: list[SignedPlan]) -> None:
    before = [columns(row) for row in older]
    assert [why_not_as_signed(row) for row in older] == ["", ""]
    assert (unsealed(), look_over().broken) == (2, ())
    assert seal_older(by=None, at=AT).sealed == 2
    assert seal_older(by=None, at=AT).sealed == 0
    assert [columns(row) for row in older] == before
    assert (unsealed(), seals_break(), look_over().broken) == (0, None, ())
    lines = Audit.objects.filter(action=SEAL_OLDER).order_by("seq")
    assert [line.object_id for line in lines] == [str(row.pk) for row in older]


def test_one_that_is_not_as_its_line_tells_is_not_sealed(older: list[SignedPlan]) -> None:
    rows.rewrite(older[1], signed_name="Somebody Else")
    done = seal_older(by=None, at=AT)
    assert (done.sealed, unsealed()) == (1, 1)
    assert f"Signed program {older[1].pk}: The signature stands beside" in done.refused


def test_a_seal_taken_away_is_not_made_anew(clinician: User) -> None:
    signed = rows.signed(rows.plan(rows.patient(clinician), clinician), clinician)
    rows.rewrite(signed.seal, number=1)
    SignedSeal.objects.all()._raw_delete("default")
    done = seal_older(by=None, at=AT)
    assert (done.sealed, "keyed seal, number 1, is gone" in done.refused) == (0, True)


def test_one_sealed_meanwhile_is_passed_over(
    older: list[SignedPlan], monkeypatch: pytest.MonkeyPatch
) -> None:
    from programs.actions import older_seals

    made = older_seals.make_seal

    def both(signed: SignedPlan, at: Any) -> SignedSeal:
        if signed.pk == older[0].pk:
            seal = made(older[1], at)
            told = older_seals.told_of(seal)
            rows.on_record(older[1], SEAL_OLDER, told)
        return made(signed, at)

    monkeypatch.setattr(older_seals, "make_seal", both)
    assert seal_older(by=None, at=AT).sealed == 1
    assert (unsealed(), look_over().broken) == (0, ())


def test_the_command_says_what_it_did(older: list[SignedPlan], capsys: Any) -> None:
    call_command("seal_signed")
    assert "sealed with the key: 2" in capsys.readouterr().out
    call_command("check_record")
    assert "Without a keyed seal" not in capsys.readouterr().out


def test_the_command_says_which_it_left(older: list[SignedPlan], capsys: Any) -> None:
    call_command("check_record")
    assert "Without a keyed seal, as older ones are: 2" in capsys.readouterr().out
    rows.rewrite(older[0], rulebook="1999.1")
    with pytest.raises(CommandError, match=r"Sealed: 0\. The next is not as it was signed"):
        call_command("seal_signed")
