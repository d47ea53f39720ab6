"""Why a recording is not taken."""

from __future__ import annotations


class BadRecording(ValueError):
    """Nothing is worked out from this recording; `str()` of it is the sentence for the person."""
