"""What would make a posture reach its contacts: the few ways out, tried.

A contact that stays off its surface is let slide; each written angle is freed in turn; the
surface is moved. The first that works is named with its number.
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
FARTHEST_SLIDE_M = 0.30
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
    trials: list[_Trial] = []
    for way, (setup, answer) in enumerate(zip(setups, settled, strict=True)):
        for index in _off(setup.posture, answer, stature):
            trials += _trials(way, index, setup)
    trials = trials[:MOST_TRIED]
    if not trials:
        return list(setups)
    answers = settle([Wanted(trial.posture, (fit,)) for trial in trials])
    found: dict[int, dict[int, WayOut]] = {}
    for trial, (answer,) in zip(trials, answers, strict=True):
        known = found.setdefault(trial.way, {})
        if trial.index not in known and not _off(trial.posture, answer, stature):
            out = _told(setups[trial.way], trial, answer, settled[trial.way], stature)
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
    everything: list[Contact | Link] = [*posture.contacts, *posture.links]
    mine = [one for one in everything if one.index == index]
    if index >= 0 and not any(one.slides for one in mine):
        slid = replace(
            posture,
            contacts=tuple(
                replace(c, slides=c.slides or c.index == index) for c in posture.contacts
            ),
            links=tuple(replace(n, slides=n.slides or n.index == index) for n in posture.links),
        )
        yield _Trial(way, index, "slides", slid)
    for dofs in _written_groups(setup):
        exact, stiffness = posture.exact.copy(), posture.stiffness.copy()
        exact[list(dofs)] = False
        if posture.loose is not None:
            stiffness[list(dofs)] = posture.loose[list(dofs), None]
        yield _Trial(way, index, "free", replace(posture, exact=exact, stiffness=stiffness), dofs)
    if any(isinstance(one, Contact) and one.offset for one in mine):
        moved = tuple(
            replace(c, offset=None) if c.index == index and c.offset else c
            for c in posture.contacts
        )
        yield _Trial(way, index, "height", replace(posture, contacts=moved))


def _written_groups(setup: Setup) -> list[tuple[int, ...]]:
    """Written angles, both sides of one together."""
    groups: dict[tuple[str, str], list[int]] = {}
    for dof in np.flatnonzero(setup.written & setup.posture.gives.any(axis=1)).tolist():
        _, joint, axis = DOFS[dof]
        groups.setdefault((joint, axis), []).append(dof)
    return [tuple(group) for group in groups.values()]


def _told(
    setup: Setup, trial: _Trial, answer: Settled, before: Settled, stature: float
) -> WayOut | None:
    if trial.kind == "slides":
        far = _slid(trial, answer) * stature
        if far > FARTHEST_SLIDE_M:
            return None
        words = f"it fits if it slides by {far * 100:.0f} cm: write 'slides: true'"
        return WayOut(words, "slides", round(far, 4))
    if trial.kind == "height":
        number = next(n for n, c in enumerate(setup.posture.contacts) if c.index == trial.index)
        height = float(answer.offsets[number]) * stature
        return WayOut(f"it fits at a height of {height:.2f} m", "height", round(height, 4))
    degrees = np.degrees(answer.angles[list(trial.dofs)] - setup.posture.angles[list(trial.dofs)])
    dof, phase = np.unravel_index(int(np.argmax(np.abs(degrees))), degrees.shape)
    if abs(degrees[dof, phase]) > MOST_FREED_DEG:
        return None
    name = angle_name(trial.dofs[dof])
    at = float(np.degrees(answer.angles[trial.dofs[dof], phase]))
    words = (
        f"it fits with {name} at {at:.0f}° {phase_name(int(phase))}: write that, or leave it out"
    )
    return WayOut(words, "free", round(at, 1))


def _slid(trial: _Trial, answer: Settled) -> float:
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
