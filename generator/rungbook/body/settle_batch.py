"""The arrays behind settling: residuals, geometric Jacobian, damped Gauss-Newton steps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base
from rungbook.body.contacts import FEET, Contact
from rungbook.body.joints import (
    DOF,
    DOFS,
    JOINT_LIMB,
    MIRROR,
    MIRROR_SIGN,
    PARENT,
    ROTATIONS,
    SEGMENTS,
    ancestors,
)
from rungbook.body.kinematics import Pose, forward
from rungbook.body.segments import data

if TYPE_CHECKING:
    from rungbook.body.settle import Posture

Array = NDArray[np.float64]
HARD = 1e6  # cost of a stature squared off a surface, against radians squared times stiffness
BALANCE = 1e5  # of the centre of mass off its place: feet stay down before balance is kept
TOUCH = 3e4  # of a touch off its surface: what carries stays down before a hand reaches
SOFT = 1e-2
BOUND = 3e4  # cost of a radian squared outside the passive range
MAX_STEP = 0.25  # radians (or statures) in one iteration
MAX_ITERATIONS = 60
SETTLED = 1e-8  # radians (or statures): no angle moves by more
CREEPING = 1e-4  # steps this small that no longer shrink change nothing
RIDGE = 1e-9
EDGES = 16
_ROTATION_DOF = np.array([rotation.dof for rotation in ROTATIONS])
_ROTATION_SCALE = np.array([abs(rotation.factor) for rotation in ROTATIONS])
_ROTATION_SEGMENT = np.array([rotation.segment for rotation in ROTATIONS])
# moves[s, k]: rotation k moves segment s
_MOVES = np.array(
    [[rotation.segment in ancestors(s) for rotation in ROTATIONS] for s in range(len(SEGMENTS))]
)


@dataclass(frozen=True)
class Columns:
    """Which angles a class of postures solves for."""

    symmetric: bool
    legs: bool
    arms: bool
    rooted: bool

    @property
    def dofs(self) -> tuple[int, ...]:
        return _solved(self)


@cache
def _solved(columns: Columns) -> tuple[int, ...]:
    solved = []
    for index, (side, joint, _) in enumerate(DOFS):
        limb = JOINT_LIMB.get(joint)
        if columns.symmetric and (side == "left" or MIRROR_SIGN[index] < 0):
            continue
        if (limb == "leg" and not columns.legs) or (limb == "arm" and not columns.arms):
            continue
        if columns.rooted and joint in ("root", "lumbar", "neck"):
            continue
        solved.append(index)
    return tuple(solved)


@cache
def _selection(columns: Columns) -> tuple[NDArray[np.intp], Array]:
    """The rotations of a class, and their share in each of its columns (rotations, columns)."""
    chosen = [k for k in range(len(ROTATIONS)) if _ROTATION_DOF[k] in columns.dofs]
    share = np.zeros((len(chosen), len(columns.dofs)))
    for row, k in enumerate(chosen):
        share[row, columns.dofs.index(int(_ROTATION_DOF[k]))] = _ROTATION_SCALE[k]
    return np.array(chosen, dtype=np.intp), share


@cache
def passive_range() -> tuple[Array, Array]:
    """Lowest and highest angle of each dof, radians; the root has none."""
    low, high = np.full(len(DOFS), -np.inf), np.full(len(DOFS), np.inf)
    written = data("giving.yml")["range"]
    for index, (_, joint, axis) in enumerate(DOFS):
        if f"{joint} {axis}" in written:
            low[index], high[index] = np.radians(written[f"{joint} {axis}"])
    return low, high


@dataclass(frozen=True)
class Anchors:
    """Planes and places from the start: (C, N) corners on N postures' surfaces.

    `normals`, `offsets`, `corners`: per posture, per contact; `normal` (C, N, 3), `offset`
    (C, N), `place` (C, N, 3) and `stays` (C, N): the same for the padded corners.
    """

    normals: list[Array]
    offsets: list[Array]
    corners: list[list[Array]]
    normal: Array
    offset: Array
    place: Array
    stays: Array

    def part(self, numbers: Sequence[int]) -> Anchors:
        """Those of some postures."""
        n = list(numbers)
        return Anchors(
            [self.normals[i] for i in n], [self.offsets[i] for i in n],
            [self.corners[i] for i in n], self.normal[:, n], self.offset[:, n],
            self.place[:, n], self.stays[:, n],
        )  # fmt: skip

    def repeated(self, times: int) -> Anchors:
        """The same, once for each of several phases."""
        return replace(
            self,
            normal=np.tile(self.normal, (1, times, 1)),
            offset=np.tile(self.offset, (1, times)),
            place=np.tile(self.place, (1, times, 1)),
            stays=np.tile(self.stays, (1, times)),
        )


@dataclass(frozen=True)
class Batch:
    """N postures of one class, padded to C corners. Arrays end in N where not said otherwise."""

    columns: Columns
    postures: list[Posture]
    mass: Array
    centre: Array
    base: Array  # (3, 3, N)
    default: Array  # (dofs, 11, N)
    gives: Array  # (dofs, 11, N) 1 where the angle may give way
    stiffness: Array  # (dofs, 11, N)
    segment: NDArray[np.intp]  # (C, N)
    local: Array  # (C, N, 3)
    depth: Array  # (C, N)
    weight: Array  # (C, 11, N) cost of leaving the surface
    slides: NDArray[np.bool_]  # (C, N)
    middle: Array  # (C, 11, N) weights whose sum is the middle of the feet
    shared: Array  # (C, 11, N) share of body weight on each corner of a fixed-share contact
    known: NDArray[np.bool_]  # (C, N) the plane is written
    normal: Array  # (C, N, 3)
    offset: Array  # (C, N)
    owner: list[list[tuple[int, int]]]  # per posture: (contact, corner) of each padded corner

    @staticmethod
    def build(columns: Columns, postures: list[Posture], mass: Array, centre: Array) -> Batch:
        """Pads and stacks; in a mirror-image class the left side's contacts come last."""
        owner = [_owners(posture) for posture in postures]
        corners, count = max((len(o) for o in owner), default=0), len(postures)
        segment = np.zeros((corners, count), dtype=np.intp)
        local, depth = np.zeros((corners, count, 3)), np.zeros((corners, count))
        weight = np.zeros((corners, 11, count))
        middle, shared = np.zeros_like(weight), np.zeros_like(weight)
        slides = np.zeros((corners, count), dtype=bool)
        known = np.zeros((corners, count), dtype=bool)
        normal, offset = np.zeros((corners, count, 3)), np.zeros((corners, count))
        normal[..., 2] = 1.0
        for n, posture in enumerate(postures):
            for c, (p, q) in enumerate(owner[n]):
                contact = posture.contacts[p]
                corner = contact.corners[q]
                segment[c, n], local[c, n], depth[c, n] = corner.segment, corner.local, corner.depth
                active = np.array(contact.active, dtype=float)
                hard = SOFT if corner.soft else TOUCH if contact.touch else HARD
                mirrored = columns.symmetric and contact.side == "left"
                weight[c, :, n] = 0.0 if mirrored else hard * active
                slides[c, n] = contact.slides
                known[c, n] = contact.offset is not None
                normal[c, n], offset[c, n] = contact.normal, contact.offset or 0.0
                if contact.share is not None:
                    shared[c, :, n] = contact.share * active / len(contact.corners)
            _mark_middle(middle[:, :, n], posture, owner[n])
            if columns.symmetric:  # the right side stands for both
                for c, (p, _) in enumerate(owner[n]):
                    factor = {"right": 2.0, "left": 0.0, "mid": 1.0}[posture.contacts[p].side]
                    shared[c, :, n] *= factor
                    middle[c, :, n] *= factor
        stacked = [np.stack([getattr(p, name) for p in postures], axis=-1) for name in
                   ("base", "angles", "exact", "stiffness")]  # fmt: skip
        may = np.stack([posture.gives for posture in postures], axis=-1)
        return Batch(
            columns, postures, mass, centre, stacked[0], stacked[1],
            (~stacked[2] & may).astype(float), stacked[3], segment, local, depth, weight, slides,
            middle, shared, known, normal, offset, owner,
        )  # fmt: skip

    def part(self, numbers: Sequence[int]) -> Batch:
        """Some of the postures (the last axis, or the axis of N)."""
        n = list(numbers)
        return replace(
            self,
            postures=[self.postures[i % len(self.postures)] for i in n],
            owner=[self.owner[i % len(self.owner)] for i in n],
            base=self.base[..., n], default=self.default[..., n], gives=self.gives[..., n],
            stiffness=self.stiffness[..., n], segment=self.segment[:, n],
            local=self.local[:, n], depth=self.depth[:, n], weight=self.weight[..., n],
            slides=self.slides[:, n], middle=self.middle[..., n], shared=self.shared[..., n],
            known=self.known[:, n], normal=self.normal[:, n], offset=self.offset[:, n],
        )  # fmt: skip

    def repeated(self, times: int) -> Batch:
        """Every posture once for each of several phases."""
        return self.part(list(range(len(self.postures))) * times)

    def places(self, pose: Pose) -> Array:
        """Where the corners are, inside the body, (C, N, 3)."""
        n = np.arange(self.segment.shape[1])[None, :]
        turned = np.einsum("cnij,cnj->cni", pose.turn[self.segment, :, :, n], self.local)
        return pose.origin[self.segment, :, n] + turned

    def distances(self, answer: Array, anchors: Anchors) -> list[Array]:
        """Per posture (contacts, 11): how far hard corners lie off their surface or place."""
        result = [np.zeros((len(posture.contacts), 11)) for posture in self.postures]
        for phase in range(11):
            pose = forward(answer[:, phase], self.base)
            where = self.places(pose)
            off = np.abs(
                np.einsum("cnj,cnj->cn", anchors.normal, where) - anchors.offset - self.depth
            )
            moved = where - anchors.place
            moved -= np.einsum("cnj,cnj->cn", anchors.normal, moved)[..., None] * anchors.normal
            stray = np.linalg.norm(moved, axis=-1) * (anchors.stays & ~self.slides)
            for n, owners in enumerate(self.owner):
                for c, (p, q) in enumerate(owners):
                    contact = self.postures[n].contacts[p]
                    if contact.active[phase] and not contact.corners[q].soft:
                        worst = max(result[n][p, phase], float(off[c, n]), float(stray[c, n]))
                        result[n][p, phase] = worst
        return result


def _owners(posture: Posture) -> list[tuple[int, int]]:
    order = sorted(range(len(posture.contacts)), key=lambda p: posture.contacts[p].side == "left")
    return [(p, q) for p in order for q in range(len(posture.contacts[p].corners))]


def _mark_middle(middle: Array, posture: Posture, owners: list[tuple[int, int]]) -> None:
    """Weights of corners (C, 11) whose sum is the middle between the heels and the toe tips."""
    if not posture.balanced:
        return
    for phase in range(11):
        carrying = [p for p, contact in enumerate(posture.contacts) if _supports(contact, phase)]
        if not carrying or any(not _is_sole(posture.contacts[p]) for p in carrying):
            continue
        for c, (p, q) in enumerate(owners):
            if p in carrying and q in (0, 1, 4, 5):
                middle[c, phase] = 0.25 / len(carrying)


def _supports(contact: Contact, phase: int) -> bool:
    return contact.active[phase] and contact.carries


def _is_sole(contact: Contact) -> bool:
    return contact.point in FEET and contact.level and not contact.grip


def anchored(batch: Batch, angles: Array) -> Anchors:
    """Fixes planes and places where the start posture (dofs, N) has put them."""
    pose = forward(angles, batch.base)
    inside = batch.places(pose)
    normal, offset = batch.normal.copy(), batch.offset.copy()
    stays = np.zeros(offset.shape, dtype=bool)
    normals, offsets, corners = [], [], []
    for n, posture in enumerate(batch.postures):
        planes = [
            _plane(batch, n, p, contact, inside) for p, contact in enumerate(posture.contacts)
        ]
        normals.append(np.array([contact.normal for contact in posture.contacts]).reshape(-1, 3))
        offsets.append(np.array(planes))
        for c, (p, _) in enumerate(batch.owner[n]):
            offset[c, n] = planes[p]
            stays[c, n] = posture.contacts[p].active[0]
        corners.append(_on_surface(batch, n, inside, normals[n]))
    return Anchors(normals, offsets, corners, normal, offset, inside, stays)


def _plane(batch: Batch, n: int, p: int, contact: Contact, inside: Array) -> float:
    if contact.offset is not None:
        return contact.offset
    normal = np.array(contact.normal)
    if contact.distance is not None:
        feet = [c for c, (q, _) in enumerate(batch.owner[n])
                if batch.postures[n].contacts[q].point in ("foot", "forefoot")]  # fmt: skip
        if feet:
            return float(np.min(inside[feet, n] @ normal)) - contact.distance
    mine = [c for c, (q, k) in enumerate(batch.owner[n]) if q == p and not contact.corners[k].soft]
    return float(np.mean(inside[mine, n] @ normal - batch.depth[mine, n]))


def _on_surface(batch: Batch, n: int, inside: Array, normals: Array) -> list[Array]:
    contacts = batch.postures[n].contacts
    places: list[list[Array]] = [[] for _ in contacts]
    for c, (p, _) in enumerate(batch.owner[n]):
        places[p].append(inside[c, n] - batch.depth[c, n] * normals[p])
    return [np.array(corners) for corners in places]


def settle_batch(
    batch: Batch,
    angles: Array,
    phase: int | NDArray[np.intp],
    anchors: Anchors | None,
    bases: list[Base | None],
) -> Array:
    """Settles N postures at one phase each, from the angles given (dofs, N) as a start."""
    count = angles.shape[1]
    phases = np.full(count, phase) if np.isscalar(phase) else np.asarray(phase)
    problem = _Problem.build(batch, phases, anchors, bases)
    current = angles.copy()
    cap = np.full(count, MAX_STEP)
    before, last = np.zeros_like(angles), np.full(count, np.inf)
    left = np.arange(count)
    for _ in range(MAX_ITERATIONS):
        if not len(left):
            break
        here = problem.part(left)
        step = here.step(current[:, left], here.evaluate(current[:, left]))
        size = np.abs(step).max(axis=0)
        step *= np.minimum(1.0, cap[left] / np.maximum(size, 1e-12))
        turned = np.sum(step * before[:, left], axis=0) < 0
        cap[left] = np.where(turned, cap[left] * 0.5, np.minimum(cap[left] * 1.3, MAX_STEP))
        current[:, left] += step
        before[:, left] = step
        creeping = (size < CREEPING) & (size > 0.9 * last[left])
        last[left] = size
        left = left[(size > SETTLED) & ~creeping]
    return current


@dataclass(frozen=True)
class _State:
    """Residuals (M, N), their weights, the pose and the corners' places of N postures."""

    pose: Pose
    where: Array
    residual: Array
    weight: Array


@dataclass(frozen=True)
class _Problem:
    """N postures at their phases: everything that a step needs."""

    batch: Batch
    default: Array  # (dofs, N)
    gives: Array
    stiffness: Array
    weight: Array  # (C, N)
    stays: Array  # (C, N) weight of staying in place
    normal: Array
    offset: Array
    place: Array
    tangents: Array  # (C, N, 2, 3)
    middle: Array  # (C, N)
    shared: Array  # (C, N)
    edges: Array  # (E, N, 3)
    edge_weight: Array  # (E, N)
    centred: Array  # (N,)
    stride: Array  # (N,) nan where none

    @staticmethod
    def build(
        batch: Batch, phases: NDArray[np.intp], anchors: Anchors | None, bases: list[Base | None]
    ) -> _Problem:
        n = np.arange(len(phases))
        weight = batch.weight[:, phases, n]
        if anchors is None:
            weight = weight * batch.known
            normal, offset = batch.normal, batch.offset
            place, stays = np.zeros_like(normal), np.zeros_like(weight)
        else:
            normal, offset, place = anchors.normal, anchors.offset, anchors.place
            stays = weight * anchors.stays * ~batch.slides
        edges, edge_weight = _edges(bases, float(data("giving.yml")["margin-m"]) / 1.7)
        middle = batch.middle[:, phases, n]
        centred = middle.sum(axis=0) > 0.5
        edge_weight = edge_weight * ~centred
        strides = [np.nan if p.stride is None or anchors is not None else p.stride
                   for p in batch.postures]  # fmt: skip
        return _Problem(
            batch, batch.default[:, phases, n], batch.gives[:, phases, n],
            batch.stiffness[:, phases, n], weight, stays, normal, offset, place,
            _tangents(normal), middle, batch.shared[:, phases, n], edges, edge_weight,
            centred.astype(float), np.array(strides),
        )  # fmt: skip

    def part(self, n: NDArray[np.intp]) -> _Problem:
        if len(n) == self.default.shape[1]:
            return self
        arrays = {
            name: getattr(self, name)[:, n]
            for name in ("default", "gives", "stiffness", "weight", "stays", "normal", "offset",
                         "place", "tangents", "middle", "shared", "edges", "edge_weight")
        }  # fmt: skip
        return _Problem(
            self.batch.part(n), centred=self.centred[n], stride=self.stride[n], **arrays
        )

    def evaluate(self, angles: Array) -> _State:
        pose = forward(angles, self.batch.base)
        where = self.batch.places(pose)
        across = np.einsum("cnj,cnj->cn", self.normal, where) - self.offset - self.batch.depth
        along = np.einsum("cntj,cnj->tcn", self.tangents, where - self.place)
        com = _centre_of_mass(pose, self.batch.mass, self.batch.centre)
        fixed = self.shared.sum(axis=0)
        on = where - self.batch.depth[..., None] * self.normal
        pressure = (com[:2] - np.einsum("cn,cnj->jn", self.shared, on[..., :2])) / (1 - fixed)
        if self.batch.columns.symmetric:
            pressure[1] = 0.0
        middle = pressure - np.einsum("cn,cnj->jn", self.middle, on[..., :2])
        inside = np.einsum("enj,jn->en", self.edges[..., :2], pressure) - self.edges[..., 2]
        stride = self._stride(pose)
        residual = np.concatenate([across, along[0], along[1], middle, inside, stride[None]])
        ones = np.ones_like(self.centred)
        weight = np.concatenate([
            self.weight, self.stays, self.stays,
            BALANCE * np.stack([self.centred, self.centred * (not self.batch.columns.symmetric)]),
            BALANCE * self.edge_weight * (inside < 0),
            HARD * ones[None] * np.isfinite(self.stride),
        ])  # fmt: skip
        return _State(pose, where, residual, weight)

    def _stride(self, pose: Pose) -> Array:
        right, left = SEGMENTS.index("foot_right"), SEGMENTS.index("foot_left")
        apart = pose.origin[right, 0] - pose.origin[left, 0]
        return np.where(np.isfinite(self.stride), apart - np.nan_to_num(self.stride), 0.0)

    def _pull(self, angles: Array) -> tuple[Array, Array]:
        """Distance from the rest angles (dofs, N) and its cost, the passive range included."""
        low, high = passive_range()
        rest, pull = self.default, self.stiffness * self.gives
        bound = np.clip(angles, low[:, None], high[:, None])
        outside = (bound != angles) & (self.gives > 0)
        pull = np.where(outside, pull + BOUND, pull)
        rest = np.where(
            outside, (self.stiffness * rest + BOUND * bound) / (self.stiffness + BOUND), rest
        )
        return angles - rest, pull

    def step(self, angles: Array, state: _State) -> Array:
        """One Gauss-Newton step (dofs, N), not yet capped."""
        dofs = list(self.batch.columns.dofs)
        jacobian = self._jacobian(state.pose, state.where)  # (N, M, n)
        away, pull = self._pull(angles)
        away, pull, gives = away[dofs].T, pull[dofs].T, self.gives[dofs].T
        jacobian *= gives[:, None, :]
        weighted = jacobian * state.weight.T[:, :, None]
        system = np.matmul(weighted.transpose(0, 2, 1), jacobian)
        right = -np.einsum("nmk,mn->nk", weighted, state.residual) - pull * away * gives
        diagonal = np.arange(len(dofs))
        system[:, diagonal, diagonal] += pull + RIDGE + (1 - gives)
        change = np.linalg.solve(system, right[..., None])[..., 0] * gives
        step = np.zeros_like(angles)
        step[dofs] = change.T
        if self.batch.columns.symmetric:
            left = [index for index, (side, _, _) in enumerate(DOFS) if side == "left"]
            step[left] = step[[MIRROR[index] for index in left]]
        return step

    def _jacobian(self, pose: Pose, where: Array) -> Array:
        columns = self.batch.columns
        chosen, share = _selection(columns)
        axis = pose.axis[chosen].transpose(2, 0, 1)  # (N, K, 3)
        joint = pose.origin[_ROTATION_SEGMENT[chosen]].transpose(2, 0, 1)
        move = _cross(axis[None], where[:, :, None] - joint[None])
        move *= _MOVES[self.batch.segment][:, :, chosen, None]
        corner = np.einsum("cnkj,kd->cndj", move, share)  # (C, N, n, 3)
        com = self._com_jacobian(pose, axis, joint, chosen, share)  # (N, n, 3)
        _add_translation(columns, corner, com)
        on_plane = np.einsum("cnj,cndj->cnd", self.normal, corner)
        in_plane = np.einsum("cntj,cndj->tcnd", self.tangents, corner)
        fixed = self.shared.sum(axis=0)[:, None, None]
        pressure = com[..., :2] - np.einsum("cn,cndj->ndj", self.shared, corner[..., :2])
        pressure = pressure / (1 - fixed)
        middle = pressure - np.einsum("cn,cndj->ndj", self.middle, corner[..., :2])
        inside = np.einsum("enj,ndj->end", self.edges[..., :2], pressure)
        stride = self._stride_jacobian(pose, axis, joint, chosen, share)
        rows = [on_plane, in_plane[0], in_plane[1], middle.transpose(2, 0, 1), inside, stride[None]]
        return np.concatenate(rows).transpose(1, 0, 2)

    def _com_jacobian(
        self, pose: Pose, axis: Array, joint: Array, chosen: NDArray[np.intp], share: Array
    ) -> Array:
        mass, moment = _hanging(pose, self.batch.mass, self.batch.centre)
        segments = _ROTATION_SEGMENT[chosen]
        lever = moment[segments].transpose(2, 0, 1) - mass[segments][None, :, None] * joint
        move = _cross(axis, lever)
        if self.batch.columns.symmetric:  # both sides move: what is sided counts twice
            sided = np.array([DOFS[_ROTATION_DOF[k]][0] == "right" for k in chosen])
            move = move * np.where(sided, 2.0, 1.0)[None, :, None]
        com: Array = np.einsum("nkj,kd->ndj", move, share)
        return com

    def _stride_jacobian(
        self, pose: Pose, axis: Array, joint: Array, chosen: NDArray[np.intp], share: Array
    ) -> Array:
        total = np.zeros((axis.shape[0], share.shape[1]))
        for name, sign in (("foot_right", 1.0), ("foot_left", -1.0)):
            segment = SEGMENTS.index(name)
            lever = pose.origin[segment].T[:, None] - joint
            move = _cross(axis, lever)[..., 0] * _MOVES[segment][chosen]
            total += sign * move @ share
        return total


def _cross(a: Array, b: Array) -> Array:
    """Cross product over the last axis, without the detours of the general one."""
    x, y, z = a[..., 0], a[..., 1], a[..., 2]
    u, v, w = b[..., 0], b[..., 1], b[..., 2]
    return np.stack([y * w - z * v, z * u - x * w, x * v - y * u], axis=-1)


def _add_translation(columns: Columns, corner: Array, com: Array) -> None:
    for direction, name in enumerate(("x", "y", "z")):
        dof = DOF["mid", "root", name]
        if dof in columns.dofs:
            column = columns.dofs.index(dof)
            corner[:, :, column, direction] += 1.0
            com[:, column, direction] += 1.0


def _hanging(pose: Pose, mass: Array, centre: Array) -> tuple[Array, Array]:
    """Mass and first moment of each segment with all that hang from it: (18,), (18, 3, N)."""
    total = mass.copy()
    moment = (pose.origin + np.einsum("sijn,sj->sin", pose.turn, centre)) * mass[:, None, None]
    for segment in range(len(SEGMENTS) - 1, 0, -1):
        total[PARENT[segment]] += total[segment]
        moment[PARENT[segment]] += moment[segment]
    return total, moment


def _centre_of_mass(pose: Pose, mass: Array, centre: Array) -> Array:
    """(3, N)."""
    where = pose.origin + np.einsum("sijn,sj->sin", pose.turn, centre)
    result: Array = np.einsum("sin,s->in", where, mass)
    return result


def _edges(bases: list[Base | None], margin: float) -> tuple[Array, Array]:
    """Half-planes drawn in by the margin (or half of a thin base): (E, N, 3) and weights."""
    edges = np.zeros((EDGES, len(bases), 3))
    weight = np.zeros((EDGES, len(bases)))
    for n, base in enumerate(bases):
        if base is None or base.centred:
            continue
        if not len(base.edges):
            edges[0, n], edges[1, n] = (1, 0, base.middle[0]), (0, 1, base.middle[1])
            continue
        kept = base.edges[:EDGES]
        depth = float(np.min(kept[:, :2] @ np.array(base.middle) - kept[:, 2]))
        edges[: len(kept), n] = kept
        edges[: len(kept), n, 2] += min(margin, 0.9 * max(depth, 0.0))
        weight[: len(kept), n] = 1.0
    return edges, weight


def _tangents(normal: Array) -> Array:
    """Two unit vectors in each plane, (C, N, 2, 3)."""
    across = np.where(np.abs(normal[..., 1:2]) > 0.9, [1.0, 0.0, 0.0], [0.0, 1.0, 0.0])
    first = np.cross(across, normal)
    first /= np.linalg.norm(first, axis=-1, keepdims=True)
    return np.stack([first, np.cross(normal, first)], axis=-2)
