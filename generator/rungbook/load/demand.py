"""From moment curves to demand: peak, where it lies, how the muscles work, how much in sum."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import DOF, JOINT_DOFS
from rungbook.load.dose import Tempo, impulse, mean
from rungbook.load.result import Demand
from rungbook.model.movement import MIDLINE_JOINTS, Action

Array = NDArray[np.float64]
STILL_DEG = 0.5  # a phase that turns the joint by less is held
QUIET_NM = 1e-6  # a smaller moment is what rounding leaves
Contraction = Mapping[Literal["concentric", "eccentric", "held"], float]


def row_of(action: Action) -> int:
    """The row of the moment arrays an action means; the working side is the right."""
    side = "mid" if action.joint in MIDLINE_JOINTS else ("left" if action.other_side else "right")
    return JOINT_DOFS.index(DOF[side, action.joint, action.axis])


def demand(
    action: Action,
    curves: Mapping[str, Array],
    angle_deg: Mapping[str, Array],
    timing: Tempo,
    mass_kg: float,
    capacity_nm: float | None,
) -> Demand:
    """The demand of one action.

    Args:
        curves: by way (`both`, or `up` and `down`), (11,) N·m from start to end, positive
            where the action's muscles must act; angle_deg: the axis's angle on each way,
            toward the action.
    """
    # A fully carried limb leaves rounding behind, in which no muscle acts.
    curves = {way: np.where(np.abs(one) < QUIET_NM, 0.0, one) for way, one in curves.items()}
    worst = max(curves, key=lambda way: float(curves[way].max()))
    curve = curves[worst]
    phase = int(np.argmax(curve))
    peak = max(0.0, float(curve[phase]))
    there, back = ways_of(curves, timing)
    return Demand(
        works=action,
        peak_nm=peak,
        peak_at_deg=float(angle_deg[worst][phase]),
        peak_phase=phase,
        per_mass_nm_kg=peak / mass_kg,
        mean_nm=mean(np.maximum(curve, 0.0)),
        impulse_per_rep_nms=impulse(timing, there, back),
        contraction=contraction(curves, angle_deg, timing),
        angle_deg=angle_deg[worst],
        curve_nm=curve,
        per_way=dict(curves) if len(curves) > 1 else {},
        capacity_share=peak / capacity_nm if capacity_nm else None,
    )


def ways_of(curves: Mapping[str, Array], timing: Tempo) -> tuple[Array, Array]:
    """The curves of the way there and of the way back, both in order from start to end."""
    if "both" in curves:
        return curves["both"], curves["both"]
    there, back = ("up", "down") if timing.up_first else ("down", "up")
    return curves[there], curves[back]


def contraction(
    curves: Mapping[str, Array], angle_deg: Mapping[str, Array], timing: Tempo
) -> Contraction:
    """Shares of the repetition's time in which the acting muscles shorten, lengthen or hold."""
    total = timing.repetition_s
    if total <= 0:
        return {"concentric": 0.0, "eccentric": 0.0, "held": 0.0}
    there, back = ways_of(curves, timing)
    angle_there, angle_back = ways_of(angle_deg, timing)
    rising, falling, still = _acting(there, angle_there)
    again = (rising, falling, still) if back is there else _acting(back, angle_back)
    one, other = timing.there_s / total, timing.back_s / total
    pause, hold = float(there[timing.pause_phase] > 0), float(there[-1] > 0)
    return {
        "concentric": one * rising + other * again[1],  # on the way back it falls where it rises
        "eccentric": one * falling + other * again[0],
        "held": one * still
        + other * again[2]
        + (timing.pause_s * pause + timing.hold_s * hold) / total,
    }


def _acting(curve: Array, angle: Array) -> tuple[float, float, float]:
    """Shares of a way in which the muscles act while the angle rises, falls and stays."""
    signs, changes = np.sign(curve).tolist(), np.diff(angle).tolist()
    rising = falling = still = 0.0
    for before, after, change in zip(signs, signs[1:], changes, strict=False):
        acts = max(0.0, 0.5 * (before + after)) / len(changes)
        if change > STILL_DEG / 10:
            rising += acts
        elif change < -STILL_DEG / 10:
            falling += acts
        else:
            still += acts
    return rising, falling, still
