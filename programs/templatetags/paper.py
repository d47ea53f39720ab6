"""How the papers are laid out."""

from __future__ import annotations

from collections.abc import Sequence

from django import template
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext

from programs.figures import WORDS_PT, size_of, sized
from programs.figures.of_pain_scale import pain_scale_svg
from programs.languages import is_rtl
from programs.papers import sheet_room
from programs.papers.kinds import kept_title
from programs.papers.page_filling import Filled, filled
from programs.papers.paper_parts import Block, Chapter, WeekSheet
from programs.papers.picture_room import WIDTH_MM, Arrangement, widened

register = template.Library()
register.filter("kept_title", kept_title)
register.filter("rtl", is_rtl)


@register.simple_tag
def on_pages(
    chapters: Sequence[Chapter], type_pt: int, paper: str, edge_lines: int
) -> tuple[Filled, ...]:
    """Return chapters with their exercises on pages, as large as there is room for."""
    return filled(chapters, type_pt, paper, edge_lines)


@register.simple_tag
def on_sides(sheet: WeekSheet, type_pt: int, paper: str, edge_lines: int) -> sheet_room.Sides:
    """Return which parts of a week's sheet stand on its front."""
    calls = (gettext("Call the ambulance now"), gettext("Stop, rest and call us"))
    return sheet_room.sides(sheet, type_pt, paper, edge_lines, calls)


@register.simple_tag
def pictured(block: Block, arranged: Arrangement, type_pt: int) -> str:
    """Return an exercise's picture as large as there is room for."""
    return sized(block.figure, arranged.growth, type_pt)


@register.simple_tag
def lettered(figure: str, type_pt: int) -> SafeString:
    """Return a picture in the size in which it comes, its words in the letters of the paper."""
    # Drawn here, with the words escaped by its maker.
    return mark_safe(sized(figure, 1.0, type_pt))


@register.simple_tag
def pain_scale(pictured: str, type_pt: int, *parts: str) -> SafeString:
    """Return the scale on which pain is scored; what to do within each part of it in words."""
    go_on, stop_one, stop_all = parts
    # Drawn here, with the words escaped by its maker.
    return mark_safe(pain_scale_svg(pictured, (go_on, stop_one, stop_all), type_pt))


@register.simple_tag
def panel(figure: str, type_pt: int) -> SafeString:
    """Return the panel of a plate, its letters those of the paper as far as it has the width."""
    wide_mm, _ = size_of(figure, type_pt / WORDS_PT, type_pt)
    return mark_safe(widened(figure, min(wide_mm, WIDTH_MM), type_pt))


@register.simple_tag
def wide(figure: str, wide_mm: int, type_pt: int) -> SafeString:
    """Return a picture in this width, its words in the letters of the paper."""
    return mark_safe(widened(figure, wide_mm, type_pt))
