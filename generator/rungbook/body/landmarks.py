"""Named points of the body, as a drawing joins them."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from rungbook.body.joints import SEGMENT
from rungbook.body.kinematics import Pose

Array = NDArray[np.float64]


def skeleton_points(pose: Pose) -> dict[str, Array]:
    """Named points of the body, (B, 3) each, of stature; `working` is the right side."""

    def point(segment: str, *local: float) -> Array:
        return np.ascontiguousarray(pose.point(SEGMENT[segment], np.array(local)).T)

    points = {
        "pelvis": point("pelvis", 0, 0, 0),
        "lumbar": point("abdomen", 0, 0, 0),
        "chest": point("thorax", 0, 0, 0.095),
        "neck": point("head", 0, 0, 0),
        "head": point("head", 0, 0, 0.075),
    }
    for side, word in (("right", "working"), ("left", "other")):
        points |= {
            f"{word} hip": point(f"thigh_{side}", 0, 0, 0),
            f"{word} knee": point(f"shank_{side}", 0, 0, 0),
            f"{word} ankle": point(f"foot_{side}", 0, 0, 0),
            f"{word} heel": point(f"foot_{side}", -0.038, 0, -0.039),
            f"{word} ball": point(f"toes_{side}", 0, 0, 0),
            f"{word} toe": point(f"toes_{side}", 0.0426, 0, 0),
            f"{word} shoulder": point(f"upper_arm_{side}", 0, 0, 0),
            f"{word} elbow": point(f"forearm_{side}", 0, 0, 0),
            f"{word} wrist": point(f"hand_{side}", 0, 0, 0),
            f"{word} fingertip": point(f"hand_{side}", 0, 0, -0.108),
        }
    return points
