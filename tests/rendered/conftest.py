"""What the tests of printed pages share."""

from collections.abc import Iterator

import pytest

from programs.actions import pdf_process


@pytest.fixture(scope="session")
def bundled_fonts_alone(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    return pdf_process.bundled_fonts_alone(tmp_path_factory.mktemp("typefaces"))


@pytest.fixture(autouse=True)
def pressed_here(monkeypatch: pytest.MonkeyPatch, bundled_fonts_alone: dict[str, str]) -> None:
    """Make pages in this process, which is the same but for its limits; test_press looks at those.

    A process for each of some hundred pages would take a minute more.
    """
    for name, value in bundled_fonts_alone.items():
        monkeypatch.setenv(name, value)
    monkeypatch.setattr(pdf_process, "apart", pdf_process.print_page)


@pytest.fixture
def quiet(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail where the PDF maker only warned: of a missing file, a missing letter."""
    yield
    told = [record for record in caplog.records if record.name.startswith("weasyprint")]
    assert [record.getMessage() for record in told] == []
