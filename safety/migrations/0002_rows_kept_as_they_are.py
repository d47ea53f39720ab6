from django.db import migrations

from patients.append_only import CHANGE, DELETION, refuse

#: A later migration that alters one of these rebuilds it on SQLite, and must end with this.
KEPT = ("safety_screening", "safety_riskflag", "safety_contraindication")


class Migration(migrations.Migration):
    dependencies = [("safety", "0001_initial")]

    operations = [
        refuse(CHANGE, DELETION, tables=KEPT),
        refuse(DELETION, tables=("safety_clearance",)),
    ]
