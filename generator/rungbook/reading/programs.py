"""Other programs: where they are found, and how they are started. Nothing else here starts any.

A library is often also the current folder, and holds what strangers sent: a program that lies in
it must never be taken for the one that was meant. So programs come from the absolute folders of
the PATH alone, the current one left out, and are started by their full path; on Windows, which
looks in the current folder first and hands batch files to a shell, only `.exe` counts.
"""

from __future__ import annotations

import os
import pathlib
import subprocess
import tempfile
import threading
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import IO

WINDOWS = os.name == "nt"
_WAIT_S = 5.0


class ProgramFailed(Exception):
    """A program could not be started, took too long, or failed; the message is its last line."""


def trusted_folders(path: str | None = None) -> list[str]:
    """The folders of the PATH in which programs are looked for: absolute, and not the current."""
    written = os.environ.get("PATH", os.defpath) if path is None else path
    try:
        here = os.path.realpath(os.getcwd())
    except OSError:  # the current folder is gone
        here = ""
    return [
        folder
        for folder in written.split(os.pathsep)
        if os.path.isabs(folder) and os.path.realpath(folder) != here
    ]


def find_program(
    name: str, folders: Sequence[str] | None = None, windows: bool = WINDOWS
) -> pathlib.Path | None:
    """The full path of a program, or None.

    `name` is a plain name, never a path; `folders` are those of the PATH unless given.
    """
    if name in ("", ".", "..") or any(mark in name for mark in '/\\:"'):
        return None
    if windows and not name.lower().endswith(".exe"):
        name = f"{name}.exe"
    for folder in trusted_folders() if folders is None else folders:
        path = os.path.join(folder, name)
        if os.path.isfile(path) and (windows or os.access(path, os.X_OK)):
            return pathlib.Path(path)
    return None


def environment(without: str = "", **added: str) -> dict[str, str]:
    """Our own environment for a program: without the variables whose names begin with `without`,
    and with a PATH of trusted folders only."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not (without and name.upper().startswith(without))
    }
    return {
        **kept,
        "PATH": os.pathsep.join(trusted_folders()),
        "NoDefaultCurrentDirectoryInExePath": "1",
        **added,
    }


@contextmanager
def output_of(
    program: pathlib.Path,
    arguments: Sequence[str],
    *,
    given: bytes = b"",
    seconds: float,
    folder: pathlib.Path | None = None,
    variables: Mapping[str, str] | None = None,
) -> Iterator[IO[bytes]]:
    """What a program writes, as a stream: it may be left before its end, which ends the program.

    `folder` is where it runs: beside itself unless another is given, never in the current folder.

    Raises:
        ProgramFailed: it cannot be started, runs for longer than `seconds`, or fails.
    """
    with tempfile.TemporaryFile() as asked, tempfile.TemporaryFile() as said:
        asked.write(given)
        asked.seek(0)
        try:
            process = subprocess.Popen(
                [str(program), *arguments], stdin=asked, stdout=subprocess.PIPE, stderr=said,
                cwd=folder or program.parent, env=dict(variables or environment()),
            )  # fmt: skip
        except OSError as error:
            raise ProgramFailed(error.strerror or str(error)) from None
        late = threading.Event()

        def stop() -> None:
            late.set()
            process.kill()

        clock = threading.Timer(seconds, stop)
        clock.start()
        assert process.stdout is not None
        try:
            yield process.stdout
            rest = process.stdout.read(1)
        finally:
            clock.cancel()
            process.stdout.close()
            try:
                process.wait(_WAIT_S)
            except subprocess.TimeoutExpired:
                process.kill()
                process.wait()
        if late.is_set():
            raise ProgramFailed(f"it took longer than {seconds:g} s")
        if process.returncode and not rest:
            raise ProgramFailed(_last_line(said) or f"it ended with status {process.returncode}")


def _last_line(said: IO[bytes]) -> str:
    said.seek(0)
    lines = said.read(100_000).decode("utf-8", "replace").strip().splitlines()
    return lines[-1] if lines else ""
