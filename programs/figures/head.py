"""Her head: grey hair in a bun, brow, nose, jaw and ear, so that one sees where she looks."""

from __future__ import annotations

from programs.figures.contours import ball, placed
from programs.figures.linework import BLACK, MIDDLE, WHITE, Body, Lines, Mark
from programs.figures.poses import Point, along

HAIR = MIDDLE
#: Half the height of the head; nothing is drawn much further from its middle but the bun.
_LINE = 0.7

#: A face that looks to the right, crown up.
_PROFILE = (
    (-4.6, -2.4),
    (
        ((-6.6, 5.6), (-0.6, 6.4)),
        ((4.2, 6.4), (5.1, 2.4)),
        ((4.9, 1.4), (5.2, 0.9)),
        ((6.2, -0.6), (7.0, -1.3)),
        ((6.8, -2.0), (5.4, -2.0)),
        ((5.9, -2.9), (5.3, -3.3)),
        ((5.7, -3.9), (5.1, -4.2)),
        ((5.5, -6.0), (3.9, -6.4)),
        ((1.6, -6.2), (-0.6, -3.6)),
    ),
)
_HAIR = (
    (-4.9, -3.0),
    (
        ((-6.9, 0.4), (-5.4, 3.6)),
        ((-3.2, 7.0), (0.8, 6.7)),
        ((4.4, 6.3), (4.6, 4.0)),
        ((2.6, 4.6), (1.6, 2.6)),
        ((0.9, 1.0), (0.6, -0.9)),
        ((-1.6, -0.4), (-2.2, -2.6)),
        ((-3.4, -3.6), (-4.9, -3.0)),
    ),
)
#: A face that looks at the viewer.
_OVAL = (
    (-4.8, 1.4),
    (
        ((-4.6, 6.5), (0.0, 6.5)),
        ((4.6, 6.5), (4.8, 1.4)),
        ((4.6, -3.4), (2.4, -5.4)),
        ((0.0, -7.2), (-2.4, -5.4)),
        ((-4.6, -3.4), (-4.8, 1.4)),
    ),
)
_FRINGE = (
    (-5.2, 0.4),
    (
        ((-5.6, 7.0), (0.0, 7.0)),
        ((5.6, 7.0), (5.2, 0.4)),
        ((4.6, 3.0), (2.4, 4.2)),
        ((0.4, 4.9), (-0.6, 4.6)),
        ((-4.0, 3.4), (-5.2, 0.4)),
    ),
)
_CROWN = (
    (-5.0, -0.6),
    (
        ((-5.6, 6.8), (0.0, 6.8)),
        ((5.6, 6.8), (5.0, -0.6)),
        ((4.4, -4.6), (2.2, -5.4)),
        ((0.0, -6.0), (-2.2, -5.4)),
        ((-4.4, -4.6), (-5.0, -0.6)),
    ),
)


def profile(centre: Point, gaze: float) -> tuple[Mark, ...]:
    """Return a head seen from its side that looks in a direction."""

    def at(x: float, y: float) -> Point:
        return along(along(centre, gaze, x), gaze + 90.0, y)

    return (
        Body((ball(at(-6.2, 2.2), 2.5),), HAIR, BLACK, _LINE),
        Body((placed(_PROFILE, centre, gaze),), WHITE, BLACK, _LINE),
        Body((placed(_HAIR, centre, gaze),), HAIR, BLACK, _LINE / 2.0),
        Body((ball(at(-0.4, -1.0), 1.2),), WHITE, BLACK, _LINE / 2.0),
        Lines(
            (
                (at(3.4, 0.7), at(3.8, 0.3), at(3.5, 0.3)),
                (at(2.9, 2.3), at(4.4, 2.3)),
                (at(4.0, -3.6), at(5.2, -3.5)),
            )
        ),
    )


def facing(centre: Point, crown: float) -> tuple[Mark, ...]:
    """Return a head that looks at the viewer, its crown in a direction."""
    turn = crown - 90.0

    def at(x: float, y: float) -> Point:
        return along(along(centre, turn, x), turn + 90.0, y)

    ears = tuple(ball(at(x, -0.4), 1.3) for x in (-4.9, 4.9))
    eyes = tuple((at(x - 0.4, 0.2), at(x + 0.4, 0.2), at(x, -0.1)) for x in (-2.1, 2.1))
    brows = tuple((at(x, 2.1), at(1.9 * x, 2.0)) for x in (-1.6, 1.6))
    nose = (at(0.3, -0.4), at(0.6, -1.9), at(-0.3, -1.9))
    mouth = (at(-1.4, -3.8), at(0.0, -3.95), at(1.4, -3.8))
    return (
        Body((ball(at(0.0, 6.6), 2.4),), HAIR, BLACK, _LINE),
        Body((*ears, placed(_OVAL, centre, turn)), WHITE, BLACK, _LINE),
        Body((placed(_FRINGE, centre, turn),), HAIR, BLACK, _LINE / 2.0),
        Lines((*eyes, *brows, nose, mouth), 0.8),
    )


def from_behind(centre: Point, crown: float) -> tuple[Mark, ...]:
    """Return a head seen from behind: hair, ears and the bun."""
    turn = crown - 90.0
    ears = tuple(ball(along(along(centre, turn, x), crown, -0.4), 1.3) for x in (-4.9, 4.9))
    return (
        Body(ears, WHITE, BLACK, _LINE),
        Body((placed(_CROWN, centre, turn),), HAIR, BLACK, _LINE),
        Body((ball(along(centre, crown, 0.8), 2.6),), HAIR, WHITE, _LINE / 2.0),
    )
