"""Freeze plans once signed or dropped, let struck-out rows change no more, refuse replacing.

Whatever was refused before is refused anew, since the refusals themselves have grown.
"""

from django.db import migrations

from patients.append_only import CHANGE, DELETION, STRUCK_OUT, WHEN_STRUCK_OUT, freeze, refuse

KEPT = (
    "patients_assessment",
    "patients_audit",
    "patients_closing",
    "patients_join",
    "patients_lookedthrough",
    "patients_twopeople",
    "programs_clinicdetails",
    "programs_handout",
    "programs_limitchange",
    "programs_planedit",
    "programs_programstate",
    "programs_recordcheck",
    "programs_rescreen",
    "programs_rescreenbatch",
    "programs_rulebookcheck",
    "programs_signedplan",
    "programs_stoptold",
    "safety_contraindication",
    "safety_riskflag",
    "safety_screening",
)
#: Their columns may change, each change with its line in the record.
NOT_DELETED = ("patients_patient", "patients_scanner", "programs_clinicplate")
WITHDRAWABLE = (
    "patients_fracturerow",
    "patients_functiontestday",
    "patients_liftset",
    "patients_markererror",
    "patients_markerrow",
    "patients_precisionstudy",
    "patients_scanrow",
    "patients_sizerow",
    "programs_platemeasurement",
    "programs_sessionlog",
    "safety_clearance",
)


class Migration(migrations.Migration):
    dependencies = [
        ("patients", "0008_people_made_findable"),
        ("programs", "0013_days_of_the_log"),
        ("safety", "0004_what_a_clearance_says"),
    ]

    operations = [
        refuse(CHANGE, DELETION, tables=KEPT),
        refuse(DELETION, tables=NOT_DELETED),
        freeze(*WITHDRAWABLE, when=WHEN_STRUCK_OUT, but=STRUCK_OUT),
        freeze("programs_plan", when="OLD.state <> 'draft'"),
        # The draft that a review led to is made after it, once.
        freeze("programs_review", when="OLD.next_plan_id IS NOT NULL", but=("next_plan_id",)),
    ]
