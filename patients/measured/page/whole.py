"""The measures page as a whole, from facts and the rows behind them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field

from patients.facts.ages import add_months
from patients.facts.declared import Facts, Scan, Tests
from patients.measured import height_loss
from patients.measured.chance_of_seeing import USUAL_LOSS
from patients.measured.chart import Mark
from patients.measured.height_loss import Loss
from patients.measured.page.density import ClinicErrors, DensityBlock, density_blocks
from patients.measured.page.function import FunctionPage, function_page
from patients.measured.page.markers import LaboratoryLscs, MarkerBlock, marker_blocks
from patients.measured.page.trend import Known, TrendBlock, trend_block
from patients.measured.page.worry import WorryBlock, worry_block
from patients.measured.time_since_fractures import Since, since_fractures
from patients.measured.trend import events_of
from patients.measured.worry import Answered


@dataclass(frozen=True)
class MeasuresPage:
    """All measurements for reading; look tells that vertebral fracture is to be looked for."""

    density: tuple[DensityBlock, ...]
    markers: tuple[MarkerBlock, ...]
    function: FunctionPage
    losses: tuple[Loss, ...]
    look: bool
    fractures: tuple[Since, ...]
    worry: WorryBlock | None
    trend: TrendBlock | None

    @property
    def empty(self) -> bool:
        """Tell whether nothing is on record to show."""
        shown = (self.density, self.markers, self.function.rows, self.losses, self.fractures)
        return not any(shown) and self.worry is None


@dataclass(frozen=True, kw_only=True)
class Beside:
    """What the page takes beside the facts.

    parts    vertebrae or side, with facts.scans
    tests    the function tests of all days, oldest first
    worries  the worry scale of all days, oldest first
    errors   of the clinic's scanners; lscs: of its laboratory
    marks    what happened, to stand in every picture
    loss_percent_a_year  what she is taken to lose without training
    programs   the days of programs alone
    medicines_told_on  the day on which her medicines were told of
    """

    parts: Sequence[str | None] = ()
    tests: Sequence[Tests] = ()
    worries: Sequence[Answered] = ()
    errors: ClinicErrors = field(default_factory=dict)
    lscs: LaboratoryLscs = field(default_factory=dict)
    marks: Sequence[Mark] = ()
    loss_percent_a_year: float = USUAL_LOSS
    programs: Sequence[Mark] = ()
    medicines_told_on: dt.date | None = None


def measures_page(facts: Facts, beside: Beside) -> MeasuresPage:
    """Return the page."""
    losses = height_loss.losses(facts)
    scans: tuple[Scan, ...] = facts.scans or ()
    return MeasuresPage(
        density=density_blocks(
            scans, beside.parts, beside.errors, beside.marks, beside.loss_percent_a_year
        ),
        markers=marker_blocks(facts, beside.lscs, beside.marks),
        function=function_page(facts, beside.tests, beside.marks),
        losses=losses,
        look=height_loss.looks(losses),
        fractures=since_fractures(facts),
        worry=worry_block(beside.worries, beside.marks),
        trend=_trend(facts, beside),
    )


def _trend(facts: Facts, beside: Beside) -> TrendBlock | None:
    known = Known(
        facts=facts,
        parts=beside.parts,
        tests=beside.tests,
        errors=beside.errors,
        lscs=beside.lscs,
    )
    return trend_block(known, events_of(facts, beside.programs, beside.medicines_told_on))


def bone_medicine_mark(facts: Facts, told_on: dt.date | None) -> tuple[Mark, ...]:
    """Return when her bone medicine began, by the months she had it on the day she told.

    () where it is not taken, or its months are not recorded.
    """
    medicine = facts.medicine("bone_medicine")
    if not medicine.answer or medicine.months is None or told_on is None:
        return ()
    return (Mark(add_months(told_on, -round(medicine.months)), "bone medicine, about"),)
