"""Settling: postures give way until their contacts lie on the surfaces and the body balances.

Damped Gauss-Newton on all postures of a class at once, with the geometric Jacobian. Written
angles are exact; the others give way by their stiffness. The start is settled first: it fixes
where contacts stay; then the middle, the end, and all other phases at once from between.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.base import Base, bases_of
from rungbook.body.contacts import ALWAYS, PHASES, Burden, Contact
from rungbook.body.joints import LIMB_OF
from rungbook.body.settle_batch import Anchors, Batch, anchored, mirrored_corners
from rungbook.body.settle_classes import Columns
from rungbook.body.settle_steps import settle_batch

Array = NDArray[np.float64]
ORDER: tuple[tuple[int, ...], ...] = ((0,), (5,), (10,), (1, 2, 3, 4, 6, 7, 8, 9))


@dataclass(frozen=True)
class Posture:
    """A movement to settle: 11 phases of one body.

    `base` (3, 3); `angles` (dofs, 11) radians, what was written or is the default; `exact`
    (dofs, 11) and `gives` (dofs, 11) say which angles may not and may give way; `stiffness`
    (dofs, 11). `balanced`: the centre of mass has to stand over the base. `still`: all phases
    are alike. `stride`: of stature, between the feet, along x. `burdens` count in the balance.
    """

    base: Array
    angles: Array
    exact: NDArray[np.bool_]
    gives: NDArray[np.bool_]
    stiffness: Array
    contacts: tuple[Contact, ...]
    symmetric: bool
    rooted: bool
    balanced: bool
    still: bool = False
    stride: float | None = None
    burdens: tuple[Burden, ...] = ()

    def key(self) -> tuple[object, ...]:
        """Equal for postures that settle to the same answer."""
        return (
            self.base.tobytes(), self.angles.tobytes(), self.exact.tobytes(),
            self.gives.tobytes(), self.stiffness.tobytes(), self.contacts, self.symmetric,
            self.rooted, self.balanced, self.still, self.stride, self.burdens,
        )  # fmt: skip


@dataclass(frozen=True)
class Settled:
    """The settled posture.

    `angles` (dofs, 11); `normals` (contacts, 3) and `offsets` (contacts,): the planes;
    `distance` (contacts, 11): the largest distance of a hard corner from its surface or from
    where it stayed, fractions of stature; `bases`: per phase what the body stands on.
    """

    angles: Array
    normals: Array
    offsets: Array
    distance: Array
    bases: tuple[Base | None, ...]


def settle(postures: Sequence[Posture], mass: Array, centre: Array) -> list[Settled]:
    """Settles all postures; equal ones once.

    Args:
        mass: (18,) segment masses, fractions; centre: (18, 3) their centres, of stature.
    """
    unique: dict[tuple[object, ...], int] = {}
    chosen: list[Posture] = []
    place: list[int] = []
    alone = [_contacting(posture) for posture in postures]
    for posture in map(_from_where_most_is_there, alone):
        key = posture.key()
        if key not in unique:
            unique[key] = len(chosen)
            chosen.append(posture)
        place.append(unique[key])
    classes: dict[_Alike, list[int]] = defaultdict(list)
    for number, posture in enumerate(chosen):
        classes[_alike(posture)].append(number)
    answers: dict[int, Settled] = {}
    for alike, numbers in classes.items():
        for start in range(0, len(numbers), 128):
            part = numbers[start : start + 128]
            solved = _settle_class(alike.columns, [chosen[n] for n in part], mass, centre)
            answers.update(zip(part, solved, strict=True))
    found = [
        _turned_back(answers[n]) if _arrives(part) else answers[n]
        for part, n in zip(alone, place, strict=True)
    ]
    return [
        answer if part is posture else _with_free_limbs(posture, part, answer)
        for posture, part, answer in zip(postures, alone, found, strict=True)
    ]


def _arrives(posture: Posture) -> bool:
    """Whether the end has every contact of the start and a seat that is reached."""
    reached = any(
        c.point in ("seat", "pelvis") and c.active[-1] and not c.active[0] for c in posture.contacts
    )
    return reached and all(c.active[-1] for c in posture.contacts if c.active[0])


def _from_where_most_is_there(posture: Posture) -> Posture:
    """Settled from its end where that has more contacts, since the first phase places them all."""
    if not _arrives(posture):
        return posture
    return replace(
        posture,
        angles=np.ascontiguousarray(posture.angles[:, ::-1]),
        exact=np.ascontiguousarray(posture.exact[:, ::-1]),
        gives=np.ascontiguousarray(posture.gives[:, ::-1]),
        stiffness=np.ascontiguousarray(posture.stiffness[:, ::-1]),
        contacts=tuple(replace(c, active=c.active[::-1]) for c in posture.contacts),
        burdens=tuple(
            replace(b, over_body_weight=b.over_body_weight[::-1]) for b in posture.burdens
        ),
    )


def _turned_back(answer: Settled) -> Settled:
    return replace(
        answer,
        angles=np.ascontiguousarray(answer.angles[:, ::-1]),
        distance=np.ascontiguousarray(answer.distance[:, ::-1]),
        bases=answer.bases[::-1],
    )


def _contacting(posture: Posture) -> Posture:
    """Of a body whose trunk is carried, only the limbs that touch something have to settle."""
    if not posture.rooted:
        return posture
    touching = {(contact.side, contact.body_point.limb) for contact in posture.contacts}
    free = [dof for dof, limb in enumerate(LIMB_OF) if limb not in touching and limb[1] != "root"]
    angles, exact = posture.angles.copy(), posture.exact.copy()
    angles[free], exact[free] = 0.0, True
    still = not np.any(angles != angles[:, :1]) and all(
        c.active == ALWAYS for c in posture.contacts
    )
    return replace(posture, angles=angles, exact=exact, still=still)


def _with_free_limbs(posture: Posture, part: Posture, answer: Settled) -> Settled:
    moved = part.gives & ~part.exact
    angles = np.where(moved | (part.angles == posture.angles), answer.angles, posture.angles)
    return replace(answer, angles=angles)


@dataclass(frozen=True)
class _Alike:
    """What postures that are solved in the same arrays have in common."""

    columns: Columns
    corners: int
    mirrored: int
    strides: bool
    burdens: int


def _alike(posture: Posture) -> _Alike:
    limbs = frozenset(contact.body_point.limb for contact in posture.contacts)
    columns = Columns(posture.symmetric, "leg" in limbs, "arm" in limbs, posture.rooted)
    corners = sum(len(contact.corners) for contact in posture.contacts)
    mirrored = mirrored_corners(columns, posture)
    return _Alike(columns, corners, mirrored, posture.stride is not None, len(posture.burdens))


def _settle_class(
    columns: Columns, postures: list[Posture], mass: Array, centre: Array
) -> list[Settled]:
    batch = Batch.build(columns, postures, mass, centre)
    count = len(postures)
    angles = np.stack([posture.angles for posture in postures], axis=-1)  # (dofs, 11, N)
    first = settle_batch(batch, angles[:, 0], 0, anchors=None, bases=[None] * count)
    anchors = anchored(batch, first)
    by_posture = [bases_of(posture, anchors.corners[n]) for n, posture in enumerate(postures)]
    bases = [[by_posture[n][phase] for n in range(count)] for phase in range(PHASES)]
    change = angles - angles[:, :1]
    answer = np.empty_like(angles)
    answer[:, 0] = settle_batch(batch, first, 0, anchors, bases[0])
    _later_phases(batch, answer, change, anchors, bases, postures)
    distance = batch.distances(answer, anchors)
    return [
        Settled(
            answer[:, :, n].copy(),
            anchors.normals[n],
            anchors.offsets[n],
            distance[n],
            tuple(bases[phase][n] for phase in range(PHASES)),
        )
        for n in range(count)
    ]


def _later_phases(
    batch: Batch,
    answer: Array,
    change: Array,
    anchors: Anchors,
    bases: list[list[Base | None]],
    postures: list[Posture],
) -> None:
    moving = [n for n, posture in enumerate(postures) if not posture.still]
    for n, posture in enumerate(postures):
        if posture.still:
            answer[:, 1:, n] = answer[:, :1, n]
    if not moving:
        return
    some = batch.part(moving)
    stayed = anchors.part(moving)
    for phases in ORDER[1:]:
        guess = _guess(answer[:, :, moving], change[:, :, moving], phases)
        held = some.gives[:, phases] == 0  # what may not give way is as it was written
        guess = np.where(held, some.default[:, phases], guess)
        repeated = some.repeated(len(phases))
        here = [bases[phase][n] for phase in phases for n in moving]
        flat = np.concatenate([guess[:, i] for i in range(len(phases))], axis=-1)
        phase_of = np.repeat(np.array(phases), len(moving))
        solved = settle_batch(repeated, flat, phase_of, stayed.repeated(len(phases)), here)
        for i, phase in enumerate(phases):
            answer[:, phase, moving] = solved[:, i * len(moving) : (i + 1) * len(moving)]


def _guess(answer: Array, change: Array, phases: tuple[int, ...]) -> Array:
    """A start for the given phases: what was written to change; at last the curve through three."""
    guess = np.empty((answer.shape[0], len(phases), answer.shape[2]))
    for i, phase in enumerate(phases):
        if phase in (5, 10):
            before = phase - 5
            guess[:, i] = answer[:, before] + change[:, phase] - change[:, before]
        else:
            t = phase / 5 - 1
            start, middle, end = t * (t - 1) / 2, 1 - t * t, t * (t + 1) / 2
            guess[:, i] = start * answer[:, 0] + middle * answer[:, 5] + end * answer[:, 10]
    return guess
