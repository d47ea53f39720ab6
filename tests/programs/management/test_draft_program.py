"""The command: facts/1 lines in, draft/1 lines out, in their order."""

from __future__ import annotations

import io
import json
import sys
from pathlib import Path
from typing import Any

import pytest
from django.core.management import CommandError, call_command

from programs.draft.document import answer
from tests.people import steady_document


class Run:
    """What a run wrote, line by line, and whether it ended with status 1."""

    def __init__(self, written: str, status: int) -> None:
        self.written = written
        self.lines = [json.loads(line) for line in written.splitlines()]
        self.status = status


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch) -> Any:
    def running(*lines: str | bytes, files: tuple[Path, ...] = (), processes: int = 1) -> Run:
        sent = b"".join((x if isinstance(x, bytes) else x.encode()) + b"\n" for x in lines)
        stdin = io.TextIOWrapper(io.BytesIO(sent), encoding="utf-8")
        monkeypatch.setattr(sys, "stdin", stdin)
        written = io.StringIO()
        status = 0
        try:
            call_command("draft_program", *map(str, files), processes=processes, stdout=written)
        except SystemExit as left:
            status = int(left.code or 0)
        return Run(written.getvalue(), status)

    return running


def line(**changes: Any) -> str:
    return json.dumps(steady_document(**changes))


def test_a_line_is_answered_as_the_pages_answer(run: Any) -> None:
    done = run(line())
    assert done.lines == [json.loads(json.dumps(answer(steady_document())))]
    assert done.lines[0]["format"] == "draft/1"
    assert done.status == 0


def test_the_order_is_kept_and_a_bad_line_stops_nothing(run: Any) -> None:
    done = run(line(aims=["hip"]), "not JSON", line(aims=["spine"]), "", line(format="facts/2"))
    ranks = [d["modalities"]["plate"]["rank"] if "modalities" in d else None for d in done.lines]
    assert ranks == [3, None, 5, None]
    assert done.lines[1]["errors"] == [{"at": "", "text": "This line is not a JSON document."}]
    assert done.lines[3]["errors"][0]["at"] == "format"
    assert done.status == 1


@pytest.mark.parametrize(
    "bad",
    [
        "{",
        "[" * 100_000,
        '{"format": NaN}',
        '{"weight": 1e999, "x": Infinity}',
        b"\xff\xfe{}",
        "9" * 5000,
    ],
)
def test_what_is_no_json_document_is_refused(run: Any, bad: str | bytes) -> None:
    done = run(bad, line())
    assert set(done.lines[0]) == {"format", "errors"}
    assert "modalities" in done.lines[1]
    assert done.status == 1


def test_a_key_given_twice_is_refused_and_neither_is_taken(run: Any) -> None:
    text = line().replace('"symptoms": {', '"symptoms": {"fever": "yes", "fever": "no", ')
    done = run(text)
    assert done.lines[0]["errors"] == [{"at": "", "text": "The key fever is given twice."}]


def test_unknown_keys_are_errors(run: Any) -> None:
    done = run(line(person={"shoe_size": 38}, colour="blue"))
    assert {problem["at"] for problem in done.lines[0]["errors"]} == {"person.shoe_size", "colour"}
    assert done.status == 1


def test_text_that_no_terminal_can_write_does_not_stop_the_run(run: Any) -> None:
    done = run('{"\\ud800": 1}', line())
    assert "errors" in done.lines[0]
    assert "modalities" in done.lines[1]


def test_files_are_read_one_after_the_other(run: Any, tmp_path: Path) -> None:
    first, second = tmp_path / "first.jsonl", tmp_path / "second.jsonl"
    first.write_text(line(aims=["hip"]) + "\n\n")
    second.write_text("\ufeff" + line(aims=["spine"]))
    done = run(files=(first, second))
    assert [found["modalities"]["plate"]["rank"] for found in done.lines] == [3, 5]


def test_a_file_that_is_not_there_is_said_before_anything_is_answered(
    run: Any, tmp_path: Path
) -> None:
    there = tmp_path / "there.jsonl"
    there.write_text(line())
    with pytest.raises(CommandError, match=r"gone\.jsonl"):
        run(files=(there, tmp_path / "gone.jsonl"))


def test_nothing_in_nothing_out(run: Any) -> None:
    done = run()
    assert (done.lines, done.status) == ([], 0)


def test_two_processes_write_the_same_bytes_in_the_same_order(run: Any) -> None:
    """More lines than a process is handed at once, with bad ones among them."""
    aims = [["hip"], ["spine"], ["falls", "strength"]]
    lines = [line(aims=aims[n % 3], person={"weight_kg": 50 + n / 10}) for n in range(70)]
    lines[5], lines[40], lines[41] = "not JSON", line(format="facts/2"), ""
    alone, together = run(*lines), run(*lines, processes=2)
    assert together.written == alone.written
    assert len(alone.lines) == 69
    assert (alone.status, together.status) == (1, 1)


def test_two_processes_end_well_where_nothing_is_refused(run: Any) -> None:
    assert run(line(), processes=2).status == 0
    assert run(processes=2).lines == []


def test_a_file_that_is_not_there_is_said_by_two_processes_too(run: Any, tmp_path: Path) -> None:
    with pytest.raises(CommandError, match=r"gone\.jsonl"):
        run(files=(tmp_path / "gone.jsonl",), processes=2)


@pytest.mark.parametrize("number", [0, -1])
def test_no_process_is_refused(run: Any, number: int) -> None:
    with pytest.raises(CommandError, match="1 or more"):
        run(line(), processes=number)
