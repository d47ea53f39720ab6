import patients.models.choices
from django.db import migrations, models


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0004_spans_worry_and_laboratory'),
    ]

    operations = [
        migrations.AlterField(
            model_name='fracturerow',
            name='site',
            field=models.CharField(choices=patients.models.choices.fracture_sites, max_length=20),
        ),
        migrations.AlterField(
            model_name='markererror',
            name='marker',
            field=models.CharField(choices=patients.models.choices.markers, max_length=20),
        ),
        migrations.AlterField(
            model_name='markerrow',
            name='marker',
            field=models.CharField(choices=patients.models.choices.markers, max_length=20),
        ),
        migrations.AlterField(
            model_name='markerrow',
            name='unit',
            field=models.CharField(choices=patients.models.choices.marker_units, max_length=10),
        ),
        migrations.AlterField(
            model_name='patient',
            name='sex',
            field=models.CharField(choices=patients.models.choices.sexes, max_length=10, verbose_name='Sex'),
        ),
        migrations.AlterField(
            model_name='precisionstudy',
            name='site',
            field=models.CharField(choices=patients.models.choices.scan_sites, max_length=20),
        ),
        migrations.AlterField(
            model_name='scanrow',
            name='site',
            field=models.CharField(choices=patients.models.choices.scan_sites, max_length=20),
        ),
    ]
