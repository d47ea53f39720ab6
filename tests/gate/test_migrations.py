"""Migrations: a new code of the trade needs none, and the one that saw to it touches no table."""

import sys
from pathlib import Path

from django.apps import apps
from django.utils.choices import CallableChoiceIterator

from tests.gate.project import APPS, run

#: Columns whose choices are written into migrations: states that the program itself knows, not
#: codes of the trade. A new one comes with new code.
STATES = {
    *("patients.scanrow.side", "patients.fracturerow.date_is", "safety.riskflag.kind"),
    *("patients.liftset.on_is", "patients.patient.born_is"),
    *("programs.plan.state", "programs.sessionlog.done"),
    *("programs.limitchange.change", "programs.clinicdetails.paper"),
    *("programs.programstate.state", "programs.stoptold.how"),
    "programs.doctoranswered.answer",
}

ONE_MORE_OF_EACH = """
import sys
from types import MappingProxyType

from patients.facts import codes

for name, labels in list(vars(codes).items()):
    if isinstance(labels, MappingProxyType):
        setattr(codes, name, MappingProxyType({**labels, "brand_new": "brand new"}))

import django
from django.core.management import call_command

django.setup()

from patients.models.patient import FractureRow, MarkerRow, Patient, ScanRow
from safety.models import Clearance

for model, column in (
    *((Clearance, "subject"), (FractureRow, "site"), (ScanRow, "site"), (Patient, "sex")),
    *((MarkerRow, "marker"), (MarkerRow, "unit")),
):
    known = dict(model._meta.get_field(column).choices)
    assert known["brand_new"] == "brand new", (model, column)

call_command("makemigrations", "--check", "--dry-run")
"""


def python(script: str, state: Path) -> str:
    """Run a script as the served app and return what it said."""
    done = run(
        *(sys.executable, "-c", script),
        CALCAR_STATE=str(state),
        DJANGO_SETTINGS_MODULE="config.settings",
    )
    assert done.returncode == 0, done.stdout
    return done.stdout


def test_a_new_code_needs_no_migration(tmp_path: Path) -> None:
    """Patched before any model is there, else what a model holds would not change either."""
    assert "No changes detected" in python(ONE_MORE_OF_EACH, tmp_path)


def test_only_states_are_written_into_migrations() -> None:
    written = {
        f"{model._meta.label_lower}.{field.name}"
        for app in APPS
        for model in apps.get_app_config(app).get_models()
        for field in model._meta.concrete_fields
        if field.choices and not isinstance(field.choices, CallableChoiceIterator)
    }
    assert written == STATES


SQL_OF_IT = """
import django
from django.core.management import call_command

django.setup()
for app, number in (("patients", "0005"), ("safety", "0003"), ("programs", "0006")):
    call_command("sqlmigrate", app, number)
"""


def test_naming_the_function_rebuilds_no_table(tmp_path: Path) -> None:
    """A rebuilt table would have lost its triggers."""
    sql = python(SQL_OF_IT, tmp_path)
    said = {line for line in sql.splitlines() if not line.startswith("--")}
    assert said == {"BEGIN;", "COMMIT;"}
    assert sql.count("(no-op)") == sql.count("Alter field") > 0
