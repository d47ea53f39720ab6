"""The record's chain: each way of tampering is found, at the line where it was done."""

import pytest
from django.db import connection
from django.test import RequestFactory, override_settings

from patients import audit
from patients.append_only import drop_triggers
from patients.middleware import remember_source
from patients.models.patient import Audit
from tests.factories import MOMENT, PatientFactory, UserFactory

pytestmark = [pytest.mark.django_db, pytest.mark.database]
TABLE = ("patients_audit",)


@pytest.fixture
def lines():
    """Eight lines, with the triggers out of the way, as for someone who owns the file."""
    by, patient = UserFactory(), PatientFactory()
    with audit.writing():
        for number in range(8):
            audit.record(
                by=by, at=MOMENT, action=f"act {number}", on=patient,
                old={"value": number}, new={"value": number + 1}, reason="because",
            )  # fmt: skip
    drop_triggers(connection.schema_editor(), TABLE)
    return list(Audit.objects.all())


def test_an_untouched_chain_verifies(lines):
    assert audit.verify_chain() is None
    assert audit.head() == (8, lines[-1].hash)


def test_an_empty_chain_verifies():
    assert audit.verify_chain() is None
    assert audit.head() == (0, "0" * 64)


@pytest.mark.parametrize(
    "field",
    ["action", "object_type", "object_id", "actor_name", "old", "new", "reason", "source_address"],
)
def test_one_changed_field_is_found_at_its_line(lines, field):
    for line in lines:
        kept = getattr(line, field)
        Audit.objects.filter(pk=line.pk).update(**{field: kept + "x"})
        assert audit.verify_chain().seq == line.seq
        Audit.objects.filter(pk=line.pk).update(**{field: kept})
    assert audit.verify_chain() is None


def test_a_missing_line_is_found(lines):
    for gone in (1, 4, 7):
        Audit.objects.filter(pk=gone).delete()
        assert audit.verify_chain() is not None
        lines[gone - 1]._state.adding = True
        lines[gone - 1].save(force_insert=True)
    assert audit.verify_chain() is None


def test_a_cut_tail_shows_against_a_head_kept_elsewhere(lines):
    kept = audit.head()
    Audit.objects.filter(seq=8).delete()
    assert audit.verify_chain() is None
    assert audit.head() != kept


def test_two_lines_swapped_are_found(lines):
    Audit.objects.filter(seq=3).update(seq=99)
    Audit.objects.filter(seq=4).update(seq=3)
    Audit.objects.filter(seq=99).update(seq=4)
    assert audit.verify_chain().seq == 3


def test_a_chain_rebuilt_without_the_key_is_found(lines):
    with override_settings(SECRET_KEY="another key, of somebody with the file only"):
        Audit.objects.all().delete()
        audit.record(by=None, at=MOMENT, action="forged", on=PatientFactory())
        assert audit.verify_chain() is None
    assert audit.verify_chain().seq == 1


def test_a_new_key_with_the_old_one_kept_still_verifies(lines, settings):
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "a new key, made after the old one leaked"
    assert audit.verify_chain() is None


@pytest.mark.parametrize(
    ("one", "other"),
    [({"a": 1, "b": 2}, {"b": 2, "a": 1})],
)
def test_the_order_of_keys_makes_no_difference(one, other):
    assert audit.canonical(one) == audit.canonical(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ({"a": None}, {"a": ""}),
        ({"a": None}, {"a": 0}),
        ({"a": 0}, {"a": ""}),
        ({"a": ["1", "23"]}, {"a": ["12", "3"]}),
        (None, {}),
    ],
)
def test_different_values_stay_different(one, other):
    assert audit.canonical(one) != audit.canonical(other)


def test_the_system_has_a_name(lines):
    line = audit.record(by=None, at=MOMENT, action="seed", on=PatientFactory())
    assert line.actor_name == "the system"
    assert UserFactory(first_name="", last_name="", username="m.f").pk
    assert audit.printed_name(UserFactory(first_name="", last_name="", username="x.y")) == "x.y"


def test_the_senders_address_is_in_the_line():
    patient = PatientFactory()
    written = []

    def view(request):
        written.append(audit.record(by=None, at=MOMENT, action="seen", on=patient))

    remember_source(view)(RequestFactory().get("/", REMOTE_ADDR="192.0.2.7"))
    assert written[0].source_address == "192.0.2.7"
    after = audit.record(by=None, at=MOMENT, action="later", on=patient)
    assert after.source_address == ""
