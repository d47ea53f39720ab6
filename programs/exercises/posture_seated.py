"""Posture exercises for somebody who does not stand: on a chair or in a wheelchair."""

from __future__ import annotations

from programs.exercises.exercise import Exercise
from safety.findings import Modality

SPINE = frozenset({"spine"})
SITTING = frozenset({"sitting"})
SEAT = "Sit tall on a firm chair, or in a wheelchair with the brakes on."

EXERCISES = (
    Exercise(
        code="sit_tall",
        name="Sitting tall",
        modality=Modality.POSTURE,
        loads=SPINE,
        position="seated",
        start="Sit well back on a firm chair, or in a wheelchair with the brakes on.",
        steps=(
            "Place your feet flat and rest your hands on your thighs.",
            "Reach up with the top of your head.",
            "Draw your chin in gently.",
            "Hold as you keep breathing, then rest.",
        ),
        feel="Feel your back work to hold you long.",
        avoid="Do not push your ribs forward.",
        muscles=("back", "belly"),
        hands_allowed=True,
        bars=SITTING,
        hold_s=5,
    ),
    Exercise(
        code="trunk_lean",
        name="Lean forward with a long back, sitting",
        modality=Modality.POSTURE,
        loads=SPINE,
        position="seated",
        start=SEAT,
        steps=(
            "Place your feet flat and rest your hands on your thighs.",
            "Lean forward a little from the hips, chest up, back long.",
            "Hold there as you keep breathing.",
            "Rise from the hips until you sit tall.",
        ),
        feel="Feel your hips fold and your back stay long.",
        avoid="Do not bend at the waist or lean so far that you could tip.",
        muscles=("back", "buttocks"),
        hands_allowed=True,
        bars=SITTING,
        hold_s=5,
    ),
    Exercise(
        code="sitting_shoulder_squeeze",
        name="Shoulder squeeze, sitting",
        modality=Modality.POSTURE,
        loads=SPINE,
        position="seated",
        start=SEAT,
        steps=(
            "Rest your hands in your lap.",
            "Draw your shoulder blades back and down.",
            "Hold as you keep breathing, then rest.",
        ),
        feel="Feel the muscles between your shoulder blades.",
        avoid="Do not shrug up to your ears.",
        muscles=("upper back", "back of the shoulders"),
        hands_allowed=False,
        bars=SITTING,
        hold_s=5,
    ),
    Exercise(
        code="sitting_chin_tuck",
        name="Chin tuck, sitting",
        modality=Modality.POSTURE,
        loads=SPINE,
        position="seated",
        start=SEAT,
        steps=(
            "Look straight ahead.",
            "Draw your chin straight back, as if to make a double chin.",
            "Hold as you keep breathing, then rest.",
        ),
        feel="Feel the back of your neck grow long.",
        avoid="Do not tip your head up or down.",
        muscles=("neck",),
        hands_allowed=False,
        bars=SITTING,
        hold_s=5,
    ),
)

LADDERS: tuple[tuple[str, ...], ...] = (("sit_tall", "trunk_lean"),)
