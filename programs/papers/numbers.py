"""How a number and a line's first letter are written in the paper's language."""

from __future__ import annotations

from programs.papers.paper_parts import Words


def number_words(value: float, words: Words) -> str:
    """Return "34" or "2.5", with the language's own decimal mark."""
    return f"{value:g}".replace(".", words.pgettext("decimal mark", "."))


def isolated(text: str, words: Words) -> str:
    """Return a number to call, or an amount with its unit, so that it is read as it is written.

    A catalogue of a language that is written from right to left puts it between U+2066 and U+2069;
    there "25 Hz" or the groups of a telephone number would else stand in the other order.
    """
    return words.pgettext("from left to right", "{number}").format(number=text) if text else ""


def hz_words(value: float, words: Words) -> str:
    """Return "25 Hz"."""
    return isolated(f"{number_words(value, words)} Hz", words)


def headed(head: str, text: str, words: Words) -> str:
    """Return "Balance: hold on", with the space before the colon that the language has."""
    return f"{head}{words.gettext(':')} {text}"


def line_start(text: str) -> str:
    """Return a text with a capital first letter: Spanish writes its days and months small."""
    return text[:1].upper() + text[1:]
