"""The sheet of each section."""

from __future__ import annotations

from collections.abc import Mapping

from patients.forms.found import AboutSheet, FracturesSheet, LiftsSheet, ScansSheet, TestsSheet
from patients.forms.sheet import Sheet
from patients.forms.told import (
    AimsSheet,
    ConditionsSheet,
    FallsSheet,
    MedicinesSheet,
    PlatesSheet,
    SymptomsSheet,
)

SHEETS: Mapping[str, type[Sheet]] = {
    sheet.section.code: sheet
    for sheet in (
        AboutSheet,
        FracturesSheet,
        ScansSheet,
        FallsSheet,
        TestsSheet,
        ConditionsSheet,
        SymptomsSheet,
        MedicinesSheet,
        AimsSheet,
        PlatesSheet,
        LiftsSheet,
    )
}
