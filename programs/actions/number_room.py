"""Whether a telephone number has room in its box: on the narrowest paper, in the largest print.

The widths are those of the typeface of the papers, bold, in units of the letters' size. The boxes
are laid out in `static/handout.css`; `tests/rendered/test_emergency.py` prints a number on either
side of each limit.
"""

from __future__ import annotations

from programs.actions.printing import bold_width

#: How wide a number may be, in units of its own letters: for an emergency, and the clinic's.
EMERGENCY_EM, CLINIC_EM = 12.3, 16.4


def why_no_room(number: str, room_em: float) -> str:
    """Return why a number cannot be printed in one line; nothing where it can."""
    if bold_width(number) <= room_em:
        return ""
    fits = next(n for n in range(len(number), 0, -1) if bold_width(number[:n]) <= room_em)
    return (
        f"Too long: on the smallest paper in the largest letters about {fits} of its "
        f"{len(number)} signs fit in one line. Write one number, without words."
    )
