"""Forces of the surfaces on the body: those of a body that spares its muscles without bracing.

Corners of contacts give forces p, each in its cone (`cones`). Among all that balance the body,
A p = -b, those are taken that minimise Σ w(v)·v² + ε Σ p² over efforts v = V p + v₀: moments of
joint axes over what their muscles can do, whose weight depends on their direction, and shear.
The problem is strictly convex: one answer, which changes without jumps with what it is made of.

It is solved by Newton's method on its dual, all rows of a batch at once. With u the price of
wrench and effort, p is the nearest force to -Gᵀu/ε in the cones, G = [A; V]; where no bound is
active the first step is the closed form, and with the right faces of the cones the last step is
exact. Once faces and directions are known, forces are linear in the load.

What no force in the cones can balance is left over, at a price that nothing else comes near.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.cones import Nearest, nearest

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
STOP = 1e-10  # in body weights and strengths, over the greatest price: what rounding leaves
MOST_STEPS = 80
NEARLY, MOST_STALE = 1e-7, 3
HALVINGS = (np.arange(1.0, 5.0), np.arange(5.0, 17.0), np.arange(17.0, 41.0))  # of a step, at most
UNBALANCED_COSTS = 1e3  # a body weight that nothing carries; prices of balance stay below 1e2
# Of the largest answer: what keeps a wrench that nothing can give from dividing by nothing. It is
# taken back by refining.
_LEAST, REFINED = 1e-13, 3


@dataclass(frozen=True)
class Problem:
    """N bodies on C corners, with W components of wrench and E efforts.

    `gives` (N, W+E, C·3): wrench and efforts of a unit of each corner's normal and tangents;
    `load` (N, W+E): of all other forces. `milder` (N, E): what an effort in the negative
    direction costs over one in the positive. `friction` and `free` (N, C); `spread` is ε.
    """

    gives: Array
    load: Array
    milder: Array
    friction: Array
    free: Bools
    wrenches: int
    spread: float

    def rows(self, index: NDArray[np.intp]) -> Problem:
        """Some of the bodies."""
        return replace(
            self, gives=self.gives[index], load=self.load[index], milder=self.milder[index],
            friction=self.friction[index], free=self.free[index],
        )  # fmt: skip


@dataclass(frozen=True)
class Reactions:
    """`force` (N, C, 3) in the corners' directions, `effort` (N, E), `rest` (N, W) unbalanced.

    `price` (N, W+E); `faces` tells which bound is active at each corner.
    """

    force: Array
    effort: Array
    rest: Array
    price: Array
    faces: Nearest


def least_effort(problem: Problem, start: Array | None = None) -> Reactions:
    """The forces of least effort, each row for itself.

    Args:
        start: prices (N, W+E) of a problem much like this one.
    """
    count, size = problem.load.shape
    price = np.zeros((count, size)) if start is None else start.copy()
    state = _State.of(problem, price)
    going = np.arange(count)
    least = np.full(count, np.inf)  # each row's smallest miss so far, over its price
    stale = np.zeros(count, dtype=np.intp)  # steps since it last became half of what it was
    for _ in range(MOST_STEPS):
        missing = np.abs(state.miss[going]).max(axis=1, initial=0.0)
        missing /= 1.0 + np.abs(state.price[going]).max(axis=1, initial=0.0)
        nearer = missing < 0.5 * least[going]
        stale[going] = np.where(nearer, 0, stale[going] + 1)
        least[going] = np.where(nearer, missing, least[going])
        # Where bounds meet, prices of what nothing balances may step to and fro for ever.
        turning = (missing < NEARLY) & (stale[going] >= MOST_STALE)
        going = going[(missing > STOP) & ~turning]
        if not len(going):
            break
        part, here = problem.rows(going), state.rows(going)
        step = np.asarray(np.linalg.solve(_system(part, here), here.miss[..., None])[..., 0], float)
        better = _search(part, here, step)
        # A step that gains nothing is as far as rounding lets anybody go.
        moved = np.any(better.price != here.price, axis=1)
        state.put(going, better)
        going = going[moved]
    return Reactions(state.faces.force, state.effort, state.rest, state.price, state.faces)


@dataclass
class _State:
    """Where the search stands: prices, and the forces, efforts and misses they imply."""

    price: Array
    faces: Nearest
    effort: Array
    rest: Array
    miss: Array
    value: Array
    cheap: Array  # (N, W+E): what a unit of price is worth beside the corners' forces

    @staticmethod
    def of(problem: Problem, price: Array) -> _State:
        count, corners = problem.friction.shape
        wrenches = problem.wrenches
        wanted = np.matmul(price[:, None], problem.gives)[:, 0] / -problem.spread
        faces = nearest(wanted.reshape(count, corners, 3), problem.friction, problem.free)
        force = faces.force.reshape(count, -1)
        given = np.matmul(problem.gives, force[..., None])[..., 0] + problem.load
        balance, bought = price[:, :wrenches], price[:, wrenches:]
        over = np.abs(balance) - UNBALANCED_COSTS
        rest = np.copysign(np.maximum(over, 0.0), balance)
        worth = np.where(bought < 0, problem.milder, 1.0)
        effort = bought * worth
        implied = np.concatenate([rest, effort], axis=1)
        value = (
            np.einsum("nr,nr->n", price, problem.load)
            - 0.5 * problem.spread * np.einsum("nf,nf->n", force, force)
            - 0.5 * np.einsum("nr,nr->n", price[:, wrenches:], effort)
            - 0.5 * np.einsum("nr,nr->n", rest, rest)
        )
        cheap = np.concatenate([np.where(over > 0, 1.0, 0.0), worth], axis=1)
        return _State(price, faces, effort, rest, given - implied, value, cheap)

    def rows(self, index: NDArray[np.intp]) -> _State:
        f = self.faces
        faces = Nearest(f.force[index], f.keeps[index], f.turns[index], f.along[index])
        return _State(
            self.price[index], faces, self.effort[index], self.rest[index], self.miss[index],
            self.value[index], self.cheap[index],
        )  # fmt: skip

    def put(self, index: NDArray[np.intp], other: _State) -> None:
        for name in ("force", "keeps", "turns", "along"):
            getattr(self.faces, name)[index] = getattr(other.faces, name)
        for name in ("price", "effort", "rest", "miss", "value", "cheap"):
            getattr(self, name)[index] = getattr(other, name)


def _system(problem: Problem, state: _State) -> Array:
    """How wrench and effort answer to their prices, (N, W+E, W+E)."""
    count, rows, _ = problem.gives.shape
    by_corner = problem.gives.reshape(count, rows, -1, 3)
    along = np.einsum("nrci,nci->nrc", by_corner, state.faces.along)
    kept = problem.gives * np.repeat(state.faces.keeps, 3, axis=1)[:, None]
    system: Array = np.matmul(kept, problem.gives.swapaxes(1, 2))
    system += np.matmul(along * state.faces.turns[:, None], along.swapaxes(1, 2))
    system /= problem.spread
    own = np.arange(rows)
    most = np.maximum(system[:, own, own].max(axis=1), 1.0)
    system[:, own, own] += state.cheap + _LEAST * most[:, None]
    return system


def _search(problem: Problem, state: _State, step: Array) -> _State:
    """Halves each row's step until the dual rises enough; a row that cannot stays where it is."""
    slope = np.einsum("nr,nr->n", state.miss, step)
    found = _State.of(problem, state.price + step)
    short = np.flatnonzero(_too_long(state, found, slope, np.ones(len(slope))))
    for halvings in HALVINGS:  # several lengths at once: a call costs more than its rows
        if not len(short):
            return found
        lengths = np.tile(0.5**halvings, len(short))
        rows = np.repeat(short, len(halvings))
        before, trial_price = state.rows(rows), state.price[rows] + lengths[:, None] * step[rows]
        trial = _State.of(problem.rows(rows), trial_price)
        fits = ~_too_long(before, trial, slope[rows], lengths).reshape(len(short), -1)
        longest, good = fits.argmax(axis=1), fits.any(axis=1)
        chosen = np.arange(len(short)) * len(halvings) + longest
        found.put(short[good], trial.rows(chosen[good]))
        short = short[~good]
    found.put(short, state.rows(short))
    return found


def _too_long(state: _State, trial: _State, slope: Array, length: Array) -> Bools:
    """Whether a step does not raise the dual enough, nor ends it."""
    risen: Bools = trial.value >= state.value + 1e-4 * length * slope
    before = np.abs(state.miss).max(axis=1, initial=0.0)
    ends: Bools = np.abs(trial.miss).max(axis=1, initial=0.0) < 0.1 * np.minimum(before, 1e-6)
    return ~(risen | ends)


def answers(problem: Problem, reactions: Reactions, loads: Array) -> Array:
    """How the forces answer to loads as long as no bound changes, (N, C, 3, loads).

    Args:
        loads: (N, W+E, loads); with the first goes what the prices of imbalance add.
    """
    wanted = loads.copy()
    balance = reactions.price[:, : problem.wrenches]
    beyond = np.abs(balance) > UNBALANCED_COSTS
    wanted[:, : problem.wrenches, 0] += np.copysign(UNBALANCED_COSTS, balance) * beyond
    return responses(problem, reactions, wanted)


def responses(problem: Problem, reactions: Reactions, misses: Array) -> Array:
    """How the forces answer to small changes of wrench and effort, (N, C, 3, changes).

    Args:
        misses: (N, W+E, changes), by how much wrench and effort then miss their prices.
    """
    state = _State.of(problem, reactions.price)
    inverse = np.linalg.inv(_system(problem, state))
    price = np.matmul(inverse, misses)
    for _ in range(REFINED):
        price += np.matmul(inverse, misses - _answered(problem, state, price))
    return _forces(problem, state, price)


def _forces(problem: Problem, state: _State, price: Array) -> Array:
    count, corners = problem.friction.shape
    pushed = np.matmul(problem.gives.swapaxes(1, 2), price) / -problem.spread
    pushed = pushed.reshape(count, corners, 3, -1)
    faces = state.faces
    part = np.einsum("nci,ncil->ncl", faces.along, pushed) * faces.turns[..., None]
    result: Array = (
        faces.keeps[..., None, None] * pushed + part[:, :, None] * faces.along[..., None]
    )
    return result


def _answered(problem: Problem, state: _State, price: Array) -> Array:
    """The load that a price pays for: without what only keeps the system solvable."""
    force = _forces(problem, state, price)
    count = len(force)
    given = np.matmul(problem.gives, force.reshape(count, -1, force.shape[-1]))
    result: Array = state.cheap[..., None] * price - given
    return result
