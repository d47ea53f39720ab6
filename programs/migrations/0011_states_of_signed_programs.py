"""Give each program that was signed before its state: the newest in force or stopped.

Whether its weeks are over is read from the calendar, as for any other (programs.actions.program_state).
"""

from django.db import migrations


def forwards(apps, schema_editor):
    """Write the rows: those of a patient's programs, the oldest first."""
    signed_plan = apps.get_model("programs", "SignedPlan")
    after = {}
    newest_first = signed_plan.objects.select_related("plan").defer("body")
    for signed in newest_first.order_by("patient", "-version").iterator():
        _write(apps, signed, after.get(signed.patient_id))
        after = {signed.patient_id: signed}


def _write(apps, signed, replaced_by):
    state = apps.get_model("programs", "ProgramState")

    def add(what, why, at, by_id, **more):
        state.objects.create(signed=signed, state=what, why=why, at=at, by_id=by_id, **more)

    add("in force", f"Version {signed.version} was signed.", signed.signed_at, signed.signed_by_id)
    review = signed.reviews.order_by("-at", "-pk").first()
    for modality in _stopped(review):
        why = f"The review stopped {modality or 'all of it'}."
        add("stopped", why, review.at, review.by_id, modality=modality, review=review)
    if replaced_by is not None:
        why = f"Version {replaced_by.version} was signed."
        add("replaced", why, replaced_by.signed_at, replaced_by.signed_by_id)


def _stopped(review):
    """Return what the last review stopped: "" for all of it, else each kind."""
    chosen = (review.decision if review else {}).get("modalities", {})
    stopped = [name for name, one in chosen.items() if one["chosen"] == "stop"]
    return [""] if stopped and len(stopped) == len(chosen) else stopped


class Migration(migrations.Migration):
    dependencies = [("programs", "0010_program_states")]
    operations = [migrations.RunPython(forwards, migrations.RunPython.noop)]
