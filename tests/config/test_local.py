import stat
from pathlib import Path

import pytest

from config.local import CannotStart, secret_key, time_zone


def test_secret_key_is_made_once_for_the_owner_only(tmp_path: Path) -> None:
    path = tmp_path / "state" / "secret_key"
    first = secret_key(path)
    assert len(first) >= 50
    assert secret_key(path) == first
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_two_installations_have_two_keys(tmp_path: Path) -> None:
    assert secret_key(tmp_path / "a") != secret_key(tmp_path / "b")


def test_no_key_is_made_where_records_hang_on_the_one_that_is_gone(tmp_path: Path) -> None:
    path = tmp_path / "secret_key"
    with pytest.raises(CannotStart, match="The secret key is missing"):
        secret_key(path, rows_are_there=lambda: True)
    assert not path.exists()


@pytest.mark.parametrize("content", [b"", b"\n", b"short", bytes(range(128, 228)), b"\0" * 64])
def test_what_is_no_key_is_refused_and_left_alone(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "secret_key"
    path.write_bytes(content)
    with pytest.raises(CannotStart, match="The secret key is damaged"):
        secret_key(path)
    assert path.read_bytes() == content


def test_time_zone_from_its_name_file(tmp_path: Path) -> None:
    (tmp_path / "timezone").write_text("Australia/Hobart\n")
    assert time_zone(tmp_path / "timezone", tmp_path / "none") == "Australia/Hobart"


def test_time_zone_from_the_link(tmp_path: Path) -> None:
    (tmp_path / "localtime").symlink_to("/usr/share/zoneinfo/Europe/Oslo")
    assert time_zone(tmp_path / "none", tmp_path / "localtime") == "Europe/Oslo"


def test_time_zone_is_utc_where_the_machine_says_nothing(tmp_path: Path) -> None:
    assert time_zone(tmp_path / "none", tmp_path / "neither") == "UTC"
