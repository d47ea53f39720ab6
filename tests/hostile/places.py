"""Each column that holds text: typed by somebody, or why it holds nothing that somebody typed.

The columns are read from the models: a new one has no place here, and a test fails until it has.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType
from typing import Any

from django.apps import apps
from django.db import models

from patients.models.patient import KINDS

#: Puts a text into a value wherever somebody can have typed one.
Put = Callable[[Any, str], Any]

_STRUCK = (
    *("programs.SessionLog", "programs.PlateMeasurement", "patients.PrecisionStudy"),
    *("patients.MarkerError", "safety.Clearance", *(kind._meta.label for kind in KINDS.values())),
)
#: Columns of text that somebody types.
TYPED: tuple[str, ...] = (
    *(f"{label}.withdrawn_reason" for label in _STRUCK),
    *("safety.Clearance.given_by", "safety.Clearance.note"),
    *(f"programs.ClinicDetails.{name}" for name in ("name", "phone", "address", "emergency")),
    *("programs.ClinicDetails.currency", "programs.LimitChange.reason"),
    *("programs.PlanEdit.reason", "programs.Review.note", "programs.PhoneDecision.reason"),
    *(f"programs.SessionLog.{name}" for name in ("note", "pain_where", "red_flag", "broke")),
    *("programs.SessionLog.plate", "programs.ClinicPlate.name"),
    *("programs.ClinicPlate.retired_reason", "programs.ProgramState.why"),
    *("programs.StopTold.told_by", "programs.SignedErasure.why", "patients.PersonErasure.why"),
    *("auth.User.first_name", "patients.Patient.given_name", "patients.Patient.family_name"),
    *("patients.Patient.goes_by", "patients.Patient.gender"),
    *("patients.Patient.record_number", "patients.ScanRow.vertebrae", "patients.ScanRow.scanner"),
    *("patients.LiftSet.lift", "patients.Scanner.name", "patients.Scanner.note"),
    *("patients.PrecisionStudy.note", "patients.MarkerError.laboratory"),
    *("patients.MarkerError.note", "patients.ParkedFile.name", "patients.Closing.note"),
    *("patients.Join.reason", "patients.LookedThrough.note", "patients.TwoPeople.reason"),
    *("programs.KindSaid.words", "programs.KindSaid.asked_by"),
    *("programs.PromptAnswer.to", "programs.PromptAnswer.note"),
    *("programs.DoctorAsked.doctor", "programs.DoctorAsked.what", "programs.DoctorAnswered.note"),
    *("programs.EmergencyNumber.number", "programs.EmergencyNumber.words"),
    *("programs.PaperLanguage.read_by", "programs.EvidenceFile.reason", "patients.Audit.reason"),
)


def _named(plate: Mapping[str, Any], text: str) -> dict[str, Any]:
    return {**plate, "name": text}


def _answers(answers: dict[str, Any], text: str) -> dict[str, Any]:
    """Put it into her own goal, and name her plates so; each has another name."""
    held = answers.get("resources") or {}
    plates = [_named(one, f"{text} {n}") for n, one in enumerate(held.get("plates") or ())]
    named = {"resources": held | {"plates": plates}} if plates else {}
    hers = {"own_goal": text[:200]} if "aims" in answers else {}
    return answers | named | hers


def _decision(decision: dict[str, Any], text: str) -> dict[str, Any]:
    kinds = decision.get("modalities", {})
    return decision | {"modalities": {m: one | {"reason": text} for m, one in kinds.items()}}


def _unfinished(fields: str, text: str) -> str:
    """Put it into each field as it was typed, in the ASCII that the column is in."""
    return json.dumps({name: one | {"now": [text]} for name, one in json.loads(fields).items()})


#: Columns of JSON in which somebody types a text.
IN_JSON: Mapping[str, Put] = MappingProxyType(
    {
        "patients.Assessment.answers": _answers,
        "patients.UnfinishedForm.fields": _unfinished,
        "programs.ClinicPlate.plate": _named,
        "programs.PlateMeasurement.found": lambda found, text: found | {"how": text},
        "programs.PhoneEntry.told": lambda told, text: told | {"day.note": text[:200]},
        "programs.Review.decision": _decision,
    }
)
#: Columns of which no page need show the text whole, and why.
SEEN_IN_PART: Mapping[str, str] = MappingProxyType(
    {"programs.ClinicPlate.plate": "pages show its name as the column of the name has it"}
)
_MADE = "worked out by the program from other columns that stand here"
_CODE = "a code or a name of the program's own, which no form takes as text"
_DIGEST = "a digest, a seal or a key"
_DJANGO = "of Django's own tables; nobody types it"
#: Columns of text that hold nothing that somebody typed into them, and why.
NOT_TYPED: Mapping[str, str] = MappingProxyType(
    {
        **dict.fromkeys(
            (
                *("programs.Plan.facts", "programs.Plan.resume", "programs.Plan.proposed"),
                *("programs.Plan.weeks", "programs.Plan.left_out_by_clinician"),
                *("programs.PlanEdit.limit_passed", "programs.SignedPlan.body"),
                *("programs.SignedPlan.signed_name", "programs.SignedPlan.meaning"),
                *("programs.SessionLog.sets", "programs.Review.proposal"),
                *("programs.RecordCheck.broken", "programs.Rescreen.findings"),
                *("programs.Rescreen.changes", "programs.Rescreen.paper"),
                *("programs.Rescreen.contradiction", "programs.RulebookCheck.differs"),
                *("programs.PressOrder.press", "programs.PressOrder.refused"),
                *("patients.Patient.search_key", "patients.Patient.given_key"),
                *("patients.Patient.record_key", "patients.Findable.words"),
                *("patients.Findable.sort_key", "patients.WordKey.key", "patients.WordKey.word"),
                *("patients.Trigrams.words", "patients.Scanner.key"),
                *("patients.Audit.actor_name", "patients.Audit.old", "patients.Audit.new"),
                *("patients.Look.actor_name", "patients.Look.what", "patients.PersonErasure.went"),
                *("patients.PersonErasure.found", "safety.RiskFlag.criteria"),
                *("safety.Contraindication.text", "safety.Contraindication.facts"),
                *("safety.Contraindication.missing", "safety.Contraindication.sources"),
            ),
            _MADE,
        ),
        **dict.fromkeys(
            (
                *("programs.LimitChange.name", "programs.PlanEdit.path", "programs.PlanEdit.old"),
                *("programs.PlanEdit.new", "programs.SignedPlan.rulebook", "programs.Handout.kind"),
                *("programs.Handout.language", "programs.Handout.paper"),
                *("programs.EmergencyNumber.language", "programs.PaperLanguage.language"),
                *("programs.SessionLog.pain_with", "programs.PhoneCode.language"),
                *("programs.PhoneEnd.why", "programs.ProgramState.modality"),
                *("programs.RescreenBatch.rulebook", "programs.Rescreen.rulebook"),
                *("programs.Rescreen.decided", "programs.RulebookCheck.rulebook"),
                *("programs.DatabaseCopy.file", "patients.FunctionTestDay.resting_bp"),
                *("patients.FunctionTestDay.standing_bp", "patients.FunctionTestDay.unable"),
                *("patients.FunctionTestDay.worry", "patients.Assessment.answered"),
                "patients.Assessment.section",
                *("patients.UnfinishedForm.page", "patients.UnfinishedForm.title"),
                *("patients.UnfinishedForm.made_from", "patients.Audit.action"),
                *("patients.Audit.object_type", "patients.Audit.object_id"),
                *("patients.Audit.source_address", "patients.Findable.state"),
                *("patients.Findable.born_is", "patients.Look.kind", "patients.Look.page"),
                *("patients.Look.source_address", "patients.PrecisionStudy.people"),
                *("patients.PasswordTry.source", "patients.PasswordTry.question"),
                *("patients.OpenSession.browser", "patients.OpenSession.source_address"),
                *("patients.Join.chosen", "safety.Screening.rulebook", "safety.RiskFlag.level"),
                *("safety.RiskFlag.drafted_as", "safety.Contraindication.rule"),
                *("safety.Contraindication.about", "safety.Contraindication.level"),
                "safety.Clearance.modalities",
            ),
            _CODE,
        ),
        **dict.fromkeys(
            (
                *("programs.DatabaseCopy.key", "programs.DatabaseCopy.seal"),
                *("programs.SignedPlan.digest", "programs.SignedPlan.previous_digest"),
                *("programs.Handout.sha256", "programs.PhoneCode.digest"),
                "programs.PressOrder.key",
                *("programs.PhoneOpening.digest", "programs.RecordCheck.seal"),
                *("programs.Rescreen.facts_version", "programs.SignedSeal.salt"),
                *("programs.SignedSeal.commitment", "programs.SignedSeal.previous_seal"),
                *("programs.SignedSeal.seal", "auth.User.password", "patients.OneTimeCodes.secret"),
                *("patients.RecoveryCode.digest", "patients.Audit.salt", "patients.Audit.hash"),
                *("patients.Audit.prev_hash", "programs.EvidenceFile.digest"),
                *("patients.FormSent.content", "patients.Look.hash"),
                *("patients.Look.prev_hash", "patients.ParkedFile.digest"),
                *("patients.PasswordCode.digest", "patients.OpenSession.session_key"),
                *("safety.Screening.facts_digest", "safety.Screening.findings_digest"),
            ),
            _DIGEST,
        ),
        **dict.fromkeys(
            (
                *("auth.Permission.name", "auth.Permission.codename", "auth.Group.name"),
                *("auth.User.last_name", "auth.User.email", "sessions.Session.session_key"),
                *("sessions.Session.session_data", "contenttypes.ContentType.app_label"),
                "contenttypes.ContentType.model",
            ),
            _DJANGO,
        ),
        "programs.EvidenceFile.text": "a file held to its format, with its digest beside it; the "
        "test of its page puts such texts in",
        "auth.User.username": "letters, figures and @.+-_ alone are taken, as its form says",
    }
)
_OF_TEXT = (models.CharField, models.TextField, models.JSONField)


def columns_of_text() -> Iterator[str]:
    """Yield each column that can hold a text of more than some named values."""
    for model in apps.get_models():
        for column in model._meta.concrete_fields:
            if isinstance(column, _OF_TEXT) and not column.choices:
                yield f"{model._meta.label}.{column.name}"
