"""What goes before the press: letters that the typefaces lack, room at the head of a page."""

import pytest

from programs.actions import pdf_process
from programs.actions.printing import pdf, printable


def test_a_character_that_cannot_be_shown_is_named() -> None:
    assert printable("Wang 王 Wei 王") == "Wang [U+738B] Wei [U+738B]"
    assert printable("Ångström, à la carte") == "Ångström, à la carte"


def margin_above(monkeypatch: pytest.MonkeyPatch, name: str) -> float:
    """Return the margin at the head of a page, in mm, of the paper of somebody of this name."""
    orders: list[pdf_process.Order] = []
    monkeypatch.setattr(pdf_process, "apart", lambda order: orders.append(order) or b"%PDF")
    monkeypatch.setattr(
        "programs.actions.printing.render_to_string",
        lambda template, shown: f'<div class="head">{name}</div>',
    )
    pdf("any.html", {}, issue=None, language="en", paper="A4", type_pt=16)
    return float(orders[0].sheet.partition("margin: ")[2].partition("mm")[0])


def test_a_name_of_two_lines_gets_their_room(monkeypatch: pytest.MonkeyPatch) -> None:
    short = margin_above(monkeypatch, "Orla Testwick")
    long = margin_above(monkeypatch, "Orla Testwick of the Long Street " * 6)
    assert long > short
