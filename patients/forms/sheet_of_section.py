"""The sheet of each section."""

from __future__ import annotations

from collections.abc import Mapping

from patients.forms.sheet import Sheet
from patients.forms.sheets_asked import (
    AimsSheet,
    ConditionsSheet,
    FallsSheet,
    MedicinesSheet,
    PlatesSheet,
    SymptomsSheet,
)
from patients.forms.sheets_measured import (
    AboutSheet,
    FracturesSheet,
    LiftsSheet,
    ScansSheet,
    TestsSheet,
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
