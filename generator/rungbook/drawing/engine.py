"""The one place where a Graphviz engine is called: dot text in, SVG text out, many at a time.

The engine in the `graphviz-pure` wheel draws the same picture on every platform and lies beside
the running Python. Another may be named: a command on the PATH that calls itself `dot` or
`graphviz`. Paths and other names are refused, because the name comes from the library's own
settings and a library must not be able to start just any program.
"""

from __future__ import annotations

import pathlib
import re
import shutil
import subprocess
import sysconfig
from collections.abc import Sequence

DEFAULT_ENGINE = "graphviz-pure"
TIMEOUT_S = 300
_NAME = re.compile(r"[A-Za-z0-9._+-]*(dot|graphviz)[A-Za-z0-9._+-]*", re.IGNORECASE)
_END = "</svg>"


class NoEngine(Exception):
    """No drawing is to be had; the message says why and what to do."""


def find_engine(name: str = DEFAULT_ENGINE) -> pathlib.Path:
    """The engine's program.

    Raises `NoEngine` where there is none.
    """
    if not _NAME.fullmatch(name):
        raise NoEngine(
            f"diagrams: the engine {name!r} is not the name of a Graphviz command; "
            f"write {DEFAULT_ENGINE!r} or 'dot'"
        )
    beside = shutil.which(name, path=sysconfig.get_path("scripts"))
    found = beside or shutil.which(name)
    if found is None:
        raise NoEngine(
            f"diagrams: the engine {name!r} is not installed; pip install {DEFAULT_ENGINE}, "
            "or name another Graphviz command in library.yml"
        )
    return pathlib.Path(found)


def render(sources: Sequence[str], engine: str = DEFAULT_ENGINE) -> list[str]:
    """An `<svg>` for each dot source, by one engine process for all of them.

    Raises `NoEngine` where the engine is missing, fails, or loses a graph.
    """
    if not sources:
        return []
    command = [str(find_engine(engine)), "-Kdot", "-Tsvg"]
    try:
        done = subprocess.run(
            command, input="\n".join(sources).encode(), capture_output=True, timeout=TIMEOUT_S,
            check=False,
        )  # fmt: skip
    except (OSError, subprocess.TimeoutExpired) as error:
        raise NoEngine(f"diagrams: the engine {engine!r} could not run: {error}") from error
    pieces = done.stdout.decode("utf-8", "replace").split(_END)[:-1]
    drawn = [piece[piece.index("<svg") :] + _END for piece in pieces if "<svg" in piece]
    if done.returncode != 0 or len(drawn) != len(sources):
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        raise NoEngine(
            f"diagrams: the engine {engine!r} drew {len(drawn)} of {len(sources)} graphs"
            + (f" and said: {said[0][:200]}" if said else "")
        )
    return drawn
