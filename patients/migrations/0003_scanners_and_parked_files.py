import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from patients.append_only import DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0002_rows_kept_as_they_are'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Scanner',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200, verbose_name='Name')),
                ('key', models.CharField(editable=False, max_length=200, unique=True)),
                ('note', models.CharField(blank=True, max_length=500, verbose_name='Note')),
                ('version', models.PositiveIntegerField(default=1)),
            ],
            options={
                'ordering': ['key'],
            },
        ),
        migrations.CreateModel(
            name='ParkedFile',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('name', models.CharField(max_length=200)),
                ('content', models.BinaryField()),
                ('digest', models.CharField(max_length=64)),
                ('parked_at', models.DateTimeField()),
                ('expires_at', models.DateTimeField(db_index=True)),
                ('parked_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
        ),
        migrations.CreateModel(
            name='PrecisionStudy',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('site', models.CharField(choices=[('lumbar_spine', 'lumbar spine'), ('total_hip', 'total hip'), ('femoral_neck', 'femoral neck'), ('distal_third_radius', 'distal third of the radius')], max_length=20)),
                ('made_on', models.DateField()),
                ('people', models.JSONField(null=True)),
                ('rms_sd_g_cm2', models.DecimalField(decimal_places=6, max_digits=7)),
                ('freedom', models.PositiveIntegerField()),
                ('note', models.CharField(blank=True, max_length=500)),
                ('entered_at', models.DateTimeField()),
                ('withdrawn_at', models.DateTimeField(null=True)),
                ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('scanner', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='studies', to='patients.scanner')),
            ],
            options={
                'ordering': ['-made_on', '-id'],
            },
        ),
        refuse(DELETION, tables=("patients_scanner", "patients_precisionstudy")),
    ]
