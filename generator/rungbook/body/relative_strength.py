"""How strong the muscles of each joint axis are beside one another: relative-strength.yml."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOFS, JOINT_DOFS
from rungbook.body.segments import data
from rungbook.model.movement import MOVEMENTS

REFERENCE_KG_M = 70.0 * 1.70  # of the person whom the table describes


@cache
def relative_strengths() -> NDArray[np.float64]:
    """(joint axes, 2): N·m per kg of body mass and m of stature, about the axis and against it."""
    table = data("relative-strength.yml")
    found = np.zeros((len(JOINT_DOFS), 2))
    for row, dof in enumerate(JOINT_DOFS):
        _, joint, axis = DOFS[dof]
        for movement, (of_axis, sign) in MOVEMENTS[joint].items():
            if of_axis == axis:
                found[row, 0 if sign > 0 else 1] = table[joint][movement]
        if not found[row, 1]:  # side-bend and rotation of the spine are as strong to either side
            found[row, 1] = found[row, 0]
    return found / REFERENCE_KG_M
