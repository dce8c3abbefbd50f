"""How far moments would sway if people braced, or were made, a little otherwise than assumed.

Derivatives at the bounds that are active: of the price of shear, and of the strength of each kind
of joint axis beside the others, both sides and both directions together.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from rungbook.body.effort import BEYOND, levers
from rungbook.body.joints import DOFS, JOINT_DOFS, MIRROR
from rungbook.body.reactions import Problem, Reactions, responses
from rungbook.body.statics import GRAVITY, REPORTED_SEGMENT
from rungbook.load.corners import Corners
from rungbook.load.problems import Group, Stage
from rungbook.load.result import PHASES

Array = NDArray[np.float64]
Sways = dict[str, Array]  # by what would be otherwise, (11,) N·m over kg of body mass and stature
SHEAR_TWICE = float(np.log(2.0))  # the price of shear, halved and doubled
STRENGTH_BY = 0.3
_KIND = [" ".join(DOFS[dof][1:]) for dof in JOINT_DOFS]
_MIDDLE = np.array([DOFS[dof][0] == "mid" for dof in JOINT_DOFS])
_OTHER = [JOINT_DOFS.index(MIRROR[dof]) for dof in JOINT_DOFS]


def sways_of(
    group: Group,
    stage: Stage,
    problem: Problem,
    reactions: Reactions,
    frame: Array,
    axes: Array,
    targets: Mapping[int, tuple[int, ...]],
) -> dict[tuple[int, int], Sways]:
    """The sways of some moments, by way and row of the joint axis.

    Args:
        frame: of the group's corners; axes: (34, 3, P) that moments are told about; targets: rows
            by way.
    """
    names, misses = _misses(group, problem, reactions)
    moved = responses(problem, reactions, misses)  # (P, C, 3, K)
    found: dict[tuple[int, int], Sways] = {}
    for place, way in enumerate(group.ways):
        rows = slice(place * PHASES, (place + 1) * PHASES)
        columns = slice(way * PHASES, (way + 1) * PHASES)
        sizes = moved[rows].transpose(1, 2, 3, 0)  # (C, 3, K, 11)
        first, second, third = (sizes[:, d, None] * frame[:, d, :, None, rows] for d in range(3))
        forces = first + second + third  # (C, 3, K, 11)
        for row in targets.get(way, ()):
            own = _OTHER[row] if group.half and DOFS[JOINT_DOFS[row]][0] == "left" else row
            arms = _arms(group, stage, place, own, axes[:, :, columns], columns)
            change = np.einsum("cip,cikp->kp", arms, forces) * GRAVITY
            found[way, row] = dict(zip(names, change, strict=True))
    return found


def _arms(group: Group, stage: Stage, place: int, row: int, axes: Array, columns: slice) -> Array:
    """Moment about one axis of a unit force at each corner, (C, 3, 11)."""
    corners: Corners = stage.corners
    index = np.maximum(group.corners[place], 0)
    beyond = BEYOND[REPORTED_SEGMENT[row]][corners.segment[index]] * (group.corners[place] >= 0)
    if group.half and _MIDDLE[row]:
        beyond = beyond * np.where(corners.partner[index] == index, 1.0, 2.0)
    where = corners.place[index]  # (C, 3, 11)
    arms = levers(
        axes[row][None], stage.origin[row][None, :, columns],
        np.repeat(beyond[None, :, None], PHASES, axis=-1), where,
    )  # fmt: skip
    result: Array = arms[0]
    return result


def _misses(group: Group, problem: Problem, reactions: Reactions) -> tuple[list[str], Array]:
    """What each change would make wrench and effort miss, (N, W+E, K), and the changes' names."""
    count, size = problem.load.shape
    kinds = list(dict.fromkeys(_KIND[row] for row in group.rows))
    misses = np.zeros((count, size, 1 + len(kinds)))
    shear = problem.wrenches + len(group.rows)
    misses[:, shear:, 0] = SHEAR_TWICE * reactions.effort[:, len(group.rows) :]
    for number, row in enumerate(group.rows):
        change = 1 + kinds.index(_KIND[row])
        misses[:, problem.wrenches + number, change] = (
            -2.0 * STRENGTH_BY * reactions.effort[:, number]
        )
    return ["bracing", *(f"strength of {kind}" for kind in kinds)], misses
