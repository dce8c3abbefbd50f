"""How long the loads of a large library take, against the bare floor of the same kinematics.

Run it: python tests/speed_loads.py [exercises]. Prints seconds and ratios; judges nothing.
"""

from __future__ import annotations

import sys
import time
from typing import Any

import numpy as np

sys.path.insert(0, "tests")
from builders.exercises import exercise  # noqa: E402
from builders.poses import library_for  # noqa: E402

from rungbook.body.joints import DOFS  # noqa: E402
from rungbook.body.kinematics import forward  # noqa: E402
from rungbook.load.compute import compute_loads  # noqa: E402

OPEN: tuple[dict[str, Any], ...] = (
    {"sides": "one", "position": "supine", "works": "hip flexion", "joint": ("hip", "flexion")},
    {"sides": "one", "position": "side-lying", "works": "hip abduction", "joint": ("hip", "abduction")},
    {"sides": "one", "position": "sitting", "works": "knee extension", "joint": ("knee", "flexion")},
    {"sides": "one", "position": "sitting", "works": "shoulder flexion", "joint": ("shoulder", "flexion")},
)  # fmt: skip
STANDING: tuple[dict[str, Any], ...] = (
    {"position": "standing", "works": "knee extension", "joint": ("knee", "flexion")},
    {"position": "plank", "works": "elbow extension", "joint": ("elbow", "flexion")},
    {"sides": "one", "position": "single-leg-standing", "works": "knee extension", "joint": ("knee", "flexion")},
    {"sides": "one", "position": "quadruped", "works": "hip extension", "joint": ("hip", "flexion")},
    {"sides": "one", "position": "split-stance", "works": "knee extension", "joint": ("knee", "flexion")},
)  # fmt: skip


def some(kinds: tuple[dict[str, Any], ...], count: int, start: int) -> list[Any]:
    """Exercises with angles of their own, so that no two settle alike."""
    generator = np.random.default_rng(start)
    found = []
    for number in range(count):
        kind = dict(kinds[number % len(kinds)])
        joint, movement = kind.pop("joint")
        low, arc = generator.uniform(5, 20), generator.uniform(10, 45)
        arcs = [float(low), float(low + arc)]
        if kind["position"] == "quadruped":
            arcs = [80.0, float(80 - arc)]
        found.append(
            exercise(
                id=f"e{start + number}", movement=[{joint: {movement: arcs}}],
                dose={"sets": 3, "reps": 10, "up": "2 s", "down": "2 s"}, **kind,
            )  # fmt: skip
        )
    return found


def timed(exercises: list[Any]) -> float:
    began = time.perf_counter()
    compute_loads(exercises, library_for())
    return time.perf_counter() - began


def floor(count: int) -> float:
    """Forward kinematics alone of count × 11 postures, 2,112 at a time."""
    angles = np.random.default_rng(1).uniform(-1, 1, (len(DOFS), 2112))
    base = np.eye(3)[:, :, None]
    began = time.perf_counter()
    for _ in range(max(1, count * 11 // 2112)):
        forward(angles, base)
    return time.perf_counter() - began


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    timed(some(OPEN, 4, 0))
    standing = count // 3
    for name, kinds, number in (("open chains", OPEN, count - standing), ("on contacts", STANDING, standing)):
        exercises = some(kinds, number, 1)
        seconds, least = timed(exercises), floor(number)
        print(f"{number} {name} × 11 postures: {seconds:.1f} s, {seconds / least:.0f} times "
              f"the bare kinematics ({least:.2f} s)")  # fmt: skip


if __name__ == "__main__":
    main()
