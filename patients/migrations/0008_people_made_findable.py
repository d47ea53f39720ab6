from itertools import combinations, groupby, islice
from operator import attrgetter, itemgetter

from django.db import migrations

from patients.facts.partial_dates import first_span
from patients.names import alike, fold, keys_of, spelt

AT_ONCE = 2000


def fill(apps, schema_editor):
    """Let everybody be found who is on record already, by the names as they are folded today."""
    patient, findable, word_key = (
        apps.get_model("patients", name) for name in ("Patient", "Findable", "WordKey")
    )
    words = set()
    for people in batched(patient.objects.order_by("pk").iterator(chunk_size=AT_ONCE)):
        for one in people:
            names = (one.given_name, one.family_name)
            words.update(spelt(*names).split())
            one.search_key = fold(f"{one.family_name} {one.given_name} {one.record_number}")[:300]
            one.given_key = fold(" ".join(names))[:300]
            one.record_key = fold(one.record_number)[:60]
        patient.objects.bulk_update(people, ["search_key", "given_key", "record_key"])
        findable.objects.bulk_create(map(findable_of(findable), people))
    keys = (word_key(key=key, word=word) for word in sorted(words) for key in keys_of(word))
    for some in batched(keys):
        word_key.objects.bulk_create(some)
    pairs = apps.get_model("patients", "PossibleDouble")
    for some in batched(possible(patient.objects.order_by("born", "pk"))):
        pairs.objects.bulk_create(
            [pairs(one_id=one, other_id=other) for one, other in some], ignore_conflicts=True
        )


def findable_of(findable):
    def made(one):
        return findable(
            patient_id=one.pk,
            words=spelt(one.given_name, one.family_name, one.record_number)[:600],
            state="open",
            sort_key=one.search_key,
            born=one.born,
            born_is=one.born_is,
        )

    return made


def possible(people):
    """Yield the numbers of two who may be one: born the same day, or the same number."""
    for _, born in groupby(people.iterator(chunk_size=AT_ONCE), key=attrgetter("born")):
        for one, other in combinations(born, 2):
            if like(one, other):
                yield tuple(sorted((one.pk, other.pk)))
    for one in people.exclude(born_is="day").iterator(chunk_size=AT_ONCE):
        span = first_span(one.born, one.born_is)
        for other in people.filter(born__range=(span.first, span.last)).exclude(pk=one.pk):
            if like(one, other):
                yield tuple(sorted((one.pk, other.pk)))
    numbered = people.exclude(record_key="").order_by("record_key", "pk").values_list("record_key", "pk")
    for _, same in groupby(numbered.iterator(chunk_size=AT_ONCE), key=itemgetter(0)):
        yield from combinations((number for _, number in same), 2)


def like(one, other):
    same_given = fold(one.given_name) == fold(other.given_name)
    return same_given or alike(one.family_name, other.family_name)


def batched(rows):
    while some := list(islice(rows, AT_ONCE)):
        yield some


def nothing(apps, schema_editor):
    """Leave it: going back drops the tables."""


class Migration(migrations.Migration):

    dependencies = [
        ('patients', '0007_finding_people'),
    ]

    operations = [migrations.RunPython(fill, nothing)]
