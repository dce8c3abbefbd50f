"""What a long run says of itself, seen from a terminal."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

pytestmark = pytest.mark.skipif(
    not hasattr(os, "openpty"), reason="a terminal is made with openpty"
)
CODE = """
import sys, time
from rungbook.cli import progress
progress.PATIENCE_S = {patience}
with progress.progress() as say:
    say("reading")
    time.sleep({reading})
    say("computing loads")
    time.sleep(0.05)
"""


def seen_on_a_terminal(patience: float, reading: float) -> str:
    ours, theirs = os.openpty()
    code = CODE.format(patience=patience, reading=reading)
    with subprocess.Popen([sys.executable, "-c", code], stderr=theirs):
        os.close(theirs)
        seen = b""
        while True:
            try:
                part = os.read(ours, 65536)
            except OSError:
                break
            if not part:
                break
            seen += part
    os.close(ours)
    return seen.decode()


def test_a_quick_run_says_nothing() -> None:
    assert seen_on_a_terminal(patience=60, reading=0.01) == ""


def test_a_long_phase_is_named_while_it_lasts_and_wiped_at_the_end() -> None:
    assert seen_on_a_terminal(patience=0.05, reading=0.5) == (
        "\r\x1b[Kreading …\r\x1b[Kcomputing loads …\r\x1b[K"
    )


def test_nothing_reaches_a_log() -> None:
    code = CODE.format(patience=0.01, reading=0.1)
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert (run.stdout, run.stderr) == (b"", b"")
