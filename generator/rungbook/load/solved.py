"""Which joint axes are solved: those of limbs that no surface carries."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import JOINT_DOFS, LIMB_OF

Array = NDArray[np.float64]


@cache
def solved_rows(free: frozenset[tuple[str, str]]) -> Array:
    """1 for joint axes (34,) of free limbs, 0 where a surface carries what hangs there."""
    return np.array([LIMB_OF[dof] in free for dof in JOINT_DOFS], dtype=float)
