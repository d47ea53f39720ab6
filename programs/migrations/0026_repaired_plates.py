from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('programs', '0001_squashed_0025'),
    ]

    operations = [
        migrations.AddField(
            model_name='clinicplate',
            name='repaired_on',
            field=models.DateField(null=True),
        ),
    ]
