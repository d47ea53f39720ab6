"""The drawn body: a woman in a light top and grey trousers, far limbs first and in shade."""

from __future__ import annotations

from programs.figures import head
from programs.figures.contours import (
    FOREARM_GIRTH,
    LOIN_GIRTH,
    NECK_GIRTH,
    RIBS_GIRTH,
    SHANK_GIRTH,
    THIGH_GIRTH,
    UPPER_ARM_GIRTH,
    Girth,
    ball,
    fist,
    foot,
    foot_ahead,
    limb,
    open_hand,
    placed,
)
from programs.figures.linework import (
    BLACK,
    DARK,
    LIGHT,
    SOFT,
    WHITE,
    Body,
    Mark,
)
from programs.figures.poses import (
    TRUNK,
    Plant,
    Point,
    Pose,
    Skeleton,
    Toward,
    along,
    between,
    direction,
)

#: What she wears, near and far: sleeves, trousers, skin.
SLEEVE, TROUSERS, SHADE, SHOE = WHITE, LIGHT, SOFT, DARK
EDGE, FAR_EDGE = 0.9, 0.6
GHOST = "#dcdcdc"

#: From the front: the thigh, and the shank under it.
_THIGH_AHEAD: Girth = (4.8, 4.8, 4.8, 3.4)
_LAP: Girth = (5.0, 5.2, 5.2, 4.6)
_SHANK_AHEAD: Girth = (3.4, 3.7, 3.7, 2.2)

#: A top from the front, its hem at the hip joints and its collar at the neck.
_TOP = (
    (-9.6, -2.2),
    (
        ((-9.8, 4.0), (-7.6, 12.0)),
        ((-7.4, 16.0), (-8.4, TRUNK - 6.0)),
        ((-10.6, TRUNK - 3.0),),
        ((-11.4, TRUNK + 2.6), (-7.6, TRUNK + 3.0)),
        ((-4.4, TRUNK + 3.6), (-2.9, TRUNK + 4.8)),
        ((0.0, TRUNK + 2.4), (2.9, TRUNK + 4.8)),
        ((4.4, TRUNK + 3.6), (7.6, TRUNK + 3.0)),
        ((11.4, TRUNK + 2.6), (10.6, TRUNK - 3.0)),
        ((8.4, TRUNK - 6.0),),
        ((7.4, 16.0), (7.6, 12.0)),
        ((9.8, 4.0), (9.6, -2.2)),
        ((0.0, -3.6), (-9.6, -2.2)),
    ),
)


def body_of(pose: Pose, points: Skeleton, grips: str = "") -> tuple[Mark, ...]:
    """Return the marks of a body, back to front.

    grips   the hands closed on something: "near", "far" or "both"
    """
    if pose.view == "side":
        return _from_side(pose, points, grips)
    return _from_front(pose, points, grips)


def fists(pose: Pose, points: Skeleton, grips: str) -> tuple[Mark, ...]:
    """Return the closed hands once more, to be drawn over what they hold.

    A far hand in the side view stays behind the body; the hands of who is seen from behind, too.
    """
    sides = ("near", "far") if pose.view == "front" else ("near",)
    if pose.seen_from == "back":
        return ()
    return tuple(
        Body(fist(wrist, direction(wrist, points[f"{side}_hand"])), WHITE, BLACK, EDGE)
        for side in sides
        if grips in (side, "both")
        for wrist in (points[f"{side}_wrist"],)
    )


def ghost_of(pose: Pose, points: Skeleton, other: tuple[Mark, ...]) -> tuple[Mark, ...]:
    """Return the parts of a body that are not in the same place in another, as one grey shade."""
    kept = {one for mark in other if isinstance(mark, Body) for one in mark.outlines}
    own = (one for mark in body_of(pose, points) if isinstance(mark, Body) for one in mark.outlines)
    moved = tuple(one for one in own if one not in kept)
    return (Body(moved, GHOST, width=0.0),) if moved else ()


def _from_side(pose: Pose, points: Skeleton, grips: str) -> tuple[Mark, ...]:
    def arm(side: str) -> tuple[Mark, ...]:
        return _arm(side, points, grips in (side, "both"), 1.0, shaded=side == "far")

    hand, sleeve = arm("near")
    return (
        *arm("far"),
        *_leg("far", pose, points, shaded=True),
        *_leg("near", pose, points, shaded=False),
        *_trunk(points),
        *_head(pose, points),
        hand,
        sleeve,
    )


def _from_front(pose: Pose, points: Skeleton, grips: str) -> tuple[Mark, ...]:
    arms = [
        mark
        for side, thumb in (("near", 1.0), ("far", -1.0))
        for mark in _arm(side, points, grips in (side, "both"), thumb, shaded=False)
    ]
    legs = [mark for side in ("near", "far") for mark in _leg_ahead(side, pose, points)]
    neck = Body((limb(between(points["chest"], points["head"], 0.2), points["head"], NECK_GIRTH),))
    top = placed(_TOP, points["hip"], pose.trunk - 90.0)
    trunk = (neck, Body((top,), SLEEVE, BLACK, EDGE))
    if pose.seen_from == "back":
        return (*arms, *legs, *trunk, *head.from_behind(points["head"], pose.head))
    face = head.facing(points["head"], pose.head)
    if isinstance(pose.near_leg, Toward):
        return (*trunk, *face, *legs, *arms)
    return (*legs, *trunk, *face, *arms)


def _arm(
    side: str, points: Skeleton, closed: bool, thumb: float, *, shaded: bool
) -> tuple[Mark, Mark]:
    """Return a hand and the sleeve it comes out of."""
    shoulder, elbow, wrist, tip = (
        points[f"{side}_{name}"] for name in ("shoulder", "elbow", "wrist", "fingertip")
    )
    turn = direction(wrist, tip)
    edge = FAR_EDGE if shaded else EDGE
    hand = fist(wrist, turn) if closed else open_hand(wrist, turn, thumb)
    sleeve = (limb(shoulder, elbow, UPPER_ARM_GIRTH), limb(elbow, wrist, FOREARM_GIRTH))
    return (
        Body(hand, WHITE, BLACK, edge),
        Body(sleeve, LIGHT if shaded else SLEEVE, BLACK, edge),
    )


def _leg(side: str, pose: Pose, points: Skeleton, *, shaded: bool) -> tuple[Mark, ...]:
    hip, knee, ankle = (points[f"{side}_{name}"] for name in ("hip", "knee", "ankle"))
    given = pose.near_leg if side == "near" else pose.far_leg
    turn = 0.0 if isinstance(given, Toward) else given.foot
    toes = 0.0 if isinstance(given, Plant) and turn < 0.0 else turn
    edge = FAR_EDGE if shaded else EDGE
    shoe = foot(ankle, points[f"{side}_ball"], turn, toes)
    trousers = (
        *(() if shaded else (ball(_seat(points), 5.4),)),
        limb(hip, knee, THIGH_GIRTH),
        limb(knee, ankle, SHANK_GIRTH),
    )
    return (
        Body(shoe, SHOE if pose.shod else WHITE, BLACK, edge),
        Body(trousers, SHADE if shaded else TROUSERS, BLACK, edge),
    )


def _leg_ahead(side: str, pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    hip, knee, ankle = (points[f"{side}_{name}"] for name in ("hip", "knee", "ankle"))
    behind = pose.seen_from == "back"
    shoe = foot_ahead(ankle, -1.0 if side == "near" else 1.0, behind)
    toward = isinstance(pose.near_leg, Toward)
    thigh = _LAP if toward else _THIGH_AHEAD
    trousers = (limb(hip, knee, thigh), limb(knee, ankle, _SHANK_AHEAD))
    return (
        Body((shoe,), SHOE if pose.shod else WHITE, BLACK, EDGE),
        Body(trousers, TROUSERS, BLACK, EDGE),
    )


def _trunk(points: Skeleton) -> tuple[Mark, ...]:
    hip, waist, chest = (points[name] for name in ("hip", "waist", "chest"))
    neck = limb(between(chest, points["head"], 0.15), points["head"], NECK_GIRTH)
    top = (limb(hip, waist, LOIN_GIRTH), limb(waist, chest, RIBS_GIRTH))
    return (Body((neck,), WHITE, BLACK, EDGE), Body(top, SLEEVE, BLACK, EDGE))


def _seat(points: Skeleton) -> Point:
    """Return the middle of the buttock: behind and below the hip joint."""
    hip = points["hip"]
    up = direction(hip, points["waist"])
    return along(along(hip, up, -1.6), up + 90.0, 1.4)


def _head(pose: Pose, points: Skeleton) -> tuple[Mark, ...]:
    centre = points["head"]
    gaze = pose.nose if pose.nose is not None else pose.head - 90.0
    if gaze == FACING:
        return head.facing(centre, pose.head)
    return head.profile(centre, gaze)


#: The direction of a nose that points at the viewer.
FACING = 360.0
