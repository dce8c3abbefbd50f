"""The best way through allowed steps: layers of exercises, and what is kept of them.

A path is judged in this order: fewest rungs, fewest drafts, smallest largest step, the order of
levers, then the order of the rows. Each rule keeps only the steps that lie on a best way by it, and
the next rule chooses among those.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.filling.joins import Judge, Nodes, sizes

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]
Indices = NDArray[np.int64]
BLOCK = 2_000_000  # pairs compared at once
ROUNDING = 1e-9
SETTLING = 0.01  # the share by which a demand may fall: two postures never settle quite alike


@dataclass(frozen=True)
class Field:
    """The exercises to find a way through, by row.

    `demand` must not fall on the way, nor below the goal's where it starts above it; only
    `written` pairs, progressions that the library has, are taken as it has them. `forbidden` are
    pairs of rows that would close a circle or failed a closer look. `drafts` and `ranks` are what
    a row costs.
    """

    columns: Nodes
    judges: tuple[Judge, ...]
    demand: Floats
    drafts: Floats
    ranks: Floats
    forbidden: frozenset[tuple[int, int]] = frozenset()
    written: frozenset[tuple[int, int]] = frozenset()

    def steps(self, easier: Indices, harder: Indices) -> tuple[Floats, Bools]:
        """Sizes and allowedness of all pairs, shape (easier, harder)."""
        size = np.empty((len(easier), len(harder)))
        allowed = np.empty((len(easier), len(harder)), dtype=bool)
        rows = max(1, BLOCK // max(1, len(harder)))
        for start in range(0, len(easier), rows):
            part = slice(start, start + rows)
            size[part], allowed[part] = self._steps(easier[part], harder)
        return size, allowed

    def _steps(self, easier: Indices, harder: Indices) -> tuple[Floats, Bools]:
        size, allowed = sizes(self.columns, easier[:, None], harder[None, :], self.judges)
        least = np.minimum(self.demand[easier], self.demand[1])[:, None]
        with np.errstate(invalid="ignore"):
            falling = self.demand[harder][None, :] < least * (1 - SETTLING) - 1e-6
        falling = np.broadcast_to(falling, allowed.shape).copy()
        self._mark(falling, easier, harder, self.written, False)
        allowed = allowed & ~falling & (easier[:, None] != harder[None, :])
        self._mark(allowed, easier, harder, self.forbidden, False)
        return size, np.asarray(allowed, dtype=bool)

    @staticmethod
    def _mark(
        matrix: Bools,
        easier: Indices,
        harder: Indices,
        pairs: frozenset[tuple[int, int]],
        value: bool,
    ) -> None:
        """Sets some pairs of rows in a matrix of (easier, harder)."""
        if not pairs:
            return
        places = {int(row): number for number, row in enumerate(easier)}
        columns = {int(row): number for number, row in enumerate(harder)}
        for a, b in pairs:
            if a in places and b in columns:
                matrix[places[a], columns[b]] = value


@dataclass(frozen=True)
class Layers:
    """Rows by their distance from the start, and the allowed steps between layers."""

    rows: tuple[Indices, ...]
    size: tuple[Floats, ...]
    open: tuple[Bools, ...]


def best_path(field: Field) -> tuple[int, ...] | None:
    """Row numbers from row 0, the easier exercise, to row 1, the harder; None without a way."""
    layers = layered(field)
    if layers is None:
        return None
    layers = _least_sum(layers, field.drafts)
    layers = _least_largest(layers)
    layers = _least_sum(layers, field.ranks)
    path, here = [int(layers.rows[0][0])], 0
    for rows, opened in zip(layers.rows[1:], layers.open, strict=True):
        here = int(np.flatnonzero(opened[here])[0])
        path.append(int(rows[here]))
    return tuple(path)


def layered(field: Field) -> Layers | None:
    """All shortest ways from row 0 to row 1."""
    reached = reached_layers(field)
    if reached is None:
        return None
    # Backward: only what leads on stays in a layer.
    kept = [np.array([1], dtype=np.int64)]
    size: list[Floats] = []
    opened: list[Bools] = []
    for layer in reversed(reached[:-1]):
        layer_size, layer_open = field.steps(layer, kept[0])
        leading = layer_open.any(axis=1)
        kept.insert(0, layer[leading])
        size.insert(0, layer_size[leading])
        opened.insert(0, layer_open[leading])
    return Layers(tuple(kept), tuple(size), tuple(opened))


def reached_layers(field: Field) -> list[Indices] | None:
    """Rows by their distance from row 0, up to the layer that holds row 1."""
    layers = [np.array([0], dtype=np.int64)]
    rest = np.arange(1, len(field.demand), dtype=np.int64)
    while len(layers[-1]):
        _, allowed = field.steps(layers[-1], rest)
        found = np.asarray(allowed.any(axis=0))
        if found[0] and rest[0] == 1:
            return [*layers, np.array([1], dtype=np.int64)]
        layers.append(rest[found])
        rest = rest[~found]
    return None


def reachable(field: Field, forward: bool) -> Indices:
    """Every row that can be reached from row 0, or from which row 1 can be reached."""
    start = 0 if forward else 1
    layer = np.array([start], dtype=np.int64)
    all_rows = np.arange(len(field.demand), dtype=np.int64)
    rest, found = all_rows[all_rows != start], [layer]
    while len(layer) and len(rest):
        _, allowed = field.steps(layer, rest) if forward else field.steps(rest, layer)
        next_to = allowed.any(axis=0 if forward else 1)
        layer, rest = rest[next_to], rest[~next_to]
        found.append(layer)
    return np.concatenate(found)


def _ahead(layers: Layers, cost: Sequence[Floats]) -> list[Floats]:
    """The least cost from each row of each layer to the end; `cost` is that of the steps."""
    ahead = [np.zeros(1)]
    for step_cost, opened in zip(reversed(cost), reversed(layers.open), strict=True):
        through = np.where(opened, step_cost + ahead[0][None, :], np.inf)
        ahead.insert(0, through.min(axis=1, initial=np.inf))
    return ahead


def _least_sum(layers: Layers, cost_of_row: Floats) -> Layers:
    """Keeps the steps on ways whose rows cost least together."""
    cost = [np.broadcast_to(cost_of_row[rows][None, :], opened.shape)
            for rows, opened in zip(layers.rows[1:], layers.open, strict=True)]  # fmt: skip
    ahead = _ahead(layers, cost)
    best = [
        opened & (step_cost + after[None, :] <= before[:, None] + ROUNDING)
        for step_cost, opened, before, after in zip(
            cost, layers.open, ahead[:-1], ahead[1:], strict=True
        )
    ]
    return Layers(layers.rows, layers.size, tuple(best))


def _least_largest(layers: Layers) -> Layers:
    """Keeps the steps no larger than the largest of the best way."""
    worst = np.zeros(1)
    for size, opened in zip(reversed(layers.size), reversed(layers.open), strict=True):
        through = np.where(opened, np.maximum(size, worst[None, :]), np.inf)
        worst = through.min(axis=1, initial=np.inf)
    most = float(worst[0]) + ROUNDING
    kept = tuple(
        matrix & (size <= most) for size, matrix in zip(layers.size, layers.open, strict=True)
    )
    return _leading_on(Layers(layers.rows, layers.size, kept))


def _leading_on(layers: Layers) -> Layers:
    """Without the steps that lead nowhere any more."""
    opened: list[Bools] = []
    leads: Bools = np.ones(1, dtype=bool)
    for matrix in reversed(layers.open):
        opened.insert(0, matrix & leads[None, :])
        leads = np.asarray(opened[0].any(axis=1), dtype=bool)
    return Layers(layers.rows, layers.size, tuple(opened))
