"""What is worked out once and remembered is what would be worked out anew."""

from collections.abc import Hashable
from typing import Any

import pytest

from programs.actions import printing
from programs.exercises import catalogue
from safety.findings import Modality

REMEMBERED: list[tuple[Any, tuple[Hashable, ...]]] = [
    (printing._place, (sorted(printing.FILES)[0],)),
    (printing._bundled, ()),
    *((printing._widths, (face,)) for face in printing.FACES),
    *((catalogue.of, (modality,)) for modality in Modality),
]


@pytest.mark.parametrize(("remembered", "asked"), REMEMBERED)
def test_it_is_the_same_anew(remembered: Any, asked: tuple[Hashable, ...]) -> None:
    assert remembered(*asked) == remembered.__wrapped__(*asked)
