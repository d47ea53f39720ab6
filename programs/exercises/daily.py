"""Daily movements to change when the spine must be spared.

What to change (rapid, repeated, loaded or end-range bending and twisting; lifting from the
floor): Giangregorio et al. 2014. How to move instead: common practice.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class DailyMovement:
    """One movement of the day: what to leave out, and what to do instead."""

    code: str
    name: str
    leave_out: str
    instead: str


DAILY_MOVEMENTS = (
    DailyMovement(
        code="sit",
        name="Sitting down and standing up",
        leave_out="Do not drop into a low, soft seat.",
        instead="Choose a firm, high chair. Lean forward from the hips and use your legs.",
    ),
    DailyMovement(
        code="bend",
        name="Bending down",
        leave_out="Do not bend at the waist to reach shoes, a low shelf or the sink.",
        instead="Bend your knees and fold at the hips. Rest one hand on something fixed.",
    ),
    DailyMovement(
        code="lift",
        name="Lifting",
        leave_out="Do not lift from the floor.",
        instead="Ask for help, or keep things at waist height. Hold each thing close to you.",
    ),
    DailyMovement(
        code="carry",
        name="Carrying",
        leave_out="Do not carry a heavy bag on one side.",
        instead="Split the load into two light bags, or push a trolley.",
    ),
    DailyMovement(
        code="turn",
        name="Turning round",
        leave_out="Do not twist with your feet fixed to the floor.",
        instead="Step round with your feet, so that hips and shoulders turn together.",
    ),
    DailyMovement(
        code="turn_in_bed",
        name="Turning in bed and getting up",
        leave_out="Do not sit straight up from lying on your back.",
        instead="Bend your knees and roll like a log. Push up with your arms from your side.",
    ),
    DailyMovement(
        code="cough",
        name="Coughing and sneezing",
        leave_out="Do not curl forward when you cough or sneeze.",
        instead="Stand or sit tall. Press a hand on your back or a pillow on your belly.",
    ),
    DailyMovement(
        code="reach",
        name="Reaching up",
        leave_out="Do not stretch far up or forward with a load.",
        instead="Step close first. Move things you use often to a shelf you reach with ease.",
    ),
    DailyMovement(
        code="housework",
        name="Sweeping and making beds",
        leave_out="Do not push and pull with a round or turned back.",
        instead="Walk with the broom. Kneel or sit to make the bed, one side at a time.",
    ),
)
