"""Rows for the tests of programs: invented people, the least that each row needs."""

import datetime as dt
from copy import deepcopy
from dataclasses import replace
from itertools import count
from typing import Any

from django.conf import settings
from django.contrib.auth.models import User
from django.db import connection

from patients import audit
from patients.actions.finding import keep_findable
from patients.append_only import drop_triggers
from patients.kept_rows import Kept
from patients.models.patient import (
    Assessment,
    FractureRow,
    FunctionTestDay,
    LiftSet,
    Patient,
    ScanRow,
    SizeRow,
)
from programs.actions.as_signed import DRAFT_PLAN, SIGN_PLAN
from programs.actions.clinic import details_in_force, set_details
from programs.actions.emergency_numbers import Emergency, set_emergencies
from programs.actions.papers import keep_paper
from programs.actions.program_state import CHANGE_STATE
from programs.actions.rescreens_to_look_at import keep_to_look_at
from programs.actions.sealing import make_seal, told_of
from programs.models.database_copies import MADE, DatabaseCopy
from programs.models.phone import (
    PhoneCode,
    PhoneDecision,
    PhoneEnd,
    PhoneEntry,
    PhoneOpening,
)
from programs.models.program import Handout, Plan, PlanEdit, Review, SessionLog, SignedPlan
from programs.models.program_state import ProgramState
from programs.models.record_check import RecordCheck
from programs.models.rescreen import Rescreen, RescreenBatch
from programs.models.rulebook_check import RulebookCheck
from programs.signed import snapshot
from safety.rules.all_rules import RULEBOOK
from tests.people import facts, laid_over, steady_document

AT = dt.datetime(2026, 3, 2, 9, 30, tzinfo=dt.UTC)
DAY = dt.date(2026, 3, 2)
#: The least of a draft that a snapshot holds.
NOTHING = {"findings": [], "reviews": [], "rulebook": RULEBOOK, "modalities": {}}
_numbers = count(1)


def on_record(row: Any, action: str, new: dict[str, Any] | None = None, by: Any = None) -> Any:
    """Return a saved row with its line in the record, as its action would have written it."""
    with audit.writing():
        told = audit.state_of(row) if new is None else new
        audit.record(by=by, at=AT, action=action, on=row, new=told)
    return row


def reached(by: User, phone: str = "01 000 000", number: str = "112") -> None:
    """Let the clinic be reached, and an ambulance in each language, as signing asks."""
    held = details_in_force()
    set_details(details=replace(held, phone=phone), by=by, at=AT)
    numbers = [Emergency(language=code, number=number) for code, _ in settings.LANGUAGES]
    set_emergencies(given=numbers, by=by, at=AT)


def patient(by: User, **more: Any) -> Patient:
    """Return a saved patient, another one each time."""
    number = next(_numbers)
    who = {
        "record_number": f"T{number:04}",
        "given_name": "Orla",
        "family_name": f"Testwick {number}",
        "born": dt.date(1959, 8, 14),
        "sex": "female",
    }
    made = Patient.objects.create(**who | more, created_by=by, created_at=AT)
    keep_findable(made)
    return on_record(made, "add patient", by=by)


def plan(of: Patient, by: User, **more: Any) -> Plan:
    """Return a saved plan without weeks."""
    held = {"version": 1, "as_of": DAY, "starts_on": DAY, "facts": {}, "weeks": []}
    held["proposed"] = NOTHING | more.pop("proposed", {})
    made = Plan.objects.create(patient=of, made_by=by, made_at=AT, **held | more)
    return on_record(made, DRAFT_PLAN, {"resume": made.resume}, by)


def edit(of: Plan, by: User, **more: Any) -> PlanEdit:
    """Return a saved change of a plan."""
    held = {"seq": 1, "first_seq": 1, "week_from": 1, "week_to": 4, "path": "balance.minutes"}
    return PlanEdit.objects.create(plan=of, by=by, at=AT, **held | more)


def signed(of: Plan, by: User, **more: Any) -> SignedPlan:
    """Return a saved signed plan in force; its text verifies and holds no more than its plan."""
    row = without_state(of, by, **more)
    before = SignedPlan.objects.filter(patient=of.patient).exclude(pk=row.pk)
    for older in before.exclude(states__state=ProgramState.REPLACED):
        state(older, ProgramState.REPLACED)
    state(row, ProgramState.IN_FORCE)
    return row


def without_state(of: Plan, by: User, **more: Any) -> SignedPlan:
    """Return a saved signed plan as it was before programs had states."""
    last = SignedPlan.objects.order_by("-pk").values_list("digest", flat=True).first()
    if (text := more.pop("text", None)) is not None:
        return _of_text(text | {"previous_digest": last or snapshot.FIRST_DIGEST}, of, by)
    held = {
        "version": of.version,
        "previous_digest": last or snapshot.FIRST_DIGEST,
        "signed_name": "Marta Ferro",
        "meaning": "reviewed",
        "signed_at": AT,
        "rulebook": of.proposed["rulebook"],
        "format": snapshot.FORMAT,
    } | more
    if of.state == Plan.DRAFT:
        of.state = Plan.SIGNED
        of.save(update_fields=["state"])
    frozen = _frozen(of, by, held)
    return _kept({"body": frozen.body, "digest": frozen.digest} | held, of, by)


def _of_text(text: dict[str, Any], of: Plan, by: User) -> SignedPlan:
    """Return a saved signed plan of a whole snapshot; the plan becomes what it says."""
    text = text | {"patient": text["patient"] | {"id": of.patient_id}}
    body = snapshot.canonical(text)
    of.facts, of.proposed, of.weeks = text["facts"], text["draft"], text["weeks"]
    of.left_out_by_clinician, of.version = text["left_out"], text["version"]
    of.starts_on = dt.date.fromisoformat(text["starts_on"])
    of.state = Plan.SIGNED
    of.save()
    held = {
        "version": text["version"],
        "previous_digest": text["previous_digest"],
        "signed_name": text["signer"]["name"],
        "meaning": text["signer"]["meaning"],
        "signed_at": dt.datetime.fromisoformat(text["signer"]["at"]),
        "rulebook": text["rulebook"],
        "format": text["format"],
    }
    return _kept({"body": body, "digest": snapshot.digest_of(body)} | held, of, by)


def _kept(held: dict[str, Any], of: Plan, by: User) -> SignedPlan:
    row = SignedPlan.objects.create(plan=of, patient=of.patient, signed_by=by, **held)
    told = {"plan": of.pk, "digest": row.digest, "meaning": row.meaning}
    return on_record(row, SIGN_PLAN, told | told_of(make_seal(row, AT)), by)


def rewrite(row: Any, **changes: Any) -> None:
    """Change a row that the database keeps, as whoever owns its file can."""
    drop_triggers(connection.schema_editor(), (row._meta.db_table,))
    type(row)._base_manager.filter(pk=row.pk).update(**changes)
    row.refresh_from_db()


def _frozen(of: Plan, by: User, held: dict[str, Any]) -> snapshot.Frozen:
    signer = {
        "username": by.get_username(),
        "name": held["signed_name"],
        "at": audit.utc_text(held["signed_at"]),
        "meaning": held["meaning"],
    }
    return snapshot.freeze(
        patient={"id": of.patient_id},
        version=held["version"],
        replaces=None,
        starts_on=of.starts_on.isoformat(),
        facts=of.facts,
        draft=of.proposed,
        edits=[],
        left_out=of.left_out_by_clinician,
        weeks=of.weeks,
        timetable={},
        signer=signer,
        clinic={},
        previous_digest=held["previous_digest"],
    )


def state(of: SignedPlan, what: str, **more: Any) -> ProgramState:
    """Return a saved state of a signed program."""
    held = {"why": "Written for a test.", "by": of.signed_by, "at": AT}
    made = ProgramState.objects.create(signed=of, state=what, **held | more)
    return on_record(made, CHANGE_STATE, by=made.by)


def handout(of: SignedPlan) -> Handout:
    """Return a saved handout."""
    options = {"kind": "handout", "language": "en", "paper": "A4", "type_pt": 16}
    with audit.writing():
        return keep_paper(of, b"%PDF", options, of.signed_by, AT, {})


def database_copy(**more: Any) -> DatabaseCopy:
    """Return a saved note of a copy of the database."""
    held = {"what": MADE, "file": "copy.sqlite3", "key": "0123456789abcdef", "encrypted": False}
    counts = dict.fromkeys(("lines", "people", "programs", "papers"), 0)
    return DatabaseCopy.objects.create(**held | counts | more, at=AT)


def record_check() -> RecordCheck:
    """Return a saved look over an empty record, at which it held."""
    return RecordCheck.objects.create(lines=0, programs=0, papers=0, by=None, at=AT)


def rulebook_check(of: SignedPlan) -> RulebookCheck:
    """Return that a signed program was held against today's rulebook, and nothing differs."""
    return RulebookCheck.objects.create(signed=of, rulebook=RULEBOOK, differs=[], at=AT, by=None)


def rescreen_batch() -> RescreenBatch:
    """Return that a batch of people was rescreened."""
    return RescreenBatch.objects.create(
        rulebook=RULEBOOK, last_patient=1, screened=1, ended=False, at=AT, by=None
    )


def rescreen(of: Patient, **more: Any) -> Rescreen:
    """Return that somebody was rescreened, and nothing was found unless told otherwise."""
    held = {"as_of": DAY, "findings": [], "changes": [], "decided": [], "at": AT}
    told = {"rulebook": RULEBOOK, "facts_version": f"{next(_numbers):064x}", **held}
    batch = more.pop("batch", None) or rescreen_batch()
    row = Rescreen.objects.create(patient=of, batch=batch, **told | more)
    keep_to_look_at([row])
    return row


def phone_rows(of: SignedPlan, by: User, **more: Any) -> dict[type[Kept], Kept]:
    """Return a code, spent and ended, a day written by phone, and that a colleague took it."""
    number = next(_numbers)
    code = PhoneCode.objects.create(
        signed=of, digest=f"{number:064x}", language="en", made_by=by, made_at=AT
    )
    opening = PhoneOpening.objects.create(
        code=code, digest=f"{number:064x}", week=1, until=AT + dt.timedelta(days=8), at=AT
    )
    held = {"on": DAY, "told": {"day.pain": "2"}, "does_not_wait": False}
    entry = PhoneEntry.objects.create(code=code, at=AT, **held | more)
    ended = PhoneEnd.objects.create(code=code, why=PhoneEnd.CLINIC, by=by, at=AT)
    decision = PhoneDecision.objects.create(entry=entry, taken=True, by=by, at=AT)
    made: tuple[Kept, ...] = (code, opening, entry, ended, decision)
    return {type(row): on_record(row, "phone of a test", by=by) for row in made}


def session(of: SignedPlan, by: User, **more: Any) -> SessionLog:
    """Return a logged session."""
    held = {"on": DAY, "modality": "balance", "done": "all", "entered_at": AT}
    made = SessionLog.objects.create(patient=of.patient, signed=of, entered_by=by, **held | more)
    return on_record(made, "log session", by=by)


def review(of: SignedPlan, by: User, **more: Any) -> Review:
    """Return a review."""
    held = {"held_on": DAY, "week": 4, "proposal": {}, "at": AT}
    made = Review.objects.create(patient=of.patient, signed=of, by=by, **held | more)
    return on_record(made, "hold review", by=by)


def recorded(by: User, document: dict[str, Any] | None = None, **more: Any) -> Patient:
    """Return a patient of whom all of a facts/1 document is on record, on its day."""
    document = deepcopy(document or steady_document())
    known = facts(document)
    person = document["person"]
    of = patient(by, born=known.person.born, sex=known.person.sex, **more)
    entered = {"patient": of, "entered_by": by, "entered_at": AT}
    size = {"height_cm": person.pop("height_cm", None), "weight_kg": person.pop("weight_kg", None)}
    entry(SizeRow(date=known.as_of, **size, **entered))
    kinds = ((FractureRow, known.fractures), (ScanRow, known.scans), (LiftSet, known.lifts))
    for kind, held in kinds:
        for one in held or ():
            entry(kind.from_fact(one, **entered))
    for tests in known.tests or ():
        entry(FunctionTestDay.from_fact(tests, **entered))
    for key in ("format", "as_of", "scans", "tests", "lifts"):
        document.pop(key, None)
    if document.get("fractures"):
        document.pop("fractures")
    for key in ("born", "sex"):
        person.pop(key)
    answered = Assessment.objects.create(
        patient=of, as_of=known.as_of, answers=document, section="about", made_by=by, made_at=AT
    )
    on_record(answered, "save about", by=by)
    return of


def entry(row: Any) -> Any:
    """Return an unsaved row of something measured, saved with its line in the record."""
    row.save()
    return on_record(row, f"add {row.KIND}", by=row.entered_by)


def answer(of: Patient, by: User, **changes: Any) -> None:
    """Save other answers of a patient, laid over those that hold."""
    newest = Assessment.objects.filter(patient=of).latest("pk")
    saved = Assessment.objects.create(
        patient=of,
        as_of=newest.as_of,
        answers=laid_over(newest.answers, changes),
        section="about",
        made_by=by,
        made_at=AT,
    )
    on_record(saved, "save about", by=by)
