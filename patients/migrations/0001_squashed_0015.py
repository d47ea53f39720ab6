"""Make in one step, for a new database, what the fifteen migrations to 0015 made one by one.

A database that has had some of them goes on by those; a test holds both ways to the same tables
and refusals.
"""

from uuid import uuid4

import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models
from django.utils import timezone

import patients.models.choices
import patients.models.codes
import patients.models.staff
import patients.models.standing
from patients.append_only import (
    CHANGE,
    DELETION,
    STRUCK_OUT,
    WHEN_STRUCK_OUT,
    freeze,
    refuse,
)
from patients.tables_together import CreateTogether
from patients.trigrams import make_trigrams

KEPT = (
    "patients_assessment",
    "patients_audit",
    "patients_closing",
    "patients_codesasked",
    "patients_databaselife",
    "patients_formsent",
    "patients_join",
    "patients_look",
    "patients_lookedthrough",
    "patients_personerasure",
    "patients_rolechange",
    "patients_twopeople",
)
#: Their columns may change, each change with its line in the record.
NOT_DELETED = ("patients_patient", "patients_scanner")
WITHDRAWABLE = (
    "patients_fracturerow",
    "patients_functiontestday",
    "patients_liftset",
    "patients_markererror",
    "patients_markerrow",
    "patients_precisionstudy",
    "patients_scanrow",
    "patients_sizerow",
)


def begin_life(apps, schema_editor):
    """Let the database have a life of its own before its first form is made."""
    apps.get_model("patients", "DatabaseLife").objects.create(uuid=uuid4(), since=timezone.now())


class Migration(migrations.Migration):
    initial = True

    replaces = [
        ("patients", "0001_initial"),
        ("patients", "0002_rows_kept_as_they_are"),
        ("patients", "0003_scanners_and_parked_files"),
        ("patients", "0004_spans_worry_and_laboratory"),
        ("patients", "0005_codes_by_function"),
        ("patients", "0006_partial_dates_and_thigh_bone"),
        ("patients", "0007_finding_people"),
        ("patients", "0008_people_made_findable"),
        ("patients", "0009_looks_and_marked_forms"),
        ("patients", "0010_lines_name_their_patient"),
        ("patients", "0011_people_of_the_clinic"),
        ("patients", "0012_erasures"),
        ("patients", "0013_one_time_codes"),
        ("patients", "0014_unfinished_forms_and_keys"),
        ("patients", "0015_names_and_sex_of_tables"),
    ]

    dependencies = [
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        CreateTogether(
            models=[
                migrations.CreateModel(
                    name='DatabaseLife',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('uuid', models.UUIDField(default=uuid4, unique=True)),
                        ('since', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Patient',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('record_number', models.CharField(blank=True, max_length=40, verbose_name='Record number')),
                        ('given_name', models.CharField(max_length=120, verbose_name='Given name')),
                        ('family_name', models.CharField(max_length=120, verbose_name='Family name')),
                        ('born', models.DateField(verbose_name='Date of birth')),
                        ('born_is', models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5)),
                        ('born_estimated', models.BooleanField(default=False)),
                        ('sex', models.CharField(choices=patients.models.choices.sexes, max_length=10, verbose_name='Sex')),
                        ('goes_by', models.CharField(blank=True, default='', max_length=120, verbose_name='Preferred name')),
                        ('gender', models.CharField(blank=True, default='', max_length=60, verbose_name='Gender')),
                        ('table_sex', models.CharField(blank=True, choices=patients.models.choices.table_sexes, default='', max_length=10, verbose_name='Sex of the risk tables')),
                        ('search_key', models.CharField(db_index=True, editable=False, max_length=300)),
                        ('given_key', models.CharField(db_index=True, editable=False, max_length=300)),
                        ('record_key', models.CharField(db_index=True, editable=False, max_length=60)),
                        ('created_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('created_at', models.DateTimeField()),
                        ('version', models.PositiveIntegerField(default=1)),
                    ],
                    options={
                        'ordering': ['search_key', 'id'],
                    },
                ),
                migrations.CreateModel(
                    name='FormSent',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('token', models.UUIDField(unique=True)),
                        ('content', models.CharField(max_length=64)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
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
                    name='CodesAsked',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('whom', models.CharField(choices=patients.models.codes.who_must, max_length=20)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['pk'],
                    },
                ),
                migrations.CreateModel(
                    name='Findable',
                    fields=[
                        ('patient', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, primary_key=True, related_name='findable', serialize=False, to='patients.patient')),
                        ('words', models.TextField()),
                        ('state', models.CharField(default='open', max_length=6)),
                        ('sort_key', models.CharField(max_length=300)),
                        ('born', models.DateField()),
                        ('born_is', models.CharField(max_length=5)),
                        ('leads', models.BooleanField(default=False)),
                        ('to_look_through', models.BooleanField(default=False)),
                    ],
                    options={
                        'indexes': [models.Index(fields=['state', 'sort_key', 'patient'], name='findable_in_order'), models.Index(fields=['sort_key', 'patient'], name='findable_by_name'), models.Index(fields=['born', 'born_is', 'state', 'words'], name='findable_by_birth')],
                    },
                ),
                migrations.CreateModel(
                    name='Closing',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='closings', to='patients.patient')),
                        ('what', models.CharField(choices=patients.models.standing.closings, max_length=20)),
                        ('on', models.DateField()),
                        ('note', models.CharField(blank=True, max_length=200)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['id'],
                    },
                ),
                migrations.CreateModel(
                    name='Assessment',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='assessments', to='patients.patient')),
                        ('as_of', models.DateField()),
                        ('answers', models.JSONField(default=dict)),
                        ('answered', models.JSONField(default=dict)),
                        ('section', models.CharField(max_length=20)),
                        ('made_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('made_at', models.DateTimeField()),
                    ],
                    options={
                        'indexes': [models.Index(fields=['patient', 'as_of', 'id'], name='assessment_newest')],
                    },
                ),
                migrations.CreateModel(
                    name='FractureRow',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('site', models.CharField(choices=patients.models.choices.fracture_sites, max_length=20)),
                        ('date', models.DateField(null=True)),
                        ('date_is', models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5)),
                        ('low_trauma', models.BooleanField(null=True)),
                        ('healed', models.BooleanField(null=True)),
                        ('atypical', models.BooleanField(null=True)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='FunctionTestDay',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('date', models.DateField()),
                        ('up_and_go_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('chair_stands_30s', models.PositiveSmallIntegerField(null=True)),
                        ('five_stands_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('side_by_side_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('semi_tandem_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('tandem_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('one_leg_s', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('walk_4m_s', models.DecimalField(decimal_places=2, max_digits=5, null=True)),
                        ('grip_kg', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('resting_bp', models.JSONField(null=True)),
                        ('standing_bp', models.JSONField(null=True)),
                        ('unable', models.JSONField(null=True)),
                        ('worry', models.JSONField(null=True)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='Join',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('double', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='joins', to='patients.patient')),
                        ('into', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='joined', to='patients.patient')),
                        ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='patients.join')),
                        ('chosen', models.JSONField(default=dict)),
                        ('reason', models.CharField(max_length=200)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['id'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('double', models.F('into')), _negated=True), name='joined_to_another')],
                    },
                ),
                migrations.CreateModel(
                    name='KeysChoice',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('on', models.BooleanField()),
                    ],
                ),
                migrations.CreateModel(
                    name='LiftSet',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('lift', models.CharField(max_length=200)),
                        ('kg', models.DecimalField(decimal_places=1, max_digits=4)),
                        ('reps', models.PositiveSmallIntegerField()),
                        ('on', models.DateField(null=True)),
                        ('on_is', models.CharField(choices=[('day', 'day, month and year'), ('month', 'month and year'), ('year', 'year only')], default='day', max_length=5)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='Look',
                    fields=[
                        ('seq', models.PositiveBigIntegerField(primary_key=True, serialize=False)),
                        ('at', models.DateTimeField()),
                        ('actor', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('actor_name', models.CharField(max_length=200)),
                        ('patient_number', models.PositiveBigIntegerField(null=True)),
                        ('kind', models.CharField(max_length=10)),
                        ('page', models.CharField(max_length=80)),
                        ('what', models.TextField()),
                        ('status', models.PositiveSmallIntegerField()),
                        ('source_address', models.CharField(blank=True, max_length=45)),
                        ('prev_hash', models.CharField(max_length=64)),
                        ('hash', models.CharField(max_length=64)),
                    ],
                    options={
                        'ordering': ['seq'],
                        'indexes': [models.Index(fields=['patient_number', 'seq'], name='look_of_patient'), models.Index(fields=['actor', 'seq'], name='look_of_actor'), models.Index(fields=['kind', 'seq'], name='look_of_kind'), models.Index(fields=['at'], name='look_at')],
                    },
                ),
                migrations.CreateModel(
                    name='LookedThrough',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('join', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='looked_through', to='patients.join')),
                        ('note', models.CharField(blank=True, max_length=200)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='MarkerError',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('laboratory', models.CharField(max_length=200)),
                        ('marker', models.CharField(choices=patients.models.choices.markers, max_length=20)),
                        ('told_on', models.DateField()),
                        ('cv_analytical_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('cv_within_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('lsc_percent', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('note', models.CharField(blank=True, max_length=500)),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['-told_on', '-id'],
                    },
                ),
                migrations.CreateModel(
                    name='MarkerRow',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('date', models.DateField()),
                        ('marker', models.CharField(choices=patients.models.choices.markers, max_length=20)),
                        ('value', models.DecimalField(decimal_places=3, max_digits=8)),
                        ('unit', models.CharField(choices=patients.models.choices.marker_units, max_length=10)),
                        ('fasting_morning', models.BooleanField(null=True)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='OneTimeCodes',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('secret', models.CharField(max_length=200)),
                        ('last_step', models.BigIntegerField()),
                        ('since', models.DateTimeField()),
                    ],
                ),
                migrations.CreateModel(
                    name='OpenSession',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('session_key', models.CharField(max_length=40, unique=True)),
                        ('browser', models.CharField(max_length=80)),
                        ('source_address', models.CharField(blank=True, max_length=45)),
                        ('began_at', models.DateTimeField()),
                    ],
                ),
                migrations.CreateModel(
                    name='ParkedFile',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('name', models.CharField(max_length=200)),
                        ('content', models.BinaryField()),
                        ('digest', models.CharField(max_length=64)),
                        ('parked_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('parked_at', models.DateTimeField()),
                        ('expires_at', models.DateTimeField(db_index=True)),
                    ],
                ),
                migrations.CreateModel(
                    name='PasswordCode',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('digest', models.CharField(max_length=64, unique=True)),
                        ('made_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('made_at', models.DateTimeField()),
                        ('ended_at', models.DateTimeField(null=True)),
                    ],
                ),
                migrations.CreateModel(
                    name='PasswordTry',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('source', models.CharField(max_length=80)),
                        ('question', models.CharField(max_length=30)),
                        ('asked', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('refused', models.BooleanField(default=False)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'indexes': [models.Index(fields=['source', 'at'], name='tries_of_source')],
                    },
                ),
                migrations.CreateModel(
                    name='PersonErasure',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('patient', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='erasure', to='patients.patient')),
                        ('why', models.TextField()),
                        ('went', models.JSONField(default=dict)),
                        ('found', models.TextField(blank=True)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['pk'],
                        'constraints': [models.CheckConstraint(condition=models.Q(('why', ''), _negated=True), name='a_persons_erasure_says_why')],
                    },
                ),
                migrations.CreateModel(
                    name='PossibleDouble',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('one', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('other', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                    ],
                    options={
                        'ordering': ['-id'],
                        'constraints': [models.UniqueConstraint(fields=('one', 'other'), name='one_possible_double')],
                    },
                ),
                migrations.CreateModel(
                    name='RecoveryCode',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('digest', models.CharField(max_length=64, unique=True)),
                    ],
                ),
                migrations.CreateModel(
                    name='RoleChange',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('who', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('role', models.CharField(choices=patients.models.staff.roles, max_length=20)),
                        ('given', models.BooleanField()),
                        ('by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['id'],
                    },
                ),
                migrations.CreateModel(
                    name='PrecisionStudy',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('scanner', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='studies', to='patients.scanner')),
                        ('site', models.CharField(choices=patients.models.choices.scan_sites, max_length=20)),
                        ('made_on', models.DateField()),
                        ('people', models.JSONField(null=True)),
                        ('rms_sd_g_cm2', models.DecimalField(decimal_places=6, max_digits=7)),
                        ('freedom', models.PositiveIntegerField()),
                        ('note', models.CharField(blank=True, max_length=500)),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                    ],
                    options={
                        'ordering': ['-made_on', '-id'],
                    },
                ),
                migrations.CreateModel(
                    name='ScanRow',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('date', models.DateField()),
                        ('site', models.CharField(choices=patients.models.choices.scan_sites, max_length=20)),
                        ('side', models.CharField(blank=True, choices=[('left', 'left'), ('right', 'right')], max_length=5)),
                        ('vertebrae', models.CharField(blank=True, max_length=20)),
                        ('bmd_g_cm2', models.DecimalField(decimal_places=3, max_digits=4, null=True)),
                        ('t', models.DecimalField(decimal_places=1, max_digits=3, null=True)),
                        ('z', models.DecimalField(decimal_places=1, max_digits=3, null=True)),
                        ('scanner', models.CharField(max_length=200, null=True)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='SizeRow',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('withdrawn_by', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('withdrawn_at', models.DateTimeField(null=True)),
                        ('withdrawn_reason', models.CharField(blank=True, max_length=200)),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('entered_by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('entered_at', models.DateTimeField()),
                        ('date', models.DateField()),
                        ('height_cm', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                        ('weight_kg', models.DecimalField(decimal_places=1, max_digits=4, null=True)),
                    ],
                    options={
                        'abstract': False,
                    },
                ),
                migrations.CreateModel(
                    name='TwoPeople',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('one', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('other', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('reason', models.CharField(max_length=200)),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('at', models.DateTimeField()),
                    ],
                    options={
                        'constraints': [models.UniqueConstraint(fields=('one', 'other'), name='two_people_said_once')],
                    },
                ),
                migrations.CreateModel(
                    name='UnfinishedForm',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                        ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('page', models.CharField(max_length=200)),
                        ('title', models.CharField(max_length=80)),
                        ('made_from', models.CharField(max_length=120)),
                        ('fields', models.TextField()),
                        ('begun_at', models.DateTimeField()),
                        ('kept_at', models.DateTimeField(db_index=True)),
                    ],
                    options={
                        'constraints': [models.UniqueConstraint(fields=('by', 'patient', 'page'), name='unfinished_once')],
                    },
                ),
                migrations.CreateModel(
                    name='WordKey',
                    fields=[
                        ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                        ('key', models.CharField(max_length=300)),
                        ('word', models.CharField(max_length=300)),
                    ],
                    options={
                        'constraints': [models.UniqueConstraint(fields=('key', 'word'), name='one_key_of_a_word')],
                    },
                ),
                migrations.CreateModel(
                    name='Audit',
                    fields=[
                        ('seq', models.PositiveBigIntegerField(primary_key=True, serialize=False)),
                        ('at', models.DateTimeField()),
                        ('actor', models.ForeignKey(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                        ('actor_name', models.CharField(max_length=200)),
                        ('action', models.CharField(max_length=60)),
                        ('object_type', models.CharField(max_length=60)),
                        ('object_id', models.CharField(max_length=40)),
                        ('object_version', models.PositiveIntegerField(null=True)),
                        ('old', models.TextField()),
                        ('new', models.TextField()),
                        ('reason', models.TextField(blank=True)),
                        ('source_address', models.CharField(blank=True, max_length=45)),
                        ('token', models.UUIDField(null=True, unique=True)),
                        ('patient_id', models.BigIntegerField(db_index=True, null=True)),
                        ('salt', models.CharField(max_length=32, null=True)),
                        ('prev_hash', models.CharField(max_length=64)),
                        ('hash', models.CharField(max_length=64)),
                    ],
                    options={
                        'ordering': ['seq'],
                        'indexes': [models.Index(fields=['object_type', 'object_id'], name='audit_of_object'), models.Index(fields=['actor', 'seq'], name='audit_of_actor'), models.Index(fields=['action', 'seq'], name='audit_of_action'), models.Index(fields=['at'], name='audit_at')],
                    },
                ),
                migrations.CreateModel(
                    name='Trigrams',
                    fields=[
                        ('row', models.OneToOneField(db_column='rowid', on_delete=django.db.models.deletion.DO_NOTHING, primary_key=True, related_name='trigrams', serialize=False, to='patients.findable')),
                        ('words', models.TextField()),
                    ],
                    options={
                        'db_table': 'patients_trigrams',
                        'managed': False,
                    },
                ),
            ],
        ),
        make_trigrams(),
        migrations.RunPython(begin_life, migrations.RunPython.noop),
        refuse(CHANGE, DELETION, tables=KEPT),
        refuse(DELETION, tables=NOT_DELETED),
        freeze(*WITHDRAWABLE, when=WHEN_STRUCK_OUT, but=STRUCK_OUT),
    ]
