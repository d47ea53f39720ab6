import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from patients.append_only import DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0003_scanners_and_parked_files'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.AddField(
            model_name='fracturerow',
            name='date_is',
            field=models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5),
        ),
        migrations.AddField(
            model_name='functiontestday',
            name='worry',
            field=models.JSONField(null=True),
        ),
        migrations.CreateModel(
            name='MarkerError',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('laboratory', models.CharField(max_length=200)),
                ('marker', models.CharField(choices=[('ctx', 'CTX'), ('p1np', 'P1NP'), ('osteocalcin', 'osteocalcin'), ('bone_alp', 'bone ALP')], max_length=20)),
                ('told_on', models.DateField()),
                ('cv_analytical_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                ('cv_within_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                ('lsc_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                ('note', models.CharField(blank=True, max_length=500)),
                ('entered_at', models.DateTimeField()),
                ('withdrawn_at', models.DateTimeField(null=True)),
                ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['-told_on', '-id'],
            },
        ),
        # SQLite made the first two tables anew, and without their triggers.
        refuse(
            DELETION,
            tables=("patients_fracturerow", "patients_functiontestday", "patients_markererror"),
        ),
    ]
