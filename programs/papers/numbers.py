"""How a number and a line's first letter are written in the paper's language."""

from __future__ import annotations

from programs.papers.paper_parts import Words


def number_words(value: float, words: Words) -> str:
    """Return "34" or "2.5", with the language's own decimal mark."""
    return f"{value:g}".replace(".", words.pgettext("decimal mark", "."))


def headed(head: str, text: str, words: Words) -> str:
    """Return "Balance: hold on", with the space before the colon that the language has."""
    return f"{head}{words.gettext(':')} {text}"


def line_start(text: str) -> str:
    """Return a text with a capital first letter: Spanish writes its days and months small."""
    return text[:1].upper() + text[1:]
