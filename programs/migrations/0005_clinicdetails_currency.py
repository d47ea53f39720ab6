from django.db import migrations, models

from patients.append_only import CHANGE, DELETION, refuse


class Migration(migrations.Migration):
    dependencies = [("programs", "0004_clinic_settings")]

    operations = [
        migrations.AddField(
            model_name="clinicdetails",
            name="currency",
            field=models.CharField(blank=True, default="", max_length=12),
        ),
        # The table was rebuilt, and its triggers are gone.
        refuse(CHANGE, DELETION, tables=("programs_clinicdetails",)),
    ]
