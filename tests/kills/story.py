"""Actions that write, in an order in which a clinic could press them: a name, and what is done."""

from __future__ import annotations

import datetime as dt
import io
import json
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from django.contrib.auth.models import User

from patients.actions import (
    closing,
    codes,
    doubles,
    guessing,
    joining,
    open_sessions,
    patient_record,
    scanners,
    staff,
    withdrawing,
)
from patients.actions.sealed_secret import opened
from patients.facts.sections import SECTIONS
from patients.files.rows import Choices
from patients.joining import HERE, Pair
from patients.models.patient import FractureRow, Patient
from patients.models.scanners import ParkedFile, Scanner
from patients.models.standing import Join
from patients.staff.one_time_codes import Whom
from patients.staff.rights import Role
from programs.actions import (
    database_copies,
    discharging,
    drafting,
    editing,
    erasing,
    log_days,
    log_files,
    older_seals,
    papers,
    person_export,
    phone_codes,
    phone_log,
    program_state,
    record_check,
    rescreening,
    reviewing,
    rulebook_check,
    sessions,
    signing,
)
from programs.models.database_copies import MADE
from programs.models.phone import PhoneCode, PhoneEntry
from programs.models.program import Plan, SignedPlan
from programs.models.program_state import ProgramState
from programs.review.adherence import Session
from programs.review.half_year import Onward
from programs.review.logged_days import entries_of_day
from safety.actions import add_clearance, screen_patient
from safety.findings import Modality
from tests.kills.harness import Step
from tests.kills.story_beside import beside_the_exercise
from tests.kills.story_of_doctors import doctors
from tests.kills.story_of_plates import of_plates
from tests.kills.story_of_settings import settings
from tests.kills.story_of_unfinished import typed_and_left
from tests.patients.codes import code_at
from tests.people import steady_document
from tests.programs import reviews, rows
from tests.programs.actions.test_log_files import KNOWS
from tests.programs.edit.test_changes import edit
from tests.programs.reviews import after
from tests.programs.rows import AT, DAY

Steps = Iterator[tuple[str, Step]]
PEOPLE = [(0.9, 0.91)] * 15 + [(0.8, 0.82)] * 15


def story(by: User) -> Steps:
    """Yield each action once. Whoever takes it does it, too, before asking for the next."""
    who: dict[str, Any] = {"by": by, "at": AT}
    yield from _clinic(who)
    yield from _people(who)
    yield from _facts(who)
    yield from _program(who)
    yield from _afterwards(who)
    yield from _records(who)


def _clinic(who: dict[str, Any]) -> Steps:
    yield from settings(who)
    yield from of_plates(who)
    yield "save_scanner", lambda: scanners.save_scanner(scanner=None, name="Room 2", note="", **who)
    study = scanners.Study(site="total_hip", made_on=DAY, people=PEOPLE)
    room = Scanner.objects.get()
    yield "record_study", lambda: scanners.record_study(scanner=room, study=study, **who)
    told = scanners.MarkerFigures(laboratory="North", marker="ctx", told_on=DAY, lsc_percent=30.0)
    yield "record_marker_error", lambda: scanners.record_marker_error(figures=told, **who)
    note = database_copies.Held(
        file="copy", key="0123456789abcdef", encrypted=False, lines=1, seal="0" * 64,
        people=0, programs=0, papers=0,
    )  # fmt: skip
    yield "keep_copy", lambda: database_copies.keep_copy(held=note, what=MADE, **who)
    yield "restore_from", lambda: database_copies.restore_from(held=note, reason="a copy", **who)


def _people(who: dict[str, Any]) -> Steps:
    new = {"username": "a.holm", "full_name": "Anna Holm"}
    yield "add_person", lambda: staff.add_person(**new, roles=[Role.ASSISTANT], **who)
    her = User.objects.get(username="a.holm")
    yield "set_roles", lambda: staff.set_roles(user=her, roles=[Role.CLINICIAN], **who)
    yield "set_full_name", lambda: staff.set_full_name(user=her, full_name="Anna Holm-Berg", **who)
    given: list[str] = []
    yield "give_code", lambda: given.append(staff.give_code(user=her, **who))
    yield (
        "set_password_by_code",
        lambda: staff.set_password_by_code(
            code=given[-1], password="seven quiet herons at dawn", at=AT
        ),
    )
    yield "switch", lambda: staff.switch(user=her, on=False, **who)
    yield from _codes(who)
    yield (
        "change_password",
        lambda: staff.change_password(user=her, password="eleven quiet herons at dusk", at=AT),
    )
    tried: list[Any] = []
    yield (
        "take_a_try",
        lambda: tried.append(
            guessing.take_a_try(question=guessing.Question.SIGN_IN, source="10.0.0.9", at=AT)
        ),
    )
    yield "was_wrong", lambda: guessing.was_wrong(tried[-1], by=None, at=AT, about=her)
    yield (
        "note_sign_in",
        lambda: open_sessions.note_sign_in(
            by=who["by"], session_key="k" * 32, user_agent="", at=AT
        ),
    )
    yield "end_sessions", lambda: open_sessions.end_sessions(**who, keep="other")
    yield (
        "note_sign_out",
        lambda: open_sessions.note_sign_out(by=who["by"], session_key="k" * 32, at=AT),
    )


def _codes(who: dict[str, Any]) -> Steps:
    user = who["by"]
    sealed = codes.new_secret(user)
    secret = opened(sealed, user.pk)
    yield (
        "turn_on",
        lambda: codes.turn_on(user=user, sealed=sealed, code=code_at(secret, AT), at=AT),
    )
    later = AT + dt.timedelta(minutes=5)
    yield "use_code", lambda: codes.use_code(user=user, typed=code_at(secret, later), at=later)
    yield "make_recovery_codes", lambda: codes.make_recovery_codes(user=user, at=later)
    yield (
        "take_away_by_the_shell",
        lambda: codes.take_away_by_the_shell(user=user, reason="Telephone lost", **who),
    )
    codes.turn_on(user=user, sealed=sealed, code=code_at(secret, AT), at=AT)
    yield "turn_off", lambda: codes.turn_off(user=user, at=later)
    yield "ask_codes_of", lambda: codes.ask_codes_of(whom=Whom.SIGNERS, **who)


def _facts(who: dict[str, Any]) -> Steps:
    ann = patient_record.Identity(
        given_name="Ann", family_name="Fictional", born=dt.date(1950, 1, 1), sex="female"
    )
    yield "add_patient", lambda: patient_record.add_patient(who=ann, **who)
    patient = Patient.objects.latest("pk")
    other = patient_record.Identity(**{**vars(ann), "given_name": "Anne"})
    yield (
        "change_patient",
        lambda: patient_record.change_patient(
            patient=patient, who=other, version=1, reason="Misread", **who
        ),
    )
    yield (
        "save_section",
        lambda: patient_record.save_section(
            patient=patient,
            section=SECTIONS["falls"],
            answers={"falls": {"last_12_months": 0}},
            as_of=DAY,
            based_on=None,
            **who,
        ),
    )
    yield from typed_and_left(patient, who)
    several = {"symptoms": {"symptoms": {"fever": "no"}}, "aims": {"aims": ["hip"]}}
    yield (
        "save_sections",
        lambda: patient_record.save_sections(
            patient=patient, parts=several, as_of=DAY, based_on=None, **who
        ),
    )
    wrist = FractureRow(site="wrist", date=dt.date(2011, 12, 31))
    yield "add_measured", lambda: patient_record.add_measured(patient=patient, rows=[wrist], **who)
    row = FractureRow.objects.latest("pk")
    yield "withdraw", lambda: withdrawing.withdraw(row=row, reason="Of another", **who)
    yield (
        "add_clearance",
        lambda: add_clearance(
            patient=patient,
            subject="low_t",
            modalities=["plate"],
            given_by="Dr Heart",
            on=DAY,
            until=DAY + dt.timedelta(days=90),
            **who,
        ),
    )
    yield "screen_patient", lambda: screen_patient(patient=patient, as_of=DAY, **who)
    rows.patient(who["by"], record_number="0001")
    file = b"record number,date,site,side,BMD g/cm2\n0001,2026-01-20,total hip,left,0.681\n"
    yield "park", lambda: scanners.park(name="scans.csv", content=file, **who)
    choices = {"choices": Choices(), "expected": 1}
    yield "take", lambda: scanners.take(parked=ParkedFile.objects.get(), **choices, **who)
    scanners.park(name="more.csv", content=file, **who)
    yield "drop", lambda: scanners.drop(parked=ParkedFile.objects.get(), **who)


def _program(who: dict[str, Any]) -> Steps:
    patient = rows.recorded(who["by"], steady_document(resources={"days": reviews.DAYS}))
    first = {"as_of": DAY, "starts_on": DAY, **who}
    yield "draft_plan", lambda: drafting.draft_plan(patient=patient, **first)
    plan = Plan.objects.get(patient=patient)
    less = edit("balance.minutes", 60, 1, 3)
    yield "edit_plan", lambda: editing.edit_plan(plan=plan, edits=[less], lock=1, **who)
    yield "undo_edit", lambda: editing.undo_edit(plan=plan, lock=2, **who)
    plan = Plan.objects.get(patient=patient)
    rows.reached(who["by"])
    signs = {"today": DAY, "starts_on": DAY, "clinic": reviews.CLINIC, **who}
    yield "sign_plan", lambda: signing.sign_plan(plan=plan, lock=plan.lock, **signs)
    signed = SignedPlan.objects.get(patient=patient)
    yield "make_paper", lambda: papers.make_paper(signed=signed, kind="handout", **who)
    done = Session(on=DAY, modality=Modality.BALANCE, done="all", effort=4)
    day = log_days.TypedDay(on=DAY, was=(), entries=entries_of_day([done]), kinds=tuple(Modality))
    yield (
        "save_days",
        lambda: log_days.save_days(patient=signed.patient, days=[day], reason="", **who),
    )
    done = replace(done, on=DAY, modality=Modality.POSTURE)
    yield (
        "log_sessions",
        lambda: sessions.log_sessions(patient=signed.patient, sessions=[done], **who),
    )
    yield (
        "hold_against_rulebook",
        lambda: rulebook_check.hold_against_rulebook(signed=signed, **who),
    )


def _afterwards(who: dict[str, Any]) -> Steps:
    signed = SignedPlan.objects.latest("pk")
    codes_made: list[str] = []
    yield (
        "make_code",
        lambda: codes_made.append(phone_codes.make_code(signed=signed, language="en", **who)[1]),
    )
    code = PhoneCode.objects.get()
    yield "note_slip", lambda: phone_codes.note_slip(code=code, **who)
    weeks: list[Any] = []
    yield (
        "open_week",
        lambda: weeks.append(
            phone_codes.open_week(code=codes_made[-1], nonce="n" * 32, at=AT).opening
        ),
    )
    yield (
        "write_day",
        lambda: phone_log.write_day(opening=weeks[-1], on=DAY, texts={"plate.done": "A"}, at=AT),
    )
    entry = PhoneEntry.objects.get()
    yield (
        "leave_day",
        lambda: phone_log.leave_day(
            patient=signed.patient, number=entry.pk, reason="By mistake", **who
        ),
    )
    phone_log.write_day(
        opening=weeks[-1], on=DAY, texts={"resistance.done": "A"}, at=AT + dt.timedelta(hours=1)
    )
    again = PhoneEntry.objects.latest("pk")
    yield (
        "take_days",
        lambda: phone_log.take_days(patient=signed.patient, numbers=[again.pk], **who),
    )
    yield "end_code", lambda: phone_codes.end_code(code=code, **who)
    later = {"by": who["by"], "at": after(4)}
    reviews.log_weeks(signed, who["by"], 2, 3, 4)
    of = reviews.seen(signed)
    decided = {"decisions": reviews.as_proposed(of), "seal": of.seal}
    yield "hold_review", lambda: reviewing.hold_review(signed=signed, **decided, **later)
    yield (
        "stop_program",
        lambda: program_state.stop_program(signed=signed, why="Pain in the hip", **later),
    )
    stop = ProgramState.objects.filter(signed=signed, state="stopped").latest("pk")
    yield "make_stop_notice", lambda: papers.make_stop_notice(stop=stop, **later)
    yield (
        "told_of_stop",
        lambda: program_state.told_of_stop(
            stop=stop, told_by="Marta Ferro", how="telephone", on=after(4).date(), **later
        ),
    )
    yield from doctors(signed.patient, later)
    yield from beside_the_exercise(signed.patient, later)
    yield from _of_another(who)


def _of_another(who: dict[str, Any]) -> Steps:
    signed = reviews.signed(who["by"])
    days = {(DAY + dt.timedelta(days=1)).isoformat(): {"balance.done": "A", "day.pain": "1"}}
    told = {"format": "calcar-log/1", "file": "f1", "patient": signed.patient_id, "days": days}
    soon = {"by": who["by"], "at": after(1)}
    scanners.park(name="log.json", content=json.dumps(told).encode(), **soon)
    read = {"patient": signed.patient, "knows": KNOWS, "choices": Choices()}
    file = ParkedFile.objects.get()
    looked = log_files.look(file, *read.values())
    assert looked.found is not None, looked
    new = len(looked.found.new)
    yield (
        "take of a log",
        lambda: log_files.take(parked=file, expected=new, **read, **soon),
    )
    reviews.log_weeks(signed, who["by"], 2, 3, 4)
    falls = {"falls": {"last_12_months": 0}}
    reviews.answer(signed.patient, "falls", falls, who["by"], after(4))
    leaves = {"onward": Onward.DISCHARGE, "onward_reason": "She moves away"}
    review = reviews.held(signed, who["by"], **leaves)
    yield (
        "discharge_paper",
        lambda: discharging.discharge_paper(review=review, by=who["by"], at=after(4)),
    )


def _records(who: dict[str, Any]) -> Steps:
    late = {"by": who["by"], "at": after(5)}
    into, double = (rows.patient(who["by"], given_name="Ann") for _ in range(2))
    yield "two_people", lambda: doubles.two_people(one=into, other=double, reason="Sisters", **late)
    pair = Pair.of(Patient.objects.get(pk=into.pk), Patient.objects.get(pk=double.pk), DAY)
    joins: dict[str, Any] = {
        "double": pair.double.patient,
        "into": pair.into.patient,
        "choices": {clash.name: HERE for clash in pair.clashes()},
        "seal": pair.seal,
        "reason": "Same daughter, same address",
    }
    yield "join_records", lambda: joining.join_records(**joins, **late)
    yield (
        "note_looked_through",
        lambda: joining.note_looked_through(join=Join.objects.get(), **late),
    )
    yield (
        "undo_join",
        lambda: joining.undo_join(join=Join.objects.get(), reason="Two people", **late),
    )
    yield "close_record", lambda: closing.close_record(patient=into, what="moved", on=DAY, **late)
    yield "open_again", lambda: closing.open_again(patient=into, note="Back", **late)
    yield "check_record", lambda: record_check.check_record(**late)
    yield "seal_older", lambda: older_seals.seal_older(**late)
    yield "rescreen_all", lambda: list(rescreening.rescreen_all(at_once=2, **late))
    signed = SignedPlan.objects.latest("pk")
    yield (
        "write_archive",
        lambda: person_export.write_archive(
            patient=signed.patient, to=io.BytesIO(), paper="A4", **late
        ),
    )
    gone = {"patient": signed.patient, "why": "She asked for it on 3 May", **late}
    yield "erase_person", lambda: erasing.erase_person(**gone)
