import safety.models
from django.db import migrations, models

from patients.append_only import DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('safety', '0003_codes_by_function'),
    ]

    operations = [
        migrations.AddField(
            model_name='clearance',
            name='eye_specialist',
            field=models.BooleanField(null=True),
        ),
        migrations.AddField(
            model_name='clearance',
            name='limits',
            field=models.CharField(choices=safety.models.clearance_limits, max_length=20, null=True),
        ),
        # SQLite makes the table anew for some of these, and without its triggers.
        refuse(DELETION, tables=("safety_clearance",)),
    ]
