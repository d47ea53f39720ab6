import patients.models.choices
from django.db import migrations, models

from patients.append_only import DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0014_unfinished_forms_and_keys'),
    ]

    operations = [
        migrations.AddField(
            model_name='patient',
            name='born_estimated',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='patient',
            name='gender',
            field=models.CharField(blank=True, default='', max_length=60, verbose_name='Gender'),
        ),
        migrations.AddField(
            model_name='patient',
            name='goes_by',
            field=models.CharField(blank=True, default='', max_length=120, verbose_name='Preferred name'),
        ),
        migrations.AddField(
            model_name='patient',
            name='table_sex',
            field=models.CharField(blank=True, choices=patients.models.choices.table_sexes, default='', max_length=10, verbose_name='Sex of the risk tables'),
        ),
        # SQLite makes the table anew for these, and without its triggers.
        refuse(DELETION, tables=("patients_patient",)),
    ]
