"""One test over every row of a table, which names each row that fails: for long tables."""

from __future__ import annotations

import functools
import inspect
import traceback
from collections.abc import Callable, Iterable
from typing import Any

import pytest


def each(
    names: str | tuple[str, ...],
    rows: Iterable[Any],
    ids: Callable[[Any], object] | Iterable[str] | None = None,
) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """Call a test with every row in turn, as `pytest.mark.parametrize` would, but in one test.

    What surrounds a test costs more than most rows do, and there are thousands of them. What
    the test asks for besides (a fixture) is the same for all rows, so rows that write to a
    database are for `parametrize`.
    """
    wanted = [name.strip() for name in names.split(",")] if isinstance(names, str) else [*names]
    all_rows = [*rows]
    labels = [*map(ids or repr, all_rows)] if ids is None or callable(ids) else [*ids]
    assert all_rows, "a table without rows tests nothing"

    def decorate(test: Callable[..., None]) -> Callable[..., None]:
        @functools.wraps(test)
        def every_row(*args: Any, **kwargs: Any) -> None:
            failed = []
            for label, row in zip(labels, all_rows, strict=True):
                values = [row] if len(wanted) == 1 else row
                try:
                    test(*args, **kwargs, **dict(zip(wanted, values, strict=True)))
                except Exception:
                    failed.append(f"{label}\n{traceback.format_exc(limit=-2)}")
            if failed:
                head = f"{len(failed)} of {len(all_rows)} rows failed"
                pytest.fail("\n".join([head, *failed[:20]]), pytrace=False)

        asked = inspect.signature(test)
        kept = [one for name, one in asked.parameters.items() if name not in wanted]
        every_row.__signature__ = asked.replace(parameters=kept)  # type: ignore[attr-defined]
        # Else pytest looks for the rows' names through what is wrapped.
        del every_row.__wrapped__  # type: ignore[attr-defined]
        return every_row

    return decorate
