"""A recording of a plate: parked, read anew when it is taken, and kept as a measurement."""

from __future__ import annotations

import datetime as dt
from uuid import UUID

from django.contrib.auth.models import User

from patients import audit
from patients.actions.refusals import Refused
from patients.models.scanners import ParkedFile
from programs.actions.plates import add_measurement
from programs.models.plates import ClinicPlate, PlateMeasurement
from programs.plates.recording.reading import Choices, UnitAsked
from programs.plates.recording.refused import BadRecording
from programs.plates.recording.worked import Asked, as_measurement, read, worked


def take_recording(
    *,
    row: ClinicPlate,
    parked: ParkedFile,
    asked: Asked,
    choices: Choices,
    by: User,
    at: dt.datetime,
    token: UUID | None = None,
) -> PlateMeasurement | None:
    """Keep what a parked recording comes to as a measurement, and let the file go.

    It is worked out anew here, so that what is kept is of this file and nothing else. None where
    the token was used before. Raises Refused where it cannot be taken.
    """
    with audit.writing():
        if audit.done_before(token) is not None:
            return None
        try:
            made = worked(read(bytes(parked.content), choices), asked).motion
        except BadRecording as bad:
            raise Refused(str(bad)) from bad
        except UnitAsked as unit:
            raise Refused("Say first which unit the acceleration is in.") from unit
        measured = as_measurement(made, asked, name=parked.name, digest=parked.digest)
        added = add_measurement(row=row, measured=measured, by=by, at=at, token=token)
        old = {"name": parked.name, "digest": parked.digest}
        audit.record(by=by, at=at, action="drop file", on=parked, old=old)
        parked.delete()
    return added
