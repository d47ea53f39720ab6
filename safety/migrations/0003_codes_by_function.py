import safety.models
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('safety', '0002_rows_kept_as_they_are'),
    ]

    operations = [
        migrations.AlterField(
            model_name='clearance',
            name='subject',
            field=models.CharField(choices=safety.models.subjects, max_length=40),
        ),
    ]
