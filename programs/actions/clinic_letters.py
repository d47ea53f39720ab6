"""Typefaces that a clinic adds for the letters of names that the bundled ones lack.

They lie in a folder of the clinic's own (CALCAR_FONTS), read anew for each paper. A file that is no
typeface is passed over: a name is then told as one that cannot be printed, as before.
"""

from __future__ import annotations

import logging
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from django.conf import settings

#: Files of one typeface each; a collection of several is none of them.
KINDS = frozenset({".ttf", ".otf"})
#: So many files are read, the first by name.
MOST = 16
#: What a paper asks for is below this name.
_BELOW = "fonts/clinic/"


def letters_of() -> dict[str, frozenset[int]]:
    """Return the code points of each typeface of the clinic, by the name papers know it by."""
    held = {_name(path): _code_points(path, path.stat().st_mtime_ns) for path in _paths()}
    return {name: found for name, found in held.items() if found}


def places() -> dict[str, str]:
    """Return where each typeface of the clinic lies."""
    known = letters_of()
    return {_name(path): str(path) for path in _paths() if _name(path) in known}


def sheet(bundled: str, names: Mapping[str, str]) -> str:
    """Return the style sheet that adds them after the bundled families; nothing where none is."""
    if not names:
        return ""
    families = {f"Clinic Letters {n}": name for n, name in enumerate(names, start=1)}
    faces = "".join(
        f'@font-face {{ font-family: "{family}"; src: url("/static/{name}"); }}\n'
        for family, name in families.items()
    )
    named = ", ".join(f'"{family}"' for family in families)
    # The page's own sheet comes first and would else be the one that counts.
    return f"{faces}html {{ font-family: {bundled}, {named} !important; }}\n"


def _paths() -> list[Path]:
    folder = settings.FONTS_DIR
    if folder is None or not Path(folder).is_dir():
        return []
    found = (path for path in Path(folder).iterdir() if path.suffix.lower() in KINDS)
    return sorted(found)[:MOST]


def _name(path: Path) -> str:
    return f"{_BELOW}{_paths().index(path)}{path.suffix.lower()}"


@lru_cache(maxsize=2 * MOST)
def _code_points(path: Path, changed: int) -> frozenset[int]:
    """Return what a typeface shows; nothing for a file that is none. changed: when it last was."""
    from fontTools.ttLib import TTFont, TTLibError  # type: ignore[import-untyped]

    try:
        with TTFont(path) as font:
            return frozenset(font.getBestCmap() or {})
    except (TTLibError, OSError):
        logging.getLogger(__name__).warning("%s is not a typeface that papers can use.", path.name)
        return frozenset()
