"""The command: followup/1 lines in, proposal/1 lines out, in their order; nothing is saved."""

from __future__ import annotations

import io
import json
import sys
from typing import Any

import pytest
from django.core.management import call_command

from programs.review.document import answer
from tests.programs.review.test_document import document


def run(monkeypatch: pytest.MonkeyPatch, *lines: str) -> tuple[list[dict[str, Any]], int]:
    sent = io.BytesIO("".join(f"{line}\n" for line in lines).encode())
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(sent, encoding="utf-8"))
    written, status = io.StringIO(), 0
    try:
        call_command("follow_up", stdout=written)
    except SystemExit as left:
        status = int(left.code or 0)
    return [json.loads(line) for line in written.getvalue().splitlines()], status


def test_a_line_is_answered(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the database: no test here asks for one."""
    lines, status = run(monkeypatch, json.dumps(document()))
    assert lines == [json.loads(json.dumps(answer(document())))]
    assert status == 0


def test_a_bad_line_stops_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    good = json.dumps(document())
    lines, status = run(monkeypatch, good, "not JSON", json.dumps({"format": "facts/1"}), good)
    assert ["errors" in line for line in lines] == [False, True, True, False]
    assert {line["format"] for line in lines} == {"proposal/1"}
    assert lines[1]["errors"] == [{"at": "", "text": "This line is not a JSON document."}]
    assert lines[2]["errors"][0]["at"] == "format"
    assert status == 1
