"""Resistance exercises for somebody who lies in bed, flat or propped up on pillows."""

from __future__ import annotations

from programs.exercises.exercise import Exercise
from safety.findings import Modality

HIP = frozenset({"hip"})
WRIST = frozenset({"wrist"})
ARMS = frozenset({"arms"})

EXERCISES = (
    Exercise(
        code="bed_chest_press",
        name="Chest press with weights, on the bed",
        modality=Modality.RESISTANCE,
        loads=WRIST,
        equipment=frozenset({"dumbbells"}),
        position="lying",
        start="Lie on your back on a firm bed with your knees bent, feet flat.",
        steps=(
            "Ask someone to hand you the weights and to take them back.",
            "Rest your upper arms on the bed, forearms straight up.",
            "Breathe out and press the weights up over your chest.",
            "Lower them slowly until your arms touch the bed.",
        ),
        feel="Feel your chest and the backs of your arms work.",
        avoid="Do not let your wrists bend back.",
        muscles=("chest", "back of the arms"),
        hands_allowed=False,
        bars=ARMS,
        loadable=True,
    ),
    Exercise(
        code="propped_arm_raise",
        name="Arm raise, propped up in bed",
        modality=Modality.RESISTANCE,
        loads=WRIST,
        position="lying",
        start="Rest half sitting in bed with firm pillows behind your back and head.",
        steps=(
            "Let your arms lie by your sides.",
            "Breathe out and lift one arm forward to the height of your shoulder.",
            "Hold for two counts.",
            "Lower it slowly, then change arms.",
        ),
        feel="Feel the front of your shoulder work.",
        avoid="Do not shrug or let your head poke forward.",
        muscles=("shoulders",),
        hands_allowed=False,
        bars=ARMS,
    ),
    Exercise(
        code="bed_elbow_press",
        name="Elbow press into the bed",
        modality=Modality.RESISTANCE,
        loads=frozenset({"spine"}),
        position="lying",
        start="Lie on your back on a firm bed with your elbows bent beside you.",
        steps=(
            "Draw your chin in gently.",
            "Breathe out and press both elbows down into the bed.",
            "Hold the press for five counts as you keep breathing.",
            "Relax for two counts.",
        ),
        feel="Feel the muscles between your shoulder blades.",
        avoid="Do not hold your breath or arch your low back.",
        muscles=("upper back", "back of the shoulders"),
        hands_allowed=False,
        bars=ARMS,
        hold_s=5,
    ),
    Exercise(
        code="bed_knee_straightening",
        name="Knee straightening, lying",
        modality=Modality.RESISTANCE,
        loads=HIP,
        position="lying",
        start="Lie on your back on a firm bed with a thick rolled towel under one knee.",
        steps=(
            "Draw your toes up.",
            "Breathe out and lift that heel until the knee is straight.",
            "Keep the knee on the towel and hold for three counts.",
            "Lower the heel slowly, then change legs.",
        ),
        feel="Feel the front of your thigh work.",
        avoid="Do not lift your thigh off the towel.",
        muscles=("front of the thighs",),
        hands_allowed=False,
    ),
    Exercise(
        code="lying_side_slide",
        name="Leg slide to the side, lying",
        modality=Modality.RESISTANCE,
        loads=HIP,
        position="lying",
        start="Lie on your back on a firm bed with both legs long.",
        steps=(
            "Point your toes and your knees up.",
            "Slide one leg out to the side with the heel on the bed.",
            "Slide it back slowly, then change legs.",
        ),
        feel="Feel the side of your hip work.",
        avoid="Do not let the leg roll out.",
        muscles=("side of the hips",),
        hands_allowed=False,
    ),
)

LADDERS: tuple[tuple[str, ...], ...] = ()
