"""The formats a library can be exported in, found by listing this folder."""

from __future__ import annotations

import importlib.resources
import pkgutil
from collections.abc import Mapping
from importlib import import_module

from rungbook import exporting
from rungbook.exporting.format import Format
from rungbook.exporting.json_text import Line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise

FOLDER = "data"  # of the site


def _found() -> tuple[Format, ...]:
    names = [
        f"{exporting.__name__}.{info.name}" for info in pkgutil.iter_modules(exporting.__path__)
    ]
    modules = [import_module(name) for name in names if name != __name__]
    formats = [module.FORMAT for module in modules if hasattr(module, "FORMAT")]
    return tuple(sorted(formats, key=lambda one: (one.rank, one.name)))


FORMATS = _found()
BY_NAME = {one.name: one for one in FORMATS}


def path_of(one: Format) -> str:
    """Where a format's file lies in the site."""
    return f"{FOLDER}/{one.file}"


def shape_of(one: Format) -> str:
    """What the file holds, key by key, in Markdown."""
    shapes = importlib.resources.files("rungbook.exporting") / "shapes"
    return (shapes / f"{one.name}.md").read_text("utf-8")


def lines_of(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Line]:
    """An exercise's part of each format that has one, by the format's name."""
    return {one.name: one.line(measured, exercise) for one in FORMATS if one.line}


def rendered(
    one: Format, measured: MeasuredLibrary, known: Mapping[str, Mapping[str, Line]] | None = None
) -> bytes:
    """A format's file; `known` are lines by exercise, as `lines_of` made them."""
    if one.line is None or known is None:
        return one.render(measured).encode()
    return one.render(measured, {key: lines[one.name] for key, lines in known.items()}).encode()
