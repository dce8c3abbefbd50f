"""Weights, bands, pushes, machines, cables and pulleys as forces on points of the body."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import JOINT_LIMB, Side
from rungbook.body.points import BodyPoint, body_point, point_names, singular
from rungbook.body.statics import GRAVITY
from rungbook.load.result import PHASES, Fault
from rungbook.load.surfaces import point_sides
from rungbook.model.acting import Assistance, Cable, Machine, Resistance
from rungbook.model.exercise import Exercise
from rungbook.model.movement import split_side

Array = NDArray[np.float64]
DIRECTIONS: dict[str, tuple[float, float, float]] = {
    "up": (0, 0, 1), "down": (0, 0, -1), "forward": (1, 0, 0), "backward": (-1, 0, 0),
}  # fmt: skip
Kind = Literal["weight", "band", "push", "assistance"]


@dataclass(frozen=True)
class OuterForce:
    """A force of known size (11,) N on one body point, along a direction in the room.

    `toward` instead of a direction: another body point, which is pulled back as hard; `mutual`
    where that is told by a force of its own. `anchor`: the place in the room that a cable comes
    from, of stature from under the pelvis at the start. `borne`: what pushes back bears weight.
    """

    kind: Kind
    at: str
    label: str
    point: BodyPoint
    size: Array
    direction: tuple[float, float, float] | None
    toward: BodyPoint | None = None
    mutual: bool = False
    anchor: tuple[float, float, float] | None = None
    borne: bool = False


def where_at(
    exercise: Exercise, at: str, path: tuple[str | int, ...], faults: list[Fault]
) -> list[tuple[str, Side]]:
    """The body point that is named, on each side it is meant on; a fault where there is none."""
    sides = point_sides(at, exercise.sides == "both")
    if sides is None:
        known = ", ".join(point_names())
        faults.append(
            Fault("wrong-value", f"there is no body point {at!r}; choose one of {known}", path)
        )
        return []
    return [(sides[0], side) for side in sides[1]]


def default_point(exercise: Exercise) -> str:
    """Where a load hangs that says nothing: the hand, or the ankle for work of the leg."""
    joint = exercise.works[0].joint if exercise.works else "shoulder"
    name = "ankle" if JOINT_LIMB.get(joint) == "leg" else "hand"
    return f"other-{name}" if exercise.works and exercise.works[0].other_side else name


def resisting(
    exercise: Exercise, number: int, part: Resistance, stature: float, faults: list[Fault]
) -> list[OuterForce]:
    """What one item of `resistance` does; faults are added to those given."""
    if part.machine is not None:
        return _machine(exercise, number, part, part.machine, faults)
    if part.cable is not None:
        return _cable(exercise, number, part, part.cable, stature, faults)
    at = part.at or default_point(exercise)
    where = where_at(exercise, at, ("resistance", number, "at"), faults)
    spread = len(where) if singular(split_side(at)[0])[1] else 1
    found: list[OuterForce] = []
    phase = np.arange(PHASES) / (PHASES - 1)
    for name, side in where:
        point = body_point(name, side)
        if part.weight is not None:
            size = np.full(PHASES, part.weight * GRAVITY / spread)
            held = point
            if part.off_axis is not None:  # hands hang palms forward: the thumb points outward
                x, y, z = point.local
                outward = -1.0 if side == "right" else 1.0
                held = replace(point, local=(x, y + outward * part.off_axis / stature, z))
            found.append(OuterForce("weight", at, f"{part.weight:g} kg", held, size, (0, 0, -1)))
        if part.band is not None:
            tension = part.band.start + (part.band.end - part.band.start) * phase
            if not tension.any():
                message = "the band has no tension at either end: write what a balance shows, in N"
                faults.append(Fault("works-unloaded", message, ("resistance", number, "band")))
            label = f"{part.band.start:.0f} to {part.band.end:.0f} N"
            found += _pulled(exercise, "band", at, label, point, tension / spread, part.pulls,
                             ("resistance", number, "pulls"), faults)  # fmt: skip
        if part.push is not None:
            size = np.full(PHASES, part.push / spread)
            found += _pulled(exercise, "push", at, f"{part.push:.0f} N", point, size, part.pulls,
                             ("resistance", number, "pulls"), faults)  # fmt: skip
    return [_at_phases(force, part.during) for force in found]


def _machine(
    exercise: Exercise, number: int, part: Resistance, machine: Machine, faults: list[Fault]
) -> list[OuterForce]:
    """A plate that pushes back, toward the body unless written otherwise."""
    where = where_at(exercise, machine.at, ("resistance", number, "machine", "at"), faults)
    found: list[OuterForce] = []
    for name, side in where:
        size = np.full(PHASES, machine.push / len(where))
        found += _pulled(exercise, "push", machine.at, f"{machine.push:.0f} N",
                         body_point(name, side), size, part.pulls or "backward",
                         ("resistance", number, "pulls"), faults)  # fmt: skip
    return [_at_phases(replace(force, borne=True), part.during) for force in found]


def _cable(
    exercise: Exercise,
    number: int,
    part: Resistance,
    cable: Cable,
    stature: float,
    faults: list[Fault],
) -> list[OuterForce]:
    where = where_at(exercise, cable.at, ("resistance", number, "cable", "at"), faults)
    height, away = cable.from_.height / stature, cable.from_.distance / stature
    found: list[OuterForce] = []
    for name, side in where:
        direction = direction_of((part.pulls or "forward").strip(), side)
        if direction is None or direction[2] != 0:
            message = "say on which side the cable comes from: forward, backward, inward or outward"
            faults.append(Fault("wrong-value", message, ("resistance", number, "pulls")))
            return []
        anchor = (direction[0] * away, direction[1] * away, height)
        size = np.full(PHASES, cable.weight * GRAVITY / len(where))
        found.append(OuterForce("band", cable.at, f"{cable.weight:g} kg", body_point(name, side),
                                size, None, anchor=anchor))  # fmt: skip
    return [_at_phases(force, part.during) for force in found]


def _at_phases(force: OuterForce, during: str | None) -> OuterForce:
    if during not in ("start", "end"):
        return force
    mask = np.zeros(PHASES)
    mask[0 if during == "start" else -1] = 1.0
    return replace(force, size=force.size * mask)


def pulleys(
    exercise: Exercise,
    number: int,
    assist: Assistance,
    where: list[tuple[str, Side]],
    faults: list[Fault],
) -> list[OuterForce]:
    """Help by a counterweight or a known force."""
    newtons = assist.force if assist.force is not None else (assist.weight or 0.0) * GRAVITY
    label = f"{assist.weight:g} kg" if assist.weight is not None else f"{newtons:.0f} N"
    spread = len(where) if singular(split_side(assist.at)[0])[1] else 1
    found: list[OuterForce] = []
    for name, side in where:
        size = np.full(PHASES, newtons / spread)
        found += _pulled(exercise, "assistance", assist.at, label, body_point(name, side), size,
                         assist.pulls or "up", ("assist", number, "pulls"), faults)  # fmt: skip
    return [_at_phases(force, assist.during) for force in found]


def _pulled(
    exercise: Exercise,
    kind: Kind,
    at: str,
    label: str,
    point: BodyPoint,
    size: Array,
    pulls: str | None,
    path: tuple[str | int, ...],
    faults: list[Fault],
) -> list[OuterForce]:
    words = (pulls or "").strip()
    if words.startswith("toward "):
        target = point_sides(words.removeprefix("toward ").strip(), False)
        if target is not None:
            name, sides = target
            side: Side = sides[0]
            if exercise.sides == "both" and point.side == "mid" and side != "mid":
                halves = (body_point(name, "right"), body_point(name, "left"))
                return [OuterForce(kind, at, label, point, size / 2, None, half) for half in halves]
            if exercise.sides == "both" and side != "mid":
                flipped: Side = "left" if side == "right" else "right"
                side = (
                    point.side if side == "right" else (flipped if point.side == "left" else side)
                )
            toward = body_point(name, side)
            # One band between both knees pulls at each of them, and is no two bands.
            apart = toward.name == point.name and toward.side != point.side
            mutual = exercise.sides == "both" and apart and not singular(split_side(at)[0])[1]
            return [OuterForce(kind, at, label, point, size, None, toward, mutual)]
    direction = direction_of(words, point.side)
    if direction is None:
        message = (
            f"say where the {kind} pulls: up, down, forward, backward, inward, outward, "
            f"or toward a body point{f' ({words!r} is none of them)' if words else ''}"
        )
        faults.append(Fault("wrong-value", message, path))
        return []
    return [OuterForce(kind, at, label, point, size, direction)]


def direction_of(word: str, side: Side) -> tuple[float, float, float] | None:
    """A direction word as a unit vector in the room; inward is to the left from the right side."""
    inward = -1.0 if side == "left" else 1.0
    if word == "inward":
        return (0.0, inward, 0.0)
    if word == "outward":
        return (0.0, -inward, 0.0)
    return DIRECTIONS.get(word)
