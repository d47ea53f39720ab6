from django.db import migrations

from patients.append_only import CHANGE, DELETION, refuse


class Migration(migrations.Migration):
    dependencies = [("patients", "0001_initial")]
    operations = [
        refuse(CHANGE, DELETION, tables=("patients_assessment", "patients_audit")),
        refuse(
            DELETION,
            tables=(
                "patients_patient",
                "patients_sizerow",
                "patients_fracturerow",
                "patients_scanrow",
                "patients_markerrow",
                "patients_functiontestday",
                "patients_liftset",
            ),
        ),
    ]
