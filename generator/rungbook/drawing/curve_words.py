"""Words on a curve: none on another."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.words import width_px
from rungbook.load.result import PHASES

Array = NDArray[np.float64]

LINE_PX = 17.0
WAYS = {"up": "lifting", "down": "lowering"}


@dataclass(frozen=True)
class Word:
    """Words about the middle `x` on the base line `y`, pixels; `half` of their width."""

    words: str
    x: float
    y: float
    half: float

    def meets(self, other: Word) -> bool:
        """Whether the two lie on each other."""
        beside = abs(self.x - other.x) > self.half + other.half + 3
        return not beside and abs(self.y - other.y) < LINE_PX


def way_words(
    ways: Mapping[str, Array], xs: Array, bottom: float, y: Callable[[Array], Array],
    others: Sequence[Word], say: svg.Say,
) -> list[str]:  # fmt: skip
    """Words beside the two lines where they lie furthest apart, clear of the others."""
    if len(ways) < 2:
        return []
    lines = {way: y(ways[way]) for way in WAYS}
    up, down = (
        [
            (worth - 500.0 * sum(one.meets(other) for other in others), one)
            for worth, one in _tries(lines[way], lines[other_way], say(WAYS[way]), xs, bottom)
        ]
        for way, other_way in (("up", "down"), ("down", "up"))
    )
    _, first, second = max(
        (
            (one[0] + two[0] - 500.0 * one[1].meets(two[1]) - 0.2 * abs(one[1].x - two[1].x), n, m)
            for n, one in enumerate(up)
            for m, two in enumerate(down)
        ),
    )
    return [
        svg.text(one.x, one.y, one.words, f"curve-way curve-way-{way}", "middle")
        for way, one in (("up", up[first][1]), ("down", down[second][1]))
    ]


def _tries(
    line: Array, other: Array, words: str, xs: Array, bottom: float
) -> Iterator[tuple[float, Word]]:
    """Places beside a line, and what each is worth: best on the side away from the other line."""
    half = width_px(words, 12.5) / 2
    for at in range(1, PHASES - 1):
        x = min(max(float(xs[at]), float(xs[0]) + half + 3), float(xs[-1]) - half)
        away = float(other[at] - line[at])
        for off, side in ((-8.0, 1), (16.0, -1)):
            yield side * away, Word(words, x, min(float(line[at]) + off, bottom - 3), half)
