"""The list of what the product is made of: made from the lock, and read where it is kept."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from django.conf import settings

from programs.made_of.sbom import CARRIED, sbom, text_of

#: The list as it is kept with the product.
KEPT = Path(__file__).resolve().parents[1] / "made_of" / "sbom.cdx.json"


def made_from_the_lock() -> str:
    """Return the list as today's lock and files make it."""
    root = Path(settings.BASE_DIR)
    sums = {
        one.where: hashlib.sha256((root / "static" / one.where).read_bytes()).hexdigest()
        for one in CARRIED
        if one.is_file
    }
    return text_of(sbom((root / "requirements.txt").read_text(encoding="utf-8"), sums))


def keep() -> None:
    """Write the list anew."""
    KEPT.write_text(made_from_the_lock(), encoding="utf-8")


def kept() -> dict[str, Any]:
    """Return the list that is kept."""
    held: dict[str, Any] = json.loads(KEPT.read_text(encoding="utf-8"))
    return held
