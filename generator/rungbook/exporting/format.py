"""What a format of exchange is; each module of this folder that has a `FORMAT` is one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from rungbook.exporting.json_text import Line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise


@dataclass(frozen=True, slots=True)
class Format:
    """One format: `render` gives the whole file's text, `file` is its usual name.

    `rank` is its place among the others. Where `line` makes an exercise's part of the text,
    `render` takes the parts that are known, by exercise.
    """

    rank: int
    name: str
    title: str
    file: str
    about: str
    render: Callable[..., str]
    line: Callable[[MeasuredLibrary, Exercise], Line] | None = None
