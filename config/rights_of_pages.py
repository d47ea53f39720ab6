"""The right that each page asks for, to be opened and to be sent: every address of the app once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType

from patients.staff.rights import Right


class Anyone(StrEnum):
    """No right of the table is asked for."""

    SIGNED_IN = "whoever is signed in"
    ALL = "nobody has to be signed in"


@dataclass(frozen=True, kw_only=True)
class Needs:
    """What a page asks for: to open it (GET), and to send its form (POST)."""

    to_open: Right | Anyone
    to_send: Right | Anyone

    def of(self, method: str) -> Right | Anyone:
        """Return what a request of this method needs."""
        return self.to_open if method in ("GET", "HEAD", "OPTIONS") else self.to_send


def _both(right: Right | Anyone, *names: str) -> dict[str, Needs]:
    return {name: Needs(to_open=right, to_send=right) for name in names}


def _read_and(right: Right, *names: str) -> dict[str, Needs]:
    return {name: Needs(to_open=Right.READ, to_send=right) for name in names}


def _app(app: str, pages: Mapping[str, Needs]) -> dict[str, Needs]:
    return {f"{app}:{name}": needs for name, needs in pages.items()}


_OWN = _both(
    Anyone.ALL, "sign_in", "sign_in_code", "sign_out", "time_left", "new_password"
) | _both(Anyone.SIGNED_IN, "stay", "password_change", "door")
_PATIENTS = (
    _both(Anyone.SIGNED_IN, "account", "own_name", "end_session", "end_other_sessions")
    | _both(Anyone.SIGNED_IN, "codes", "codes_off", "codes_recovery", "keys")
    | _both(Right.READ, "unfinished", "unfinished_drop")
    | _both(Right.PEOPLE, "codes_asked", "person_codes")
    | _both(Right.PEOPLE, "people", "person_add", "person", "person_switch", "person_code")
    | _read_and(Right.JOIN, "doubles")
    | _both(Right.READ, "caseload", "kept", "measures", "export", "joined")
    | _both(Right.ENTER, "new", "change", "withdraw", "import", "import_file")
    | _both(Right.ENTER, "import_people", "import_people_file")
    | _both(Right.ENTER, "previsit", "newly_asked", "section")
    | _read_and(Right.ENTER, "facts", "scanners", "scanner", "laboratory")
    | _both(Right.ENTER, "scanner_change", "study_withdraw", "marker_error_withdraw")
    | _both(Right.JOIN, "close", "join_choose", "join", "looked", "apart")
)
_SAFETY = (
    _both(Anyone.SIGNED_IN, "rulebook")
    | _read_and(Right.ENTER, "screen", "risk")
    | _both(Right.CLEAR, "clearance_add", "clearance_withdraw")
)
_PROGRAMS = (
    _both(Right.READ, "caseload", "caseload_list", "timeline", "why", "fits", "what_if")
    | _both(Right.READ, "plan_version", "versions", "evidence", "outcomes", "outcomes_file")
    | _both(Right.READ, "everything_kept", "person_export", "retention", "clinic_record_file")
    | _both(Right.READ, "beside")
    | _read_and(Right.DRAFT, "plan", "plan_draft", "plan_undo", "plan_edit", "plan_leave_out")
    | _both(Right.DRAFT, "stop_draft")
    | _both(Right.ENTER, "consult", "beside_said", "beside_answers")
    | _read_and(Right.SIGN, "sign")
    | _read_and(Right.PRINT, "handout", "handout_pdf", "draft_pdf", "session_calendar")
    | _read_and(Right.PRINT, "stop_notice", "print_discharge", "questionnaire")
    | _read_and(Right.STOP, "stop", "stop_told")
    | _read_and(Right.CLEAR, "asked", "asked_answer")
    | _read_and(Right.LOG, "log", "log_day", "log_files", "log_table", "log_carry", "log_file")
    | _both(Right.LOG, "log_withdraw")
    | _read_and(Right.LOG, "log_phone")
    | _read_and(Right.PRINT, "phone", "phone_slip", "phone_end")
    # Her own phone: a one-use code opens them, and nobody's rights.
    | _both(Anyone.ALL, "her_week", "her_code", "her_day", "her_end")
    | _read_and(Right.REVIEW, "review")
    | _both(Right.REVIEW, "review_decide")
    | _read_and(Right.ENTER, "plates", "plate_change", "fit", "fit_copy", "appraisal")
    | _both(Right.ENTER, "plate_add", "plates_import", "plate_measure", "plate_retire")
    | _both(Right.ENTER, "plate_repair")
    | _both(Right.ENTER, "plate_withdraw", "plate_recording", "plate_recorded")
    | _both(Anyone.SIGNED_IN, "release_note", "clinic", "clinic_safety", "clinic_safety_pdf")
    | _both(Anyone.SIGNED_IN, "glossary", "tour", "how_far")
    | _both(Anyone.SIGNED_IN, "made_of", "made_of_file", "evidence_watch_file")
    | {"evidence_watch": Needs(to_open=Anyone.SIGNED_IN, to_send=Right.EVIDENCE)}
    | _both(
        Right.SETTINGS, "clinic_details", "clinic_emergency", "clinic_languages", "retention_years"
    )
    | _both(Right.LOOK_OVER, "clinic_health")
    # The lines tell of patients.
    | _read_and(Right.LOOK_OVER, "clinic_record")
    | _both(Right.LIMITS, "clinic_limit")
)
#: By the name of the address; an address that is missing here is refused to everybody.
PAGES: Mapping[str, Needs] = MappingProxyType(
    _OWN | _app("patients", _PATIENTS) | _app("safety", _SAFETY) | _app("programs", _PROGRAMS)
)
