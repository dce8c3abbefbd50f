"""Bodies on their contacts as problems of least effort, alike ones together.

A body that is the same on both sides is solved on one: each corner of a pair stands for both.
Everything is in units of body weight and stature.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

from rungbook.body.effort import BEYOND, levers
from rungbook.body.joints import DOFS, JOINT_DOFS, SEGMENTS, part_of
from rungbook.body.reactions import Problem
from rungbook.body.segments import data
from rungbook.body.statics import REPORTED_SEGMENT
from rungbook.body.vectors import cross
from rungbook.load.corners import Corners
from rungbook.load.result import PHASES
from rungbook.load.solved import solved_rows

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
Ints = NDArray[np.intp]
_Kind = TypeVar("_Kind", bound=np.generic)
SHAPES = (4, 8, 12, 16, 24, 32, 48, 64, 96, 128, 192, 256)  # numbers of corners, or of contacts
MIRROR = np.array([1.0, -1.0, 1.0])
_OF_HALF = [0, 2, 4]  # forward and up, and the torque that tips forward
_SIDES = [DOFS[dof][0] for dof in JOINT_DOFS]
_MIDDLE = np.array([side == "mid" for side in _SIDES])
_RIGHT_OR_TIPPING = np.array(
    [side == "right" or (side == "mid" and DOFS[dof][2] == "flexion")
     for side, dof in zip(_SIDES, JOINT_DOFS, strict=True)]
)  # fmt: skip
_MIDDLE_SEGMENT = np.array([part_of(segment)[1] == "mid" for segment in SEGMENTS])


@dataclass(frozen=True)
class Group:
    """Ways whose problems have one shape: their numbers, and which corners and axes they have.

    `corners` (ways, C) of `Corners`, -1 where padded; `rows` (R,) of the joint axes whose effort
    the contacts can change; `contacts`: how many at most, and of how many of them the share of
    body weight is written: `shares`; `half`: solved on one side.
    """

    ways: tuple[int, ...]
    corners: Ints
    rows: Ints
    contacts: int
    shares: int
    half: bool

    @property
    def columns(self) -> Ints:
        """Where the group's phases lie among those of all standing ways."""
        return (np.array(self.ways)[:, None] * PHASES + np.arange(PHASES)).ravel()


@dataclass(frozen=True)
class Stage:
    """What the problems of all standing ways are made of, over their P postures.

    `axes` (34, 3, P) of effort through `origin` (34, 3, P); `pelvis` (3, P); strengths (34, P).
    """

    corners: Corners
    axes: Array
    origin: Array
    pelvis: Array
    positive: Array
    negative: Array


def groups_of(loads: Sequence[WayLoad], corners: Corners) -> list[Group]:
    """Puts ways together that can be solved together; a way's shape depends on it alone."""
    alike: dict[tuple[int, tuple[int, ...], int, int, bool], list[tuple[int, list[int]]]]
    alike = defaultdict(list)
    for n, load in enumerate(loads):
        chosen = [c for c in corners.of(n) if not load.alike or c <= corners.partner[c]]
        segments = tuple(sorted(set(corners.segment[chosen].tolist())))
        rows = _rows(load.setup.supports.free, segments, load.alike)
        most = next(shape for shape in SHAPES if shape >= len(chosen))
        contacts = next(n for n in (2, *SHAPES) if n >= len(load.setup.posture.contacts))
        written = ~np.isnan(corners.share[chosen])
        shares = len(set(corners.contact[chosen][written].tolist()))
        alike[most, rows, contacts, shares, load.alike].append((n, chosen))
    found = []
    for (most, rows, contacts, shares, half), members in alike.items():
        table = np.full((len(members), most), -1, dtype=np.intp)
        for row, (_, chosen) in enumerate(members):
            table[row, : len(chosen)] = chosen
        ways = tuple(n for n, _ in members)
        found.append(Group(ways, table, np.array(rows, dtype=np.intp), contacts, shares, half))
    return found


@cache
def _rows(
    free: frozenset[tuple[str, str]], segments: tuple[int, ...], half: bool
) -> tuple[int, ...]:
    """Solved axes that some contact lies beyond."""
    touched = BEYOND[REPORTED_SEGMENT][:, list(segments)].any(axis=1)
    wanted = touched & (solved_rows(free) > 0)
    return tuple(np.flatnonzero(wanted & _RIGHT_OR_TIPPING if half else wanted).tolist())


def problem_of(group: Group, stage: Stage) -> Problem:
    """The problem of a group, under no load."""
    corners, columns, rows = stage.corners, group.columns, group.rows
    there, index = group.corners >= 0, np.maximum(group.corners, 0)
    frame = frames_of(group, corners)
    arm = _flat(corners.place[index]) - stage.pelvis[:, columns]
    given = np.concatenate([frame, cross(arm[:, None], frame, axis=2)], axis=2)
    given = given.transpose(2, 0, 1, 3)  # (6, C, 3, P)
    moments = _moments(group, stage, frame, arm) / stage.positive[rows][:, None, None, columns]
    shear = _shear(group, corners, frame)
    if group.half:
        twice = _over_phases(np.where(corners.partner[index] == index, 1.0, 2.0))[:, None]
        given = given[_OF_HALF] * twice
        moments[_MIDDLE[rows]] *= twice * np.sqrt(0.5)
        shear = shear * np.where(
            _over_phases(_MIDDLE_SEGMENT[corners.segment[index]])[:, None],
            twice * np.sqrt(0.5),
            1.0,
        )
    given = np.concatenate([given, _normals(group, corners, frame)])
    gives = np.concatenate([given, moments, shear])
    gives = np.ascontiguousarray(gives.transpose(3, 0, 1, 2)).reshape(len(columns), len(gives), -1)
    milder = np.ones((len(columns), len(rows) + len(shear)))
    milder[:, : len(rows)] = ((stage.negative / stage.positive)[rows][:, columns] ** 2).T
    return Problem(
        gives, np.zeros(gives.shape[:2]), milder,
        _by_posture(np.where(there, corners.friction[index], 0.0)),
        _by_posture(corners.free[index] & there), len(given), float(_forces()["spread"]),
    )  # fmt: skip


def shares_of(group: Group, corners: Corners) -> Array:
    """What contacts of written share carry of body weight, (P, S); 0 where they are not there."""
    share = np.nan_to_num(corners.share[np.maximum(group.corners, 0)])
    there = _shared(group, corners)  # (S, ways, C)
    usable = np.abs(corners.frame[np.maximum(group.corners, 0), 0]).sum(axis=2) > 0  # (ways, C, 11)
    share = (there * share)[..., None] * usable
    return np.ascontiguousarray(share.max(axis=2).reshape(group.shares, len(group.ways) * PHASES).T)


def _shared(group: Group, corners: Corners) -> Bools:
    """Which corners belong to each contact of written share, (S, ways, C)."""
    index = np.maximum(group.corners, 0)
    written = (group.corners >= 0) & ~np.isnan(corners.share[index])
    contact = np.where(written, corners.contact[index], -1)
    found = np.zeros((group.shares, *contact.shape), dtype=bool)
    for way, row in enumerate(contact):
        for number, own in enumerate(sorted(set(row[row >= 0].tolist()))):
            found[number, way] = row == own
    return found


def _normals(group: Group, corners: Corners, frame: Array) -> Array:
    """Pressure of each contact of written share, of a unit of each direction: (S, C, 3, P)."""
    found = np.zeros((group.shares, *frame.shape[:2], frame.shape[-1]))
    member = _shared(group, corners).transpose(0, 2, 1).repeat(PHASES, axis=-1)
    found[:, :, 0] = member * np.linalg.norm(frame[:, 0], axis=1)
    return found


def loading(group: Group, stage: Stage, wrench: Array, effort: Array) -> Array:
    """What other forces ask of a group's wrench and efforts, (P, W+E).

    Args:
        wrench: (6, P) of all other forces about the pelvis; effort: (34, P) their moments.
    """
    columns, rows = group.columns, group.rows
    wrench = wrench[:, columns]
    efforts = (effort / stage.positive)[rows][:, columns]
    if group.half:
        wrench = wrench[_OF_HALF]
        efforts[_MIDDLE[rows]] *= np.sqrt(0.5)
    shares, shear = (
        np.zeros((group.shares, len(columns))),
        np.zeros((2 * group.contacts, len(columns))),
    )
    return np.ascontiguousarray(np.concatenate([wrench, shares, efforts, shear]).T)


def frames_of(group: Group, corners: Corners) -> Array:
    """Room vectors of a unit of each corner's normal and tangents, (C, 3, 3, P).

    A corner in the middle of a body that is solved on one side stays in the middle.
    """
    there, index = group.corners >= 0, np.maximum(group.corners, 0)
    frame = _flat(corners.frame[index] * there[..., None, None, None])
    if not group.half:
        return frame
    alone = _over_phases(corners.partner[index] == index)
    sideways = np.abs(frame[:, :, 1]) > 0.5 * np.linalg.norm(frame, axis=2)
    size = np.where(alone[:, None], np.where(sideways, 0.0, np.sqrt(2.0)), 1.0)
    result: Array = frame * size[:, :, None]
    return result


def _moments(group: Group, stage: Stage, frame: Array, arm: Array) -> Array:
    """About the group's axes, of a unit of each corner's directions: (R, C, 3, P)."""
    corners, columns, rows = stage.corners, group.columns, group.rows
    segments = corners.segment[np.maximum(group.corners, 0)]
    beyond = BEYOND[REPORTED_SEGMENT[rows]][:, segments].transpose(0, 2, 1)
    arms = levers(
        stage.axes[rows][..., columns],
        (stage.origin[rows] - stage.pelvis)[..., columns],
        beyond.repeat(PHASES, axis=-1),
        arm,
    )
    x, y, z = (arms[:, :, None, i] * frame[None, :, :, i] for i in range(3))
    result: Array = x + y + z
    return result


def _shear(group: Group, corners: Corners, frame: Array) -> Array:
    """Shear of each contact along its tangents, of a unit of each direction: (2K, C, 3, P)."""
    count, _, _, postures = frame.shape
    size = np.linalg.norm(frame, axis=2) * np.sqrt(float(_forces()["shear"]))
    contact = np.where(group.corners >= 0, corners.contact[np.maximum(group.corners, 0)], -1)
    shear = np.zeros((2 * group.contacts, count, 3, postures))
    for number in range(group.contacts):
        member = _over_phases(contact == number)
        for tangent in (1, 2):
            row = shear[2 * number + tangent - 1, :, tangent]
            row += np.where(member, size[:, tangent], 0.0)
            if group.half:  # what one side does sideways, the other does against it
                middle = _MIDDLE_SEGMENT[corners.segment[np.maximum(group.corners, 0)]]
                sideways = np.abs(frame[:, tangent, 1]) > 0.5 * np.linalg.norm(
                    frame[:, tangent], axis=1
                )
                row[sideways & _over_phases(middle)] = 0.0
    return shear


def _forces() -> dict[str, float]:
    found: dict[str, float] = data("contact-forces.yml")
    return found


def _flat(values: Array) -> Array:
    """From (ways, C, …, 11) to (C, …, P)."""
    moved = np.moveaxis(values, 0, -2)
    return np.ascontiguousarray(moved.reshape(*moved.shape[:-2], -1))


def _over_phases(values: NDArray[_Kind]) -> NDArray[_Kind]:
    """From (ways, C) to (C, P)."""
    return values.T.repeat(PHASES, axis=-1)


def _by_posture(values: NDArray[_Kind]) -> NDArray[_Kind]:
    """From (ways, C) to (P, C)."""
    return values.repeat(PHASES, axis=0)
