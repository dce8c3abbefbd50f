"""What would make a posture reach its contacts: the few ways out, tried.

A contact that stays off its surface is let slide; each written angle is freed in turn, those that
move the least first; the surface is moved. Where none of these helps, sliding and one angle are
tried together. The first that works is named with its number.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact, Link
from rungbook.body.joints import DOFS
from rungbook.body.kinematics import Pose, forward
from rungbook.body.points import BodyPoint
from rungbook.body.posture import Fit, Posture, Settled
from rungbook.body.settle import Wanted, settle
from rungbook.load.names import angle_name, phase_name
from rungbook.load.posture import Setup, WayOut
from rungbook.load.result import PHASES

Array = NDArray[np.float64]
OFF_SURFACE_M = 0.01
FARTHEST_SLIDE_M = 0.50  # a heel that is drawn up to the seat slides by that much
MOST_FREED_DEG = 60.0
MOST_TRIED = 200  # postures: what a library that is broken throughout may cost


@dataclass(frozen=True)
class _Trial:
    """A posture that may fit, for one contact of one way; `dofs` are angles that were freed."""

    way: int
    index: int
    kind: str
    posture: Posture
    dofs: tuple[int, ...] = ()


def with_ways_out(
    setups: Sequence[Setup], settled: Sequence[Settled], fit: Fit, stature: float
) -> list[Setup]:
    """The setups, with ways out where a contact stays off its surface."""
    off = [_off(one.posture, answer, stature) for one, answer in zip(setups, settled, strict=True)]
    if not any(off):
        return list(setups)
    found: dict[int, dict[int, WayOut]] = {}
    for more in (_trials, _trials_together):
        trials = [
            trial
            for way, setup in enumerate(setups)
            for index in off[way]
            if index not in found.get(way, {})
            for trial in more(way, index, setup)
        ][:MOST_TRIED]
        answers = settle([Wanted(trial.posture, (fit,)) for trial in trials])
        for trial, (answer,) in zip(trials, answers, strict=True):
            known = found.setdefault(trial.way, {})
            if trial.index not in known and not _off(trial.posture, answer, stature):
                out = _told(setups[trial.way], trial, answer, stature)
                if out is not None:
                    known[trial.index] = out
    return [
        replace(setup, ways_out=found[way]) if found.get(way) else setup
        for way, setup in enumerate(setups)
    ]


def _off(posture: Posture, answer: Settled, stature: float) -> list[int]:
    """Written contacts, by number, that stay off their surfaces."""
    owners: list[Contact | Link] = [*posture.contacts, *posture.links]
    distances = [*answer.distance, *answer.link_distance]
    return list(
        dict.fromkeys(
            one.index
            for one, distance in zip(owners, distances, strict=True)
            if distance.max(initial=0.0) * stature > OFF_SURFACE_M
        )
    )


def _trials(way: int, index: int, setup: Setup) -> Iterator[_Trial]:
    posture = setup.posture
    mine = _owned(posture, index)
    if index >= 0 and not any(one.slides for one in mine):
        yield _Trial(way, index, "slides", _slid(posture, index))
    for dofs in _written_groups(setup):
        yield _Trial(way, index, "free", _freed(posture, dofs), dofs)
    if any(isinstance(one, Contact) and one.offset for one in mine):
        moved = tuple(
            replace(c, offset=None) if c.index == index and c.offset else c
            for c in posture.contacts
        )
        yield _Trial(way, index, "height", replace(posture, contacts=moved))


def _trials_together(way: int, index: int, setup: Setup) -> Iterator[_Trial]:
    if index < 0 or any(one.slides for one in _owned(setup.posture, index)):
        return
    slid = _slid(setup.posture, index)
    for dofs in _written_groups(setup):
        yield _Trial(way, index, "slides", _freed(slid, dofs), dofs)


def _owned(posture: Posture, index: int) -> list[Contact | Link]:
    everything: list[Contact | Link] = [*posture.contacts, *posture.links]
    return [one for one in everything if one.index == index]


def _slid(posture: Posture, index: int) -> Posture:
    return replace(
        posture,
        contacts=tuple(replace(c, slides=c.slides or c.index == index) for c in posture.contacts),
        links=tuple(replace(n, slides=n.slides or n.index == index) for n in posture.links),
    )


def _freed(posture: Posture, dofs: tuple[int, ...]) -> Posture:
    exact, stiffness = posture.exact.copy(), posture.stiffness.copy()
    exact[list(dofs)] = False
    if posture.loose is not None:
        stiffness[list(dofs)] = posture.loose[list(dofs), None]
    return replace(posture, exact=exact, stiffness=stiffness)


def _written_groups(setup: Setup) -> list[tuple[int, ...]]:
    """Written angles, both sides of one together; what leads the movement comes last."""
    groups: dict[tuple[str, str], list[int]] = {}
    for dof in np.flatnonzero(setup.written & setup.posture.gives.any(axis=1)).tolist():
        _, joint, axis = DOFS[dof]
        groups.setdefault((joint, axis), []).append(dof)
    leads = DOFS[setup.lead][1:] if setup.lead is not None else None
    return [tuple(groups[name]) for name in sorted(groups, key=lambda name: name == leads)]


def _told(setup: Setup, trial: _Trial, answer: Settled, stature: float) -> WayOut | None:
    if trial.kind == "height":
        number = next(n for n, c in enumerate(setup.posture.contacts) if c.index == trial.index)
        height = float(answer.offsets[number]) * stature
        return WayOut(f"it fits at a height of {height:.2f} m", "height", round(height, 4))
    freed = _freed_angle(setup, trial, answer) if trial.dofs else None
    if trial.dofs and freed is None:
        return None
    far = _distance_slid(trial, answer) * stature if trial.kind == "slides" else 0.0
    if far > FARTHEST_SLIDE_M:
        return None
    if freed is None:
        words = f"it fits if it slides by {far * 100:.0f} cm: write 'slides: true'"
        return WayOut(words, "slides", round(far, 4))
    at, where = freed
    if trial.kind == "slides":
        words = f"it fits if it slides by {far * 100:.0f} cm with {where}: write both"
        return WayOut(words, "slides", round(far, 4))
    return WayOut(f"it fits with {where}: write that, or leave it out", "free", round(at, 1))


def _freed_angle(setup: Setup, trial: _Trial, answer: Settled) -> tuple[float, str] | None:
    """What the freed angle is where it is farthest from what was written, and that in words."""
    degrees = np.degrees(answer.angles[list(trial.dofs)] - setup.posture.angles[list(trial.dofs)])
    dof, phase = np.unravel_index(int(np.argmax(np.abs(degrees))), degrees.shape)
    if abs(degrees[dof, phase]) > MOST_FREED_DEG:
        return None
    at = float(np.degrees(answer.angles[trial.dofs[dof], phase]))
    return at, f"{angle_name(trial.dofs[dof])} at {at:.0f}° {phase_name(int(phase))}"


def _distance_slid(trial: _Trial, answer: Settled) -> float:
    """How far the contact slides from where it starts, of stature."""
    pose = forward(answer.angles, np.repeat(trial.posture.base[:, :, None], PHASES, axis=2))
    far = 0.0
    for contact in trial.posture.contacts:
        if contact.index == trial.index:
            place = _place(pose, contact.body_point)
            far = max(far, float(np.linalg.norm(place - place[:, :1], axis=0).max()))
    for link in trial.posture.links:
        if link.index == trial.index:
            away = _place(pose, link.point) - _place(pose, link.on)
            inside = np.einsum("ijb,ib->jb", pose.turn[link.on.segment], away)
            far = max(far, float(np.linalg.norm(inside - inside[:, :1], axis=0).max()))
    return far


def _place(pose: Pose, point: BodyPoint) -> Array:
    return pose.point(point.segment, np.array(point.core))
