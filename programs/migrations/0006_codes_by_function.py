import programs.models.program
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('programs', '0005_clinicdetails_currency'),
    ]

    operations = [
        migrations.AlterField(
            model_name='sessionlog',
            name='modality',
            field=models.CharField(choices=programs.models.program.modalities, max_length=10),
        ),
    ]
