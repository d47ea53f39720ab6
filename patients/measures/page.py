"""The measures page as a whole, from facts and the rows behind them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass

from patients import heights
from patients.ages import add_months
from patients.charts import Mark
from patients.facts import Facts, Scan, Tests
from patients.fracture_marks import Since, since_fractures
from patients.heights import Loss
from patients.measures.density import ClinicErrors, DensityBlock, density_blocks
from patients.measures.function import FunctionPage, function_page
from patients.measures.markers import MarkerBlock, marker_blocks


@dataclass(frozen=True)
class MeasuresPage:
    """All measurements for reading; look tells that vertebral fracture is to be looked for."""

    density: tuple[DensityBlock, ...]
    markers: tuple[MarkerBlock, ...]
    function: FunctionPage
    losses: tuple[Loss, ...]
    look: bool
    fractures: tuple[Since, ...]

    @property
    def empty(self) -> bool:
        """Tell whether nothing is on record to show."""
        shown = (self.density, self.markers, self.function.rows, self.losses, self.fractures)
        return not any(shown)


def measures_page(
    facts: Facts,
    parts: Sequence[str | None],
    tests: Sequence[Tests],
    errors: ClinicErrors,
    marks: Sequence[Mark] = (),
) -> MeasuresPage:
    """Return the page. parts goes with facts.scans; tests are those of all days, oldest first."""
    losses = heights.losses(facts)
    scans: tuple[Scan, ...] = facts.scans or ()
    return MeasuresPage(
        density=density_blocks(scans, parts, errors, marks),
        markers=marker_blocks(facts, marks),
        function=function_page(facts, tests, marks),
        losses=losses,
        look=heights.looks(losses),
        fractures=since_fractures(facts),
    )


def bone_medicine_mark(facts: Facts, told_on: dt.date | None) -> tuple[Mark, ...]:
    """Return when her bone medicine began, by the months she had it on the day she told.

    () where it is not taken, or its months are not recorded.
    """
    medicine = facts.medicine("bone_medicine")
    if not medicine.answer or medicine.months is None or told_on is None:
        return ()
    return (Mark(add_months(told_on, -round(medicine.months)), "bone medicine, about"),)
