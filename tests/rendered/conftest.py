"""What the tests of printed pages share."""

from collections.abc import Iterator

import pytest


@pytest.fixture
def quiet(caplog: pytest.LogCaptureFixture) -> Iterator[None]:
    """Fail where the PDF maker only warned: of a missing file, a missing letter."""
    yield
    told = [record for record in caplog.records if record.name.startswith("weasyprint")]
    assert [record.getMessage() for record in told] == []
