"""Why an action on a program is not done."""

from __future__ import annotations

from collections.abc import Sequence

from programs.edit.judge import Judged, gathered
from programs.models.program import Plan


class NotDone(Exception):
    """An action that would break a rule of the record or of the dose; says so in words."""


class NotOpen(NotDone):
    """The plan is signed, or dropped, and takes no change; a new version does."""

    def __init__(self, plan: Plan) -> None:
        words = "signed" if plan.state == Plan.SIGNED else "replaced by a newer draft"
        super().__init__(f"Version {plan.version} is {words}. It is not changed any more.")
        self.plan = plan


class ChangedMeanwhile(NotDone):
    """Somebody changed the plan after the form was opened; `plan` is how it stands."""

    def __init__(self, plan: Plan) -> None:
        super().__init__("This plan was changed after you had opened it.")
        self.plan = plan


class Stale(NotDone):
    """What is known, the day or the rulebook leads to another draft now; `reasons` say what."""

    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__(" ".join(reasons))
        self.reasons = tuple(reasons)


class Breached(NotDone):
    """A change passes a limit that no reason lets pass; `judged` says which."""

    def __init__(self, judged: Judged) -> None:
        super().__init__(" ".join(p.first.text for p in gathered(judged.refused)))
        self.judged = judged


class ReasonNeeded(NotDone):
    """A change stands only with a written reason; `judged` says what it passes."""

    def __init__(self, judged: Judged) -> None:
        super().__init__("Write down the reason for this.")
        self.judged = judged
