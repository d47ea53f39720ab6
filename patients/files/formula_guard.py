"""Text in a file that a spreadsheet would take for a formula, made harmless and back again."""

from __future__ import annotations

_SETS_OFF = frozenset("=+-@\t\r＝＋－＠")
_MARK = "'"


def guarded(text: str) -> str:
    """Return the text for a cell, with an apostrophe in front of what sets off a formula.

    A text that looks guarded already gets one more, so that reading gives it back.
    """
    looks_guarded = text[:1] == _MARK and text[1:2] in _SETS_OFF | {_MARK}
    return _MARK + text if text[:1] in _SETS_OFF or looks_guarded else text


def unguarded(text: str) -> str:
    """Return the text that a cell was made from."""
    return text[1:] if text[:1] == _MARK and text[1:2] in _SETS_OFF | {_MARK} else text
