"""The declared languages, and which way their lines go."""

from __future__ import annotations

import pytest
from django.conf import settings

from programs import languages
from programs.languages import DECLARED, Language, is_rtl, ready


def test_each_is_declared_once_and_english_is_first() -> None:
    assert list(DECLARED) == ["en", "es", "fr"]
    assert all(one.code == code for code, one in DECLARED.items())
    assert settings.LANGUAGES == [("en", "English"), ("es", "Spanish"), ("fr", "French")]


def test_french_waits_for_a_clinic_to_turn_it_on() -> None:
    assert {one.code for one in ready() if one.at_first} == {"en", "es"}


def test_one_that_is_not_whole_is_not_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    half = Language(code="yy", name="Halfish", own_name="halfish", ready=False)
    monkeypatch.setitem(languages.DECLARED, "yy", half)
    assert half not in ready()


@pytest.mark.parametrize(
    ("code", "told"), [("he", True), ("en", False), ("es", False), ("qq", False)]
)
def test_which_way_its_lines_go(monkeypatch: pytest.MonkeyPatch, code: str, told: bool) -> None:
    hebrew = Language(code="he", name="Hebrew", own_name="עברית", rtl=True)
    monkeypatch.setitem(languages.DECLARED, "he", hebrew)
    assert is_rtl(code) is told
