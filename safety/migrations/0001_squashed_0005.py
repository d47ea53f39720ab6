"""Make in one step, for a new database, what the five migrations to 0005 made one by one."""

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

import safety.models
from patients.append_only import (
    CHANGE,
    DELETION,
    STRUCK_OUT,
    WHEN_STRUCK_OUT,
    freeze,
    refuse,
)
from patients.tables_together import CreateTogether

KEPT = ("safety_contraindication", "safety_riskflag", "safety_screening")


class Migration(migrations.Migration):
    initial = True

    replaces = [
        ("safety", "0001_initial"),
        ("safety", "0002_rows_kept_as_they_are"),
        ("safety", "0003_codes_by_function"),
        ("safety", "0004_what_a_clearance_says"),
        ("safety", "0005_clearances_by_their_last_day"),
    ]

    dependencies = [
        ('patients', '0001_squashed_0015'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        CreateTogether(
            models=[
                migrations.CreateModel(
                    name='Screening',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='screenings', to='patients.patient')),
                        ('as_of', models.DateField()),
                        ('rulebook', models.CharField(max_length=20)),
                        ('facts_digest', models.CharField(max_length=64)),
                        ('findings_digest', models.CharField(max_length=64)),
                        ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('made_at', models.DateTimeField()),
                    ],
                    options={
                        'indexes': [models.Index(fields=['patient', 'as_of', 'id'], name='screening_newest')],
                    },
                ),
                migrations.CreateModel(
                    name='RiskFlag',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('screening', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='risks', to='safety.screening')),
                        ('kind', models.CharField(choices=[('fracture', 'fracture'), ('fall', 'fall')], max_length=10)),
                        ('level', models.CharField(max_length=20)),
                        ('drafted_as', models.CharField(max_length=20)),
                        ('criteria', models.JSONField()),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='Contraindication',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('screening', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='findings', to='safety.screening')),
                        ('place', models.PositiveSmallIntegerField()),
                        ('rule', models.CharField(max_length=80)),
                        ('about', models.CharField(max_length=10)),
                        ('level', models.CharField(max_length=20)),
                        ('text', models.TextField()),
                        ('facts', models.JSONField()),
                        ('missing', models.JSONField()),
                        ('sources', models.JSONField()),
                        ('cleared', models.BooleanField()),
                        ('holds', models.BooleanField()),
                        ('blocks', models.BooleanField()),
                    ],
                    options={
                        'ordering': ['place'],
                    },
                ),
                migrations.CreateModel(
                    name='Clearance',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='clearances', to='patients.patient')),
                        ('subject', models.CharField(choices=safety.models.subjects, max_length=40)),
                        ('modalities', models.JSONField()),
                        ('given_by', models.CharField(max_length=200)),
                        ('on', models.DateField()),
                        ('until', models.DateField()),
                        ('limits', models.CharField(choices=safety.models.clearance_limits, max_length=20, null=True)),
                        ('eye_specialist', models.BooleanField(null=True)),
                        ('note', models.CharField(blank=True, max_length=200)),
                        ('recorded_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('recorded_at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['id'],
                        'indexes': [models.Index(fields=['until'], name='clearance_until')],
                    },
                ),
            ],
        ),
        refuse(CHANGE, DELETION, tables=KEPT),
        freeze("safety_clearance", when=WHEN_STRUCK_OUT, but=STRUCK_OUT),
    ]
