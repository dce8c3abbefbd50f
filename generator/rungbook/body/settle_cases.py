"""Postures of a stack for certain persons: what is settled in which order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base, bases_of
from rungbook.body.contacts import AT_PHASE, PHASES
from rungbook.body.joints import DOF, MIRROR, MIRROR_SIGN
from rungbook.body.kinematics import Pose, forward
from rungbook.body.posture import Fit, Settled
from rungbook.body.segments import segment_table
from rungbook.body.settle_anchors import Anchors, anchored, distances
from rungbook.body.settle_columns import LEFT, RIGHT, before, moved_by
from rungbook.body.settle_edges import edges_of
from rungbook.body.settle_rows import Rows
from rungbook.body.settle_stack import Stack
from rungbook.body.settle_steps import MAX_ITERATIONS, settle_rows

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]
MIDDLE, END = PHASES // 2, PHASES - 1
LEAVING, REACHING = PHASES, PHASES + 1  # times in which something is left, or reached
AT_ONCE = 512  # rows: more of them bring nothing but memory
ROTATIONS_FROM = 3  # the first angles are the place of the pelvis
MOST_FROM_NEAR = 40  # steps from another person's posture: one that needs more does not fit
OVER_THE_MIDDLE = np.array([1.0, -1.0, 1.0])
HEIGHT, PITCH = DOF["mid", "root", "z"], DOF["mid", "root", "pitch"]


@dataclass
class Cases:
    """N postures of a stack, each for one person.

    `who` (N,): which posture; `scale` (N,): what multiplies its written lengths; `asked`
    (N, dofs, T) the angles asked for, and `settled` (N, dofs, T) what they settled to.
    """

    stack: Stack
    who: Numbers
    mass: Array
    centre: Array
    scale: Array
    asked: Array
    settled: Array
    anchors: Anchors | None = None
    bases: list[tuple[Base | None, ...]] = field(default_factory=list)
    most: int = MAX_ITERATIONS

    @staticmethod
    def of(stack: Stack, wanted: Sequence[tuple[int, Fit]]) -> Cases:
        who = np.array([n for n, _ in wanted], dtype=np.intp)
        tables = [segment_table(fit.table) for _, fit in wanted]
        scale = np.array([fit.scale for _, fit in wanted])
        asked = stack.asked[who]
        for n, one in enumerate(who.tolist()):
            depth = stack.postures[one].seat_depth
            if depth is not None and scale[n] != 1:
                asked[n, HEIGHT] = (asked[n, HEIGHT] - depth) * scale[n] + depth
        return Cases(
            stack, who, np.stack([table.mass for table in tables]),
            np.stack([table.centre for table in tables]), scale, asked, asked.copy(),
        )  # fmt: skip

    def settle(self, near: Array | None = None) -> None:
        """Settles all times; from `near` (N, dofs, T), the same postures of another person."""
        self.most = MAX_ITERATIONS if near is None else MOST_FROM_NEAR
        self._place((self.asked if near is None else near)[:, :, 0])
        self._shift(0)
        self._go_on(near)
        later = np.flatnonzero([not self.stack.postures[u].still for u in self.who.tolist()])
        still = np.setdiff1d(np.arange(len(self.who)), later)
        self.settled[still] = self.settled[still][:, :, :1]
        if near is None:
            self._follow(later, (MIDDLE,), self._moved(later, LEAVING, MIDDLE))
            self._follow(later, (END,), self._moved(later, MIDDLE, END))
        else:
            self._follow(later, (END,), self._beside(later, near, (END,)))
        bent = later[self._shift(END)[later]]
        rest = [phase for phase in range(1, END) if near is not None or phase != MIDDLE]
        guess = self._between(later, rest) if near is None else self._beside(later, near, rest)
        self._follow(later, rest, guess)
        if near is None and len(bent):
            self._follow(bent, (MIDDLE,), self.settled[bent][:, :, [MIDDLE]])
        some = self._which(REACHING)
        self._follow(some, (REACHING,), self.settled[some][:, :, [END]])

    def _which(self, time: int) -> Numbers:
        """Those that leave something right after the start, or reach it at the end only."""
        leaves = [self.stack.postures[u].leaves[time - PHASES] for u in self.who.tolist()]
        return np.flatnonzero(leaves)

    def _go_on(self, near: Array | None) -> None:
        """Settles the moment in which something is left: the movement goes on from there."""
        self.settled[:, :, LEAVING] = self.settled[:, :, 0]
        some = self._which(LEAVING)
        guess = (self.settled if near is None else near)[some][:, :, [LEAVING]]
        self._follow(some, (LEAVING,), guess)
        bent = self.settled[some, :, LEAVING] - self.asked[some, :, LEAVING]
        bent[:, :ROTATIONS_FROM] = 0.0
        self.asked[some, :, 1:PHASES] += bent[..., None] * (1 - np.arange(1, PHASES) / END)

    def _place(self, start: Array) -> None:
        """Settles the start, (N, dofs): first to find where contacts lie, then to stay there."""
        everyone, first = np.arange(len(self.who)), np.zeros(len(self.who), dtype=np.intp)
        free = self._solve(everyone, first, self._held(everyone, first, start))
        self.anchors = anchored(self.stack, self.who, self.scale, self._pose(everyone, free))
        normal, depth = self.stack.normal[self.who], self.stack.depth[self.who]
        on = self.anchors.place - depth[..., None] * normal
        for n, one in enumerate(self.who.tolist()):
            corners = {p: on[n, c] for p, c in self.stack.owner[one]}
            posture = self.stack.postures[one]
            everywhere = [
                corners[p] if p in corners else corners[q] * OVER_THE_MIDDLE
                for p, q in enumerate(posture.mates)
            ]
            self.bases.append(bases_of(posture, everywhere))
        self.settled[:, :, 0] = self._solve(everyone, first, free)

    def _shift(self, phase: int) -> NDArray[np.bool_]:
        """Moves the way of written angles to where one of its ends settled; who had to, (N,)."""
        paths = np.stack([posture.path for posture in self.stack.postures])[self.who]
        moved = np.where(paths, self.settled[:, :, phase] - self.asked[:, :, phase], 0.0)
        along = np.array(AT_PHASE) / END
        part = (1 - along) if phase == 0 else along
        self.asked += moved[:, :, None] * part
        result: NDArray[np.bool_] = np.any(moved, axis=1)
        return result

    def _moved(self, who: Numbers, before: int, phase: int) -> Array:
        """A start for one phase: what was written to change since another, (N, dofs, 1)."""
        change = self.asked[who][:, :, phase] - self.asked[who][:, :, before]
        result: Array = (self.settled[who][:, :, before] + change)[:, :, None]
        return result

    def _between(self, who: Numbers, phases: Sequence[int]) -> Array:
        """A start for phases between: the curve through three, (N, dofs, phases)."""
        start, middle, end = self.settled[who][:, :, [LEAVING, MIDDLE, END]].transpose(2, 0, 1)
        t = np.array(phases) / MIDDLE - 1
        result: Array = (
            start[..., None] * (t * (t - 1) / 2)
            + middle[..., None] * (1 - t * t)
            + end[..., None] * (t * (t + 1) / 2)
        )
        return result

    def _beside(self, who: Numbers, near: Array, phases: Sequence[int]) -> Array:
        """A start as another person's posture, moved as the two starts are apart."""
        apart = self.settled[who][:, :, 0] - near[who][:, :, 0]
        result: Array = near[who][:, :, list(phases)] + apart[..., None]
        return result

    def _follow(self, who: Numbers, times: Sequence[int], guess: Array) -> None:
        """Settles some at some times, from a guess (N, dofs, times)."""
        if not len(who):
            return
        rows = np.repeat(who, len(times))
        at = np.tile(np.array(times), len(who))
        start = guess.transpose(0, 2, 1).reshape(len(rows), -1)
        solved = self._solve(rows, at, self._held(rows, at, start))
        self.settled[rows, :, at] = solved

    def _held(self, rows: Numbers, times: Numbers, angles: Array) -> Array:
        """A guess (R, dofs) with what may not give way as it was asked for."""
        gives = self.stack.gives[self.who[rows], :, times]
        mirrored = np.flatnonzero(self.stack.mirrored[self.who[rows]])
        gives[np.ix_(mirrored, LEFT)] = gives[np.ix_(mirrored, RIGHT)]
        return np.where(gives, angles, self.asked[rows, :, times])

    def _pose(self, rows: Numbers, angles: Array) -> Pose:
        return forward(
            np.ascontiguousarray(angles.T), self.stack.base[self.who[rows]].transpose(1, 2, 0)
        )

    def _solve(self, rows: Numbers, times: Numbers, angles: Array) -> Array:
        """Settles rows (R,) at their times, from angles (R, dofs)."""
        found = np.empty_like(angles)
        for start in range(0, len(rows), AT_ONCE):
            part = slice(start, start + AT_ONCE)
            problem = self._rows(rows[part], times[part])
            found[part] = settle_rows(problem, np.ascontiguousarray(angles[part].T), self.most).T
        return found

    def _rows(self, rows: Numbers, times: Numbers) -> Rows:
        stack, who, anchors = self.stack, self.who[rows], self.anchors
        columns = stack.columns[who]
        column = (who[:, None], columns, times[:, None])
        asked = self.asked[rows[:, None], columns, times[:, None]]
        gives = stack.gives[column] & (stack.twice[who] > 0)
        low = np.where((columns == PITCH) & stack.upright[who, times][:, None], 0.0, -np.inf)
        weight, normal = stack.weight[who, :, times], stack.normal[who]
        link = stack.link_weight[who, :, times][..., None]
        middle = stack.middle[who, :, times]
        if anchors is None:
            offset = stack.offsets(who, self.scale[rows])
            cost = (weight * ~np.isnan(offset))[..., None, None] * _square(normal)
            target = np.nan_to_num(offset + stack.depth[who])[..., None] * normal
            straying, held_at = np.zeros_like(link), np.zeros((*link.shape[:2], 3))
            stride = stack.stride[who][:, None]
            bases: list[Base | None] = [None] * len(who)
        else:
            stays = weight * (stack.first[who] & ~stack.slides[who])
            across, place = _square(normal), anchors.place[rows]
            cost = weight[..., None, None] * across + stays[..., None, None] * (np.eye(3) - across)
            off = np.sum(normal * place, axis=-1) - anchors.offset[rows] - stack.depth[who]
            target = place - off[..., None] * normal
            straying = link * ~stack.link_slides[who][..., None]
            held_at, stride = anchors.link_place[rows], np.zeros((len(who), 0))
            bases = [self.bases[n][t] for n, t in zip(rows.tolist(), times.tolist(), strict=True)]
        centred = middle.sum(axis=1) > 0.5
        edges, edge_weight = edges_of(bases)
        segment = stack.segment[who]
        return Rows(
            stack.base[who], stack.mirrored[who], self.mass[rows], self.centre[rows], columns,
            stack.twice[who], gives.astype(float), asked, low,
            stack.stiffness[column], before()[columns[:, :, None], columns[:, None]],
            moved_by()[segment[:, None], columns[..., None]], segment, stack.local[who],
            cost, target, stack.depth[who][..., None] * normal[..., :2], middle,
            stack.shared[who, :, times],
            stack.burden_segment[who], stack.burden_local[who], stack.burden[who, :, times],
            stack.link_segment[who], stack.link_local[who], stack.link_reach[who], held_at,
            np.concatenate([link * (straying == 0), *[straying] * 3], axis=-1),
            edges, edge_weight * ~centred[:, None], centred.astype(float), stride,
        )  # fmt: skip

    def answers(self) -> list[Settled]:
        """What each posture has settled to."""
        count = len(self.who)
        rows, times = np.repeat(np.arange(count), PHASES), np.tile(np.arange(PHASES), count)
        angles = self.settled[rows, :, times]
        assert self.anchors is not None
        held = Anchors(*(getattr(self.anchors, one.name)[rows] for one in fields(self.anchors)))
        off, off_link = distances(self.stack, self.who[rows], times, self._pose(rows, angles), held)
        off, off_link = off.reshape(count, PHASES, -1), off_link.reshape(count, PHASES, -1)
        return [self._answer(n, off[n].T, off_link[n].T) for n in range(count)]

    def _answer(self, n: int, off: Array, off_link: Array) -> Settled:
        assert self.anchors is not None
        if self.stack.postures[self.who[n]].symmetric:  # to the last digit
            mirror = self.settled[n, list(MIRROR)] * np.array(MIRROR_SIGN)[:, None]
            self.settled[n] = 0.5 * (self.settled[n] + mirror)
        posture, bases = self.stack.postures[self.who[n]], self.bases[n]
        normals = np.array([c.normal for c in posture.contacts]).reshape(-1, 3)
        offsets = np.zeros(len(posture.contacts))
        for p, corners in self.stack.owner[self.who[n]]:
            offsets[p] = self.anchors.offset[n, corners.start]
        mates = list(posture.mates)
        left = {
            phase: (self.settled[n, :, time].copy(), bases[time])
            for time, phase in ((LEAVING, 0), (REACHING, END))
            if posture.leaves[time - PHASES]
        }
        return Settled(
            np.ascontiguousarray(self.settled[n, :, :PHASES]), normals, offsets[mates],
            off[mates], off_link[: len(posture.links)],
            bases[:PHASES], left, float(self.scale[n]),
        )  # fmt: skip


def _square(normal: Array) -> Array:
    """Products of normals (N, C, 3) with themselves, (N, C, 3, 3)."""
    result: Array = normal[..., :, None] * normal[..., None, :]
    return result
