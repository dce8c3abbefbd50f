"""Where forces of least effort change their course as a load grows.

Over the size k of an added load the forces are continuous and made of straight pieces: on each,
the same bounds are active, and the forces are a constant and k times another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.reactions import Problem, answers, least_effort

Array = NDArray[np.float64]
ALIKE = 1e-8  # body weights: pieces that differ by less are one
NARROW = 1e-6  # of its place: a piece that is not worth finding


@dataclass(frozen=True)
class Piece:
    """Forces of one row from k = `low` to `high`: `force` (C, 3, 2), constant and per k."""

    row: int
    low: float
    high: float
    force: Array


@dataclass(frozen=True)
class _Gap:
    """What lies between two places whose pieces are known."""

    row: int
    low: float
    below: Array
    high: float
    above: Array


def pieces(
    problem: Problem, parts: Array, known: Array, price: Array, places: tuple[float, float, float]
) -> list[Piece]:
    """All pieces of every row whose added load is not nothing, in order.

    Args:
        parts: (N, W+E, 2) the load, constant and per k; known: (N, C, 3, 2) the piece at the
            middle one of places, which are the least k, the known and the greatest; price: there.
    """
    low, at, high = places
    rows = np.flatnonzero(parts[..., 1].any(axis=1))
    if not len(rows):
        return []
    bottom, top = (_at(problem, parts, price, rows, np.full(len(rows), k)) for k in (low, high))
    found: dict[int, list[tuple[float, Array]]] = {
        int(row): [(low, bottom[n]), (at, known[row]), (high, top[n])] for n, row in enumerate(rows)
    }
    gaps = [
        gap
        for row, (first, middle, last) in found.items()
        for gap in (_Gap(row, *first, *middle), _Gap(row, *middle, *last))
    ]
    ends: dict[int, list[tuple[float, Array, Array]]] = {row: [] for row in found}
    while gaps:
        open_gaps: list[tuple[_Gap, float]] = []
        for gap in gaps:
            place, closed = _meeting(gap)
            if closed:
                ends[gap.row].append((place, gap.below, gap.above))
            else:
                open_gaps.append((gap, place))
        rows = np.array([gap.row for gap, _ in open_gaps], dtype=np.intp)
        between = _at(problem, parts, price, rows, np.array([k for _, k in open_gaps]))
        gaps = [
            part
            for (gap, k), force in zip(open_gaps, between, strict=True)
            for part in (
                _Gap(gap.row, gap.low, gap.below, k, force),
                _Gap(gap.row, k, force, gap.high, gap.above),
            )
        ]
    return [piece for row in found for piece in _joined(row, ends[row], low, high)]


def _at(problem: Problem, parts: Array, price: Array, rows: NDArray[np.intp], k: Array) -> Array:
    """The pieces (rows, C, 3, 2) at given sizes of the added load."""
    if not len(rows):
        return np.zeros((0, problem.friction.shape[1], 3, 2))
    own = parts[rows]
    some = replace(problem.rows(rows), load=own[..., 0] + k[:, None] * own[..., 1])
    return answers(some, least_effort(some, price[rows]), own)


def _meeting(gap: _Gap) -> tuple[float, bool]:
    """Where two pieces meet, and whether that is all that lies between them."""
    apart = gap.above - gap.below
    at_ends = [np.abs(apart[..., 0] + k * apart[..., 1]).max() for k in (gap.low, gap.high)]
    if max(at_ends) < ALIKE:
        return gap.low, True
    middle = 0.5 * (gap.low + gap.high)
    if gap.high - gap.low < NARROW * gap.high:
        return middle, True
    slope = float(np.sum(apart[..., 1] ** 2))
    place = -float(np.sum(apart[..., 0] * apart[..., 1])) / slope if slope > 0 else middle
    if not gap.low < place < gap.high:
        return middle, False
    meet = np.abs(apart[..., 0] + place * apart[..., 1]).max() < ALIKE
    return place, bool(meet)


def _joined(
    row: int, ends: list[tuple[float, Array, Array]], low: float, high: float
) -> list[Piece]:
    """Pieces between the places where something changes; what goes on unchanged is one."""
    found: list[Piece] = []
    begin = low
    ends = sorted(ends, key=lambda end: end[0])
    current = ends[0][1]
    for place, _, above in ends:
        apart = above - current
        if max(np.abs(apart[..., 0] + k * apart[..., 1]).max() for k in (low, high)) < ALIKE:
            continue
        found.append(Piece(row, begin, place, current))
        begin, current = place, above
    return [*found, Piece(row, begin, high, current)]
