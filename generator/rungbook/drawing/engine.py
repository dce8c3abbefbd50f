"""The one place where a Graphviz engine is called: dot text in, SVG text out, many at a time.

The engine in the `graphviz-pure` wheel draws the same picture on every platform and lies beside
the running Python. Another may be named: `dot` or `graphviz`, perhaps with a version. Paths and
other names are refused, because the name comes from the library's own settings and a library must
not be able to start just any program.
"""

from __future__ import annotations

import pathlib
import re
import sysconfig
from collections.abc import Sequence

from rungbook.model.text import GRAPHVIZ
from rungbook.reading.programs import ProgramFailed, find_program, output_of

DEFAULT_ENGINE = "graphviz-pure"
TIMEOUT_S = 60
_END = "</svg>"


class NoEngine(Exception):
    """No drawing is to be had; the message says why and what to do."""


def find_engine(name: str = DEFAULT_ENGINE) -> pathlib.Path:
    """The engine's program.

    Raises `NoEngine` where there is none.
    """
    if not re.fullmatch(GRAPHVIZ, name):
        raise NoEngine(
            f"diagrams: the engine {name!r} is not the name of a Graphviz command; "
            f"write {DEFAULT_ENGINE!r} or 'dot'"
        )
    found = find_program(name, [sysconfig.get_path("scripts")]) or find_program(name)
    if found is None:
        raise NoEngine(
            f"diagrams: the engine {name!r} is not installed; pip install {DEFAULT_ENGINE}, "
            "or name another Graphviz command in library.yml"
        )
    return found


def render(sources: Sequence[str], engine: str = DEFAULT_ENGINE) -> list[str]:
    """An `<svg>` for each dot source, by one engine process for all of them.

    Raises `NoEngine` where the engine is missing, fails, or loses a graph.
    """
    if not sources:
        return []
    program = find_engine(engine)
    try:
        with output_of(
            program, ["-Kdot", "-Tsvg"], given="\n".join(sources).encode(), seconds=TIMEOUT_S
        ) as answer:
            pieces = answer.read().decode("utf-8", "replace").split(_END)[:-1]
    except ProgramFailed as error:
        raise NoEngine(f"diagrams: the engine {engine!r} could not draw: {error}") from None
    drawn = [piece[piece.index("<svg") :] + _END for piece in pieces if "<svg" in piece]
    if len(drawn) != len(sources):
        raise NoEngine(
            f"diagrams: the engine {engine!r} drew {len(drawn)} of {len(sources)} graphs"
        )
    return drawn
