"""The pictures of an exercise with the words under them and their text alternatives."""

from __future__ import annotations

from collections.abc import Mapping

from programs.exercises import EXERCISES
from programs.figures import SCENES, figure_svg, poses_of, wrong_svg
from programs.figures.poses import Pose
from programs.figures.seen import seen
from programs.papers.numbers import headed
from programs.papers.paper_parts import Words, gettext_noop, told

#: What stands under one pose, under two, under three.
UNDER: Mapping[int, tuple[str, ...]] = {
    1: (gettext_noop("Stay so"),),
    2: (gettext_noop("Start"), gettext_noop("End")),
    3: (gettext_noop("Start"), gettext_noop("Then"), gettext_noop("End")),
}
#: What is seen of a pose: programs/figures/seen.py.
SEEN: Mapping[str, str] = {
    "standing": gettext_noop("Standing"),
    "plate": gettext_noop("Standing on the plate"),
    "step": gettext_noop("Standing on the step"),
    "sitting": gettext_noop("Sitting on a seat"),
    "wheelchair": gettext_noop("Sitting in a wheelchair"),
    "lying": gettext_noop("Lying on the back"),
    "propped": gettext_noop("Half sitting in bed"),
    "on_side": gettext_noop("Lying on one side"),
    "prone": gettext_noop("Lying face down"),
    "hands_and_knees": gettext_noop("On hands and knees"),
    "one_knee": gettext_noop("With one knee on the floor"),
    "on_bed": gettext_noop("Sitting on the edge of the bed"),
    "airborne": gettext_noop("both feet off the floor"),
    "heels": gettext_noop("both heels lifted"),
    "toes": gettext_noop("toes lifted"),
    "one_foot": gettext_noop("one foot lifted"),
    "leg_back": gettext_noop("one leg stretched back"),
    "leg_aside": gettext_noop("one leg out to the side"),
    "leg_ahead": gettext_noop("one leg straight out ahead"),
    "on_step": gettext_noop("one foot on the step"),
    "stride": gettext_noop("one foot ahead of the other"),
    "apart": gettext_noop("feet wide apart"),
    "together": gettext_noop("feet close together"),
    "knees": gettext_noop("knees bent"),
    "forward": gettext_noop("leaning forward with a straight back"),
    "backward": gettext_noop("leaning back"),
    "aside": gettext_noop("leaning to one side"),
    "hips": gettext_noop("hips lifted"),
    "round": gettext_noop("back round"),
    "hollow": gettext_noop("low back hollow"),
    "head": gettext_noop("head poked forward"),
    "shrug": gettext_noop("shoulders drawn up"),
    "elbows": gettext_noop("elbows bent"),
    "worktop": gettext_noop("both hands on the worktop"),
    "one_worktop": gettext_noop("one hand on the worktop"),
    "up": gettext_noop("arms up"),
    "out": gettext_noop("arms out to the sides"),
    "reach": gettext_noop("arms out ahead"),
    "one_up": gettext_noop("one arm up"),
    "one_out": gettext_noop("one arm out to the side"),
    "one_reach": gettext_noop("one arm stretched ahead"),
}


def picture(code: str, words: Words) -> str:
    """Return an exercise's picture; its alternative describes the poses. Raises KeyError."""
    exercise = EXERCISES[code]
    return _picture(code, words.gettext(exercise.name), exercise.muscles, words)


def getting_up(words: Words) -> str:
    """Return the picture of getting up from the floor, which is no exercise."""
    return _picture("get_up", words.gettext("Getting up from the floor"), (), words)


def wrong_picture(code: str, words: Words) -> str:
    """Return the crossed-out picture of what an exercise's poses avoid, or nothing."""
    wrong = SCENES[code].wrong
    if wrong is None:
        return ""
    return wrong_svg(code, words.gettext("Wrong: {pose}").format(pose=pose_words(wrong, words)))


def _picture(code: str, name: str, muscles: tuple[str, ...], words: Words) -> str:
    under = told(UNDER[poses_of(code)], words)
    poses = [pose_words(panel.pose, words) for panel in SCENES[code].panels]
    if len(set(poses)) == 1:
        return figure_svg(code, f"{name}. {poses[0]}.", under, muscles)
    shown = (headed(word, f"{pose}.", words) for word, pose in zip(under, poses, strict=True))
    return figure_svg(code, f"{name}. {' '.join(shown)}", under, muscles)


def pose_words(pose: Pose, words: Words) -> str:
    """Return a pose in words: "Standing, both heels lifted, both hands on the worktop"."""
    return ", ".join(words.gettext(SEEN[one]) for one in seen(pose))
