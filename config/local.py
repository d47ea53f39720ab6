"""What the machine it runs on gives: the secret key and the time zone."""

import os
import secrets
from pathlib import Path


def secret_key(path: Path) -> str:
    """Return the key kept in the file at path; made on first use, readable by the owner only."""
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text(encoding="ascii").strip()
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(key := secrets.token_urlsafe(64))
    return key


def time_zone(name_file: Path = Path("/etc/timezone"), link: Path = Path("/etc/localtime")) -> str:
    """Return the machine's time zone as an IANA name, or UTC when it keeps none."""
    if name_file.is_file() and (name := name_file.read_text(encoding="ascii").strip()):
        return name
    target = os.path.realpath(link) if link.is_symlink() else ""
    return target.partition("zoneinfo/")[2] or "UTC"
