"""Positions on a vibration plate. Knees stay soft, so that the head is spared."""

from __future__ import annotations

from programs.exercises.exercise import Exercise
from safety.findings import Modality

HIP_AND_SPINE = frozenset({"hip", "spine", "balance"})
PLATE = frozenset({"plate"})
LEGS = ("calves", "thighs", "buttocks")

EXERCISES = (
    Exercise(
        code="plate_knees_bent",
        name="Standing on the plate, knees bent",
        modality=Modality.PLATE,
        loads=HIP_AND_SPINE,
        equipment=PLATE,
        position="standing",
        start="Stand on the plate in flat shoes or socks and hold the rail.",
        steps=(
            "Place your feet as wide as your hips.",
            "Bend your knees 20 to 30 degrees and keep them so.",
            "Stand tall and look straight ahead.",
            "Stay on until the plate stops, then step off slowly.",
        ),
        feel="Feel the shaking in your legs, not in your head.",
        avoid="Do not lock your knees.",
        muscles=LEGS,
        hands_allowed=True,
        bars=frozenset({"standing"}),
    ),
    Exercise(
        code="plate_feet_close",
        name="Feet close on a tilting plate",
        modality=Modality.PLATE,
        loads=HIP_AND_SPINE,
        equipment=PLATE,
        position="standing",
        start="Stand with your feet close to the middle line and hold the rail.",
        steps=(
            "Place both feet the same way out from the middle.",
            "Bend your knees 20 to 30 degrees and keep them so.",
            "Stand tall and let your hips rock with the plate.",
            "Stay on until the plate stops, then step off slowly.",
        ),
        feel="Feel a gentle rocking from foot to foot.",
        avoid="Do not let one foot drift out.",
        muscles=LEGS,
        hands_allowed=True,
        bars=frozenset({"standing"}),
    ),
    Exercise(
        code="plate_feet_wide",
        name="Feet wider on a tilting plate",
        modality=Modality.PLATE,
        loads=HIP_AND_SPINE,
        equipment=PLATE,
        position="standing",
        start="Stand with your feet on the outer marks and hold the rail.",
        steps=(
            "Place both feet on the marks your clinic gave you.",
            "Bend your knees 20 to 30 degrees and keep them so.",
            "Stand tall and let your hips rock with the plate.",
            "Stay on until the plate stops, then step off slowly.",
        ),
        feel="Feel a stronger rocking from foot to foot.",
        avoid="Do not go wider than your marks.",
        muscles=LEGS,
        hands_allowed=True,
        bars=frozenset({"standing"}),
        fragile_spine=False,
    ),
    Exercise(
        code="plate_upright",
        name="Standing still on a gentle plate",
        modality=Modality.PLATE,
        loads=HIP_AND_SPINE,
        equipment=PLATE,
        position="standing",
        start="Stand on the plate in flat shoes or socks and hold the rail.",
        steps=(
            "Place your feet as wide as your hips.",
            "Stand tall with soft knees.",
            "Breathe and look straight ahead until the plate stops.",
        ),
        feel="Feel a light hum under your feet.",
        avoid="Do not slump or lean on the rail.",
        muscles=LEGS,
        hands_allowed=True,
        bars=frozenset({"standing"}),
    ),
    Exercise(
        code="plate_deep_bend",
        name="Deeper knee bend on the plate",
        modality=Modality.PLATE,
        loads=HIP_AND_SPINE,
        equipment=PLATE,
        position="standing",
        start="Stand on the plate, feet as wide as your shoulders, and hold the rail.",
        steps=(
            "Sit back until your knees are bent about 60 degrees.",
            "Keep your back long and your heels down.",
            "Stay there until the plate stops.",
            "Stand up and step off slowly.",
        ),
        feel="Feel the fronts of your thighs work.",
        avoid="Do not bend so deep that your heels lift.",
        muscles=LEGS,
        hands_allowed=True,
        bars=frozenset({"standing"}),
        fragile_spine=False,
        # For the clinician to choose once standing is easy.
        drafted=False,
    ),
)

LADDERS: tuple[tuple[str, ...], ...] = (
    ("plate_upright", "plate_knees_bent", "plate_deep_bend"),
    ("plate_feet_close", "plate_feet_wide"),
)
