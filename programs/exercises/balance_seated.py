"""Balance for somebody who does not stand: sitting, or propped up in bed. It has no rungs."""

from __future__ import annotations

from programs.exercises.exercise import Exercise
from safety.findings import Modality

BALANCE = frozenset({"balance"})
SITTING = frozenset({"sitting"})
TRUNK = ("belly", "back", "hips")
SEAT = "Sit tall on a firm chair, or in a wheelchair with the brakes on."
PROPPED = "Rest half sitting in bed with firm pillows behind your back and head."

EXERCISES = (
    Exercise(
        code="sitting_reach",
        name="Reaching out, sitting",
        modality=Modality.BALANCE,
        loads=BALANCE,
        position="seated",
        start=SEAT,
        steps=(
            "Sit away from the back rest with your feet flat.",
            "Reach one arm forward; lean from the hips with a long back.",
            "Sit tall again, then reach out to the side.",
            "Sit tall again, then reach up.",
            "Change arms.",
        ),
        feel="Feel your body bring you back to the middle.",
        avoid="Do not reach so far that you could tip.",
        muscles=TRUNK,
        hands_allowed=True,
        bars=frozenset({"arms", "sitting"}),
    ),
    Exercise(
        code="sitting_weight_shift",
        name="Weight shift, sitting",
        modality=Modality.BALANCE,
        loads=BALANCE,
        position="seated",
        start=SEAT,
        steps=(
            "Sit away from the back rest with your hands on your thighs.",
            "Move your weight slowly onto one side of your seat.",
            "Hold there and stay tall.",
            "Move your weight slowly to the other side.",
        ),
        feel="Feel one side of your seat take most of your weight.",
        avoid="Do not bend sideways at the waist.",
        muscles=TRUNK,
        hands_allowed=True,
        bars=SITTING,
        hold_s=5,
    ),
    Exercise(
        code="sitting_foot_lift",
        name="One foot lifted, sitting",
        modality=Modality.BALANCE,
        loads=BALANCE,
        position="seated",
        start=SEAT,
        steps=(
            "Sit away from the back rest with your hands on your thighs.",
            "Lift one foot just off the floor.",
            "Look straight ahead and hold.",
            "Put the foot down, then lift the other.",
        ),
        feel="Feel your belly and hips keep you steady.",
        avoid="Do not lean back or to one side.",
        muscles=TRUNK,
        hands_allowed=True,
        bars=SITTING,
        hold_s=5,
    ),
    Exercise(
        code="propped_reach",
        name="Reaching out, propped up in bed",
        modality=Modality.BALANCE,
        loads=BALANCE,
        position="lying",
        start=PROPPED,
        steps=(
            "Bend your knees a little and put a pillow under them.",
            "Reach one arm forward, then rest.",
            "Reach out to the side over the bed, then rest.",
            "Change arms.",
        ),
        feel="Feel your body bring you back to the middle.",
        avoid="Do not reach over the edge of the bed.",
        muscles=TRUNK,
        hands_allowed=True,
        bars=frozenset({"arms"}),
    ),
    Exercise(
        code="propped_weight_shift",
        name="Weight shift, propped up in bed",
        modality=Modality.BALANCE,
        loads=BALANCE,
        position="lying",
        start=PROPPED,
        steps=(
            "Rest your hands on your belly.",
            "Move your weight slowly onto one side of your seat.",
            "Hold there as you keep breathing.",
            "Move your weight slowly to the other side.",
        ),
        feel="Feel one side of your seat take most of your weight.",
        avoid="Do not slide down the pillows.",
        muscles=TRUNK,
        hands_allowed=True,
        hold_s=5,
    ),
)

LADDERS: tuple[tuple[str, ...], ...] = (
    ("propped_reach", "sitting_reach"),
    ("propped_weight_shift", "sitting_weight_shift", "sitting_foot_lift"),
)
