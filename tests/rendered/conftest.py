"""What the tests of printed pages share."""

from collections.abc import Iterator

import pytest

from programs.actions import press


@pytest.fixture(autouse=True)
def pressed_here(monkeypatch: pytest.MonkeyPatch) -> None:
    """Make pages in this process, which is the same but for its limits; test_press looks at those.

    A process for each of some hundred pages would take a minute more.
    """
    monkeypatch.setattr(press, "apart", press.print_page)


@pytest.fixture
def quiet(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail where the PDF maker only warned: of a missing file, a missing letter."""
    yield
    told = [record for record in caplog.records if record.name.startswith("weasyprint")]
    assert [record.getMessage() for record in told] == []
