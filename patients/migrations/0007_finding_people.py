import django.db.models.deletion
import patients.models.standing
from django.conf import settings
from django.db import migrations, models

from patients.append_only import CHANGE, DELETION, refuse
from patients.trigrams import make_trigrams


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0006_partial_dates_and_thigh_bone'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='Closing',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('what', models.CharField(choices=patients.models.standing.closings, max_length=20)),
                ('on', models.DateField()),
                ('note', models.CharField(blank=True, max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='closings', to='patients.patient')),
            ],
            options={
                'ordering': ['id'],
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
            name='Join',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('chosen', models.JSONField(default=dict)),
                ('reason', models.CharField(max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('double', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='joins', to='patients.patient')),
                ('into', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='joined', to='patients.patient')),
                ('undoes', models.OneToOneField(null=True, on_delete=django.db.models.deletion.PROTECT, related_name='undone_by', to='patients.join')),
            ],
            options={
                'ordering': ['id'],
            },
        ),
        migrations.CreateModel(
            name='LookedThrough',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('note', models.CharField(blank=True, max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('join', models.OneToOneField(on_delete=django.db.models.deletion.PROTECT, related_name='looked_through', to='patients.join')),
            ],
            options={
                'abstract': False,
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
            },
        ),
        migrations.CreateModel(
            name='TwoPeople',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('reason', models.CharField(max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('one', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
                ('other', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to='patients.patient')),
            ],
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
        migrations.AddConstraint(
            model_name='join',
            constraint=models.CheckConstraint(condition=models.Q(('double', models.F('into')), _negated=True), name='joined_to_another'),
        ),
        migrations.AddConstraint(
            model_name='possibledouble',
            constraint=models.UniqueConstraint(fields=('one', 'other'), name='one_possible_double'),
        ),
        migrations.AddConstraint(
            model_name='twopeople',
            constraint=models.UniqueConstraint(fields=('one', 'other'), name='two_people_said_once'),
        ),
        make_trigrams(),
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
        refuse(
            CHANGE,
            DELETION,
            tables=(
                "patients_closing",
                "patients_join",
                "patients_lookedthrough",
                "patients_twopeople",
            ),
        ),
    ]
