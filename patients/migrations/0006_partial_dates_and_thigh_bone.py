from django.db import migrations, models

from patients.append_only import DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0005_codes_by_function'),
    ]

    operations = [
        migrations.AddField(
            model_name='fracturerow',
            name='atypical',
            field=models.BooleanField(null=True),
        ),
        migrations.AddField(
            model_name='liftset',
            name='on_is',
            field=models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5),
        ),
        migrations.AddField(
            model_name='patient',
            name='born_is',
            field=models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5),
        ),
        # SQLite makes a table anew for some of these, and without its triggers.
        refuse(
            DELETION,
            tables=("patients_patient", "patients_fracturerow", "patients_liftset"),
        ),
    ]
