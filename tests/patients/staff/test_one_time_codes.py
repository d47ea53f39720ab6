"""How a secret and codes are written; who must use them."""

from __future__ import annotations

from urllib.parse import parse_qs, unquote, urlsplit

import pytest

from patients.staff.one_time_codes import (
    WHO_MUST,
    Whom,
    address_for_apps,
    as_step_code,
    must_use_codes,
    plain,
    recovery_text,
    secret_text,
)
from patients.staff.rights import Right, Role, rights_of
from tests.patients.codes import secret_of

SECRET = bytes(range(20))


def test_a_secret_in_groups_of_four_is_the_same_secret() -> None:
    text = secret_text(SECRET)
    assert [len(group) for group in text.split(" ")] == [4] * 8
    assert secret_of(text) == SECRET


def test_the_address_for_apps_holds_the_secret_and_whose_it_is() -> None:
    read = urlsplit(address_for_apps(SECRET, "m. ferro/ö&x"))
    told = parse_qs(read.query)
    assert (read.scheme, read.netloc) == ("otpauth", "totp")
    assert unquote(read.path) == "/Calcar:m. ferro/ö&x"
    assert (secret_of(told["secret"][0]), told["issuer"]) == (SECRET, ["Calcar"])


def test_a_recovery_code_reads_in_two_halves_and_is_taken_without_them() -> None:
    text = recovery_text(bytes(range(100, 110)))
    assert [len(half) for half in text.split("-")] == [5, 5]
    assert plain(f" {text.lower()} ") == text.replace("-", "")


@pytest.mark.parametrize(
    "typed, code",
    [
        *(("123456", 123456), ("123 456", 123456), (" 000-042", 42)),
        *(("12345", None), ("1234567", None), ("12345a", None), ("١٢٣٤٥٦", None), ("", None)),
    ],
)
def test_six_digits_are_a_code(typed: str, code: int | None) -> None:
    assert as_step_code(typed) == code


def test_who_must() -> None:
    assert set(WHO_MUST) == set(Whom)
    must = {(whom, role): must_use_codes(whom, rights_of([role])) for whom in Whom for role in Role}
    assert {role for (whom, role), yes in must.items() if yes and whom is Whom.NOBODY} == set()
    assert {role for (whom, role), yes in must.items() if yes and whom is Whom.SIGNERS} == {
        Role.CLINICIAN,
        Role.KEEPER,
    }
    assert must_use_codes(Whom.EVERYBODY, frozenset())
    assert not must_use_codes(Whom.SIGNERS, {Right.ENTER})
