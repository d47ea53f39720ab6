import django.db.models.deletion
from django.conf import settings
from django.db import migrations, models

from patients.append_only import CHANGE, DELETION, refuse


class Migration(migrations.Migration):

    dependencies = [
        ('programs', '0024_line_before_the_presses'),
        migrations.swappable_dependency(settings.AUTH_USER_MODEL),
    ]

    operations = [
        migrations.CreateModel(
            name='EvidenceFile',
            fields=[
                ('id', models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name='ID')),
                ('text', models.TextField()),
                ('digest', models.CharField(max_length=64)),
                ('as_of', models.DateField()),
                ('reason', models.CharField(blank=True, max_length=200)),
                ('at', models.DateTimeField()),
                ('by', models.ForeignKey(on_delete=django.db.models.deletion.PROTECT, related_name='+', to=settings.AUTH_USER_MODEL)),
            ],
            options={
                'ordering': ['pk'],
            },
        ),
        refuse(CHANGE, DELETION, tables=('programs_evidencefile',)),
    ]
