"""The picture for the camera: as the encoder made it, and read back by another reader."""

import re

import pytest
import segno

from programs.phone.qr import QUIET, matrix, svg
from tests.programs.phone.qr_reader import NotReadError, is_data, read

ADDRESS = "https://calcar.clinic.example/week/en/abcdefghijklmnopqrstuvwxy2/"


def modules_of(drawn: str) -> list[list[bool]]:
    """Return the modules that a picture draws, the quiet zone included."""
    wide = int(re.search(r'viewBox="0 0 (\d+) ', drawn)[1])  # type: ignore[index]
    found = [[False] * wide for _ in range(wide)]
    for x, y, length in re.findall(r"M(\d+) (\d+)h(\d+)v1", drawn):
        for one in range(int(x), int(x) + int(length)):
            found[int(y)][one] = True
    return found


def test_it_draws_the_modules_with_a_quiet_zone_around() -> None:
    wanted = [list(map(bool, row)) for row in segno.make(ADDRESS, error="m").matrix]
    assert matrix(ADDRESS) == wanted
    drawn = modules_of(svg(ADDRESS, "told"))
    assert len(drawn) == len(wanted) + 2 * QUIET
    assert [row[QUIET:-QUIET] for row in drawn[QUIET:-QUIET]] == wanted
    edge = [*drawn[:QUIET], *drawn[-QUIET:], *([*r[:QUIET], *r[-QUIET:]] for r in drawn)]
    assert not any(any(row) for row in edge)


@pytest.mark.parametrize("host", ["a.b", "calcar.clinic.example", "a" * 60 + ".example", "b" * 160])
def test_h05_another_reader_reads_the_address_in_it(host: str) -> None:
    """H05: compared with the modules of what drew it alone, it may be a code that nobody reads."""
    address = f"https://{host}/week/en/abcdefghijklmnopqrstuvwxy2/"
    drawn = modules_of(svg(address, "told"))
    assert read([row[QUIET:-QUIET] for row in drawn[QUIET:-QUIET]]) == address


def is_noticed(i: int, j: int) -> bool:
    modules = matrix(ADDRESS)
    modules[i][j] = not modules[i][j]
    try:
        read(modules)
    except NotReadError:
        return True
    return False


def test_the_reader_would_notice_a_module_turned() -> None:
    """All but seven: version 5 has that many more than its words fill, the last on the left."""
    wide = len(matrix(ADDRESS))
    assert wide == 37
    all_data = [(i, j) for i in range(wide) for j in range(wide) if is_data(i, j, 5)]
    assert len(all_data) == 8 * (86 + 2 * 24) + 7
    unseen = {one for one in (*all_data[::9], *all_data[-40:]) if not is_noticed(*one)}
    assert unseen <= {(i, j) for i in range(25, 29) for j in (0, 1)}
    assert is_noticed(8, 0)
    assert is_noticed(wide - 1, 8)


def test_the_reader_takes_nothing_else_for_a_code() -> None:
    for nothing in ([], [[True] * 21] * 20, [[True] * 21] * 21):
        with pytest.raises(NotReadError):
            read(nothing)


def test_what_is_told_of_it_is_escaped() -> None:
    assert "<title>a &lt;b&gt;</title>" in svg(ADDRESS, "a <b>")
