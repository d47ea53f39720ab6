"""What the tests of the figures look at: all poses, and how a picture is measured."""

import math
import xml.etree.ElementTree as ET

from programs.figures import (
    SCENES,
    figure_svg,
    poses_of,
)
from programs.figures.poses import (
    FOOT_BREADTH,
    SHANK,
    SOLE_RADIUS,
    THIGH,
    skeleton,
)
from programs.figures.props import BED

SVG = "{http://www.w3.org/2000/svg}"
RIGHT = {
    f"{code}-{number}": panel.pose
    for code, scene in SCENES.items()
    for number, panel in enumerate(scene.panels, start=1)
}
WRONG = {f"{code}-wrong": scene.wrong for code, scene in SCENES.items() if scene.wrong}
POSES = RIGHT | WRONG
#: The back is round before she makes herself tall.
SLUMPED = {"sit_tall-1", "wall_stand_tall-1"}
#: Off the floor, or held by a machine's seat and foot plate, or on the seat and lifted.
AIRBORNE = {"held_jump-2", "small_jump-2", "one_leg_hop-2", "star_jump-2"}
STANDING = {
    name: pose for name, pose in RIGHT.items() if pose.base == "standing" and name not in AIRBORNE
}
#: The heights a foot may stand on: floor, low step or foot rest, plate, higher step, bed.
SURFACES = (0.0, 6.3, 7.0, 9.4, BED)
#: Arms turned out to the side, which a side view cannot show as a plain hinge.
OUT_OF_PLANE = {
    *("chest_opener-2", "chest_opener-wrong", "log_roll-3", "barbell_squat-wrong"),
    *("barbell_squat-1", "barbell_squat-2"),
}
WORDS = ("Start", "Then", "End")


def words_for(code):
    return WORDS[: poses_of(code)]


def root(code, title="A title", words=None):
    return ET.fromstring(figure_svg(code, title, words or words_for(code)))


def sizes(svg):
    """Return width and height of a picture in its own units and in mm."""
    left, top, *units = map(float, svg.get("viewBox").split())
    assert (left, top) == (0, 0)
    return *units, *(float(svg.get(name).removesuffix("mm")) for name in ("width", "height"))


def lowest(pose, side):
    points = skeleton(pose)
    radius = FOOT_BREADTH / 2 if pose.view == "front" else SOLE_RADIUS
    return min(points[f"{side}_heel"][1], points[f"{side}_toe"][1]) - radius


def to_line(point, start, end):
    """Return the distance of a point from a line between two."""
    (x, y), (ax, ay), (bx, by) = point, start, end
    along = ((x - ax) * (bx - ax) + (y - ay) * (by - ay)) / math.dist(start, end) ** 2
    along = min(1.0, max(0.0, along))
    return math.dist(point, (ax + along * (bx - ax), ay + along * (by - ay)))


def knee_bend(pose):
    points = skeleton(pose)
    gap = math.dist(points["near_hip"], points["near_ankle"])
    inside = math.acos((THIGH**2 + SHANK**2 - gap**2) / (2 * THIGH * SHANK))
    return 180 - math.degrees(inside)
