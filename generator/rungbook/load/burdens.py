"""What a body carries: weights whose place decides where it stands, and where it presses.

Only what pulls straight down or lifts straight up is known before the body has its posture:
weights held, worn or on a bar, and a share of the trunk that is lifted.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Burden
from rungbook.body.points import BodyPoint
from rungbook.body.statics import GRAVITY
from rungbook.load.forces import Forces
from rungbook.load.posture import Setup
from rungbook.load.pulls import OuterForce
from rungbook.load.result import PHASES

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]


def burdened(setup: Setup, forces: Forces, mass_kg: float) -> Setup:
    """The setup of a person of that mass whose balance counts what the exercise has her carry."""
    if setup.carried:
        return setup
    weight = mass_kg * GRAVITY
    found = [_burden(one.point, _down(one) / weight) for one in forces.outer if _is_plumb(one)]
    found += [_burden(where, np.full(PHASES, -share)) for _, where, share in forces.body_share]
    if not found:
        return setup
    posture = setup.posture
    alike = posture.symmetric and _mirrored(found)
    return replace(setup, posture=replace(posture, burdens=tuple(found), symmetric=alike))


def _burden(point: BodyPoint, shares: Array) -> Burden:
    return Burden(point.segment, point.local, point.side, tuple(shares.tolist()))


def _is_plumb(force: OuterForce) -> bool:
    return force.direction is not None and force.direction[2] != 0


def _down(force: OuterForce) -> Array:
    assert force.direction is not None
    result: Array = -force.direction[2] * force.size
    return result


def _mirrored(burdens: list[Burden]) -> bool:
    """Whether every sided burden has its mirror image."""
    sides: dict[str, list[tuple[object, ...]]] = {"right": [], "left": []}
    for one in burdens:
        if one.side != "mid":
            x, y, z = one.local
            sides[one.side].append((x, abs(y), z, one.over_body_weight))
    return sorted(map(repr, sides["right"])) == sorted(map(repr, sides["left"]))


def pressure_moment(way: WayLoad, table: str, mass_kg: float) -> tuple[Array, Array]:
    """What presses on the base, over body weight: weights times their places (2, 11), of
    stature, and their sum (11,)."""
    moment, total = way.centre[table][:2].copy(), np.ones(PHASES)
    plumb = [(place, down[:, 2]) for force, place, down in way.outer if _is_plumb(force)]
    pulls = [(place, up / (mass_kg * GRAVITY)) for place, up in plumb]
    pulls += [
        (place, per_kg[table][2] / GRAVITY)
        for _, point, place, per_kg in way.assistance
        if point.limb == "trunk"
    ]
    for place, up in pulls:
        moment -= up * place[:, :2].T
        total -= up
    return moment, total
