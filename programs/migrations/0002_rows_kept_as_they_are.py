from django.db import migrations

from patients.append_only import CHANGE, DELETION, refuse

#: A later migration that alters one of these rebuilds it on SQLite, and must end with this.
KEPT = ("programs_planedit", "programs_signedplan", "programs_handout")


class Migration(migrations.Migration):
    dependencies = [("programs", "0001_initial")]

    operations = [
        refuse(CHANGE, DELETION, tables=KEPT),
        refuse(DELETION, tables=("programs_plan", "programs_sessionlog", "programs_review")),
    ]
