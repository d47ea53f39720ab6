"""The process that makes a PDF starts and answers, by whatever path its module stands under."""

import json
import subprocess
import sys
import threading
from dataclasses import asdict

import pytest

from programs.actions import pdf_process
from programs.actions.pdf_process import AT_ONCE, BUSY, Order, PaperUnavailable, apart
from programs.management.commands.serve import listen_on

PAGE = "<html lang='en'><title>One page</title><p>Stand up and sit down.</p></html>"


def test_one_paper_comes_out_of_the_process() -> None:
    assert apart(Order(text=PAGE, sheet="", files={})).startswith(b"%PDF-")


def test_one_thread_is_always_left_for_the_pages(monkeypatch: pytest.MonkeyPatch) -> None:
    """Of a hundred who ask at once three get papers, the others an answer; the next gets one."""
    assert listen_on(8000)["threads"] > AT_ONCE
    all_asked, made, refused = threading.Event(), [], []

    def slow(order: bytes, longest_s: float) -> subprocess.CompletedProcess[bytes]:
        all_asked.wait(30)
        return subprocess.CompletedProcess([], 0, b"%PDF", b"")

    def ask() -> None:
        try:
            made.append(apart(Order(text=PAGE, sheet="", files={})))
        except PaperUnavailable as told:
            refused.append(str(told))
        if len(refused) == 100 - AT_ONCE:
            all_asked.set()

    monkeypatch.setattr(pdf_process, "_child", slow)
    threads = [threading.Thread(target=ask) for _ in range(100)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(made), refused) == (AT_ONCE, [BUSY] * (100 - AT_ONCE))
    assert apart(Order(text=PAGE, sheet="", files={})) == b"%PDF"


def test_the_process_names_the_module_it_serves() -> None:
    order = json.dumps(asdict(Order(text="", sheet="", files={})))
    moved = pdf_process._CHILD.replace(pdf_process.__name__, "programs.actions.elsewhere")
    assert moved != pdf_process._CHILD
    gone = subprocess.run([sys.executable, "-c", moved], input=order.encode(), capture_output=True)
    assert b"ModuleNotFoundError" in gone.stderr
