import django.db.models.deletion
import programs.models.beside
from django.conf import settings
from django.db import migrations, models

from patients.append_only import CHANGE, DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0015_names_and_sex_of_tables'),
        ('programs', '0021_paper_languages'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='KindSaid',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('modality', models.CharField(choices=programs.models.beside.kinds, max_length=10)),
                ('said', models.CharField(choices=programs.models.beside.said_of_it, max_length=10)),
                ('words', models.TextField(blank=True)),
                ('asked_by', models.CharField(max_length=120)),
                ('on', models.DateField()),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='kinds_said', to='patients.patient')),
            ],
            options={
                'ordering': ['pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('said', 'refuses'), _negated=True), models.Q(('words', ''), _negated=True), _connector='OR'), name='a_refusal_has_her_words'), models.CheckConstraint(condition=models.Q(('asked_by', ''), _negated=True), name='somebody_asked_of_a_kind')],
            },
        ),
        migrations.CreateModel(
            name='PromptAnswer',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('prompt', models.CharField(choices=programs.models.beside.prompts, max_length=20)),
                ('answer', models.CharField(choices=programs.models.beside.answers, max_length=10)),
                ('to', models.CharField(blank=True, max_length=120)),
                ('note', models.CharField(blank=True, max_length=200)),
                ('on', models.DateField()),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
                ('patient', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='prompt_answers', to='patients.patient')),
            ],
            options={
                'ordering': ['pk'],
                'constraints': [models.CheckConstraint(condition=models.Q(models.Q(('answer', 'referred'), models.Q(('to', ''), _negated=True)), models.Q(models.Q(('answer', 'referred'), _negated=True), ('to', '')), _connector='OR'), name='referred_to_somebody')],
            },
        ),
        refuse(CHANGE, DELETION, tables=("programs_kindsaid", "programs_promptanswer")),
    ]
