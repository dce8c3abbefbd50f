"""Where forces of least effort change their course as a load grows.

Over the size k of an added load the forces are continuous and made of straight pieces: on each,
the same bounds are active, and the forces are a constant and k times another.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.reactions import UNBALANCED_COSTS, Problem, answers, least_effort

Array = NDArray[np.float64]
ALIKE = 1e-8  # body weights: pieces that differ by less are one
NARROW = 1e-6  # of its place: a piece that is not worth finding
# The same where the body balances at one end, or at none: nobody asks for what follows from there.
AT_THE_LIMIT, ANYTHING = 1e-3, np.inf


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
    below: _Known
    high: float
    above: _Known


@dataclass(frozen=True)
class _Known:
    """The piece (C, 3, 2) at one place, prices (W+E,), and whether it balances the body there."""

    force: Array
    price: Array
    balances: bool


def pieces(
    problem: Problem, parts: Array, known: Array, price: Array, places: tuple[float, float, float]
) -> list[Piece]:
    """All pieces of every row whose added load is not nothing, in order.

    Where no force balances the body, from one place to another, pieces are not told apart.

    Args:
        problem: of P bodies; parts: (N, W+E, 2) the load, constant and per k, of body n % P in
            row n; known: (N, C, 3, 2) the piece at the middle one of places, which are the least
            k, the known and the greatest; price: there.
    """
    low, at, high = places
    rows = np.flatnonzero(parts[..., 1].any(axis=1))
    if not len(rows):
        return []
    bottom, top = (
        _at(problem, parts, price[rows], rows, np.full(len(rows), k)) for k in (low, high)
    )
    at_known = _known(known[rows], price[rows], problem.wrenches)
    gaps = [
        gap
        for n, row in enumerate(rows.tolist())
        for gap in (
            _Gap(row, low, bottom[n], at, at_known[n]), _Gap(row, at, at_known[n], high, top[n])
        )
    ]  # fmt: skip
    ends: dict[int, list[tuple[float, Array, Array]]] = {row: [] for row in rows.tolist()}
    while gaps:
        open_gaps: list[tuple[_Gap, float]] = []
        for gap in gaps:
            place, closed = _meeting(gap)
            if closed:
                ends[gap.row].append((place, gap.below.force, gap.above.force))
            else:
                open_gaps.append((gap, place))
        where = np.array([gap.row for gap, _ in open_gaps], dtype=np.intp)
        starts = np.array([_nearer(gap, k).price for gap, k in open_gaps])
        between = _at(problem, parts, starts, where, np.array([k for _, k in open_gaps]))
        gaps = [
            part
            for (gap, k), one in zip(open_gaps, between, strict=True)
            for part in (
                _Gap(gap.row, gap.low, gap.below, k, one),
                _Gap(gap.row, k, one, gap.high, gap.above),
            )
        ]
    return [piece for row in ends for piece in _joined(row, ends[row], low, high)]


def _at(
    problem: Problem, parts: Array, start: Array, rows: NDArray[np.intp], k: Array
) -> list[_Known]:
    """The pieces of some rows at given sizes of the added load, from prices much like theirs."""
    if not len(rows):
        return []
    own = parts[rows]
    some = replace(
        problem.rows(rows % len(problem.load)), load=own[..., 0] + k[:, None] * own[..., 1]
    )
    solved = least_effort(some, start)
    return _known(answers(some, solved, own), solved.price, problem.wrenches)


def _known(force: Array, price: Array, wrenches: int) -> list[_Known]:
    balances = np.abs(price[:, :wrenches]).max(axis=1, initial=0.0) <= UNBALANCED_COSTS
    return [_Known(f, p, bool(b)) for f, p, b in zip(force, price, balances, strict=True)]


def _nearer(gap: _Gap, k: float) -> _Known:
    """The end of a gap that is like what lies at k: one that balances, else the nearer one."""
    if gap.below.balances != gap.above.balances:
        return gap.below if gap.below.balances else gap.above
    return gap.below if k - gap.low < gap.high - k else gap.above


def _meeting(gap: _Gap) -> tuple[float, bool]:
    """Where two pieces meet, and whether that is all that lies between them."""
    apart = gap.above.force - gap.below.force
    at_ends = [np.abs(apart[..., 0] + k * apart[..., 1]).max() for k in (gap.low, gap.high)]
    if max(at_ends) < ALIKE:
        return gap.low, True
    middle = 0.5 * (gap.low + gap.high)
    ends_balanced = gap.below.balances + gap.above.balances
    if gap.high - gap.low < (ANYTHING, AT_THE_LIMIT, NARROW)[ends_balanced] * gap.high:
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
