"""How long the loads of a large library take, against the bare floor of the same kinematics.

Run it: python -m tests.speed.loads [exercises]. Prints seconds and ratios; judges nothing.
"""

from __future__ import annotations

import sys
import time

import numpy as np

sys.path.insert(0, "tests")
from builders.exercises import exercise
from builders.poses import library_for
from rungbook.body.joints import DOFS
from rungbook.body.kinematics import forward
from rungbook.load.compute import compute_loads
from rungbook.model.exercise import Exercise

Kind = tuple[str, str, str, str, str]  # sides, position, works, joint and movement that lead
OPEN: tuple[Kind, ...] = (
    ("one", "supine", "hip flexion", "hip", "flexion"),
    ("one", "side-lying", "hip abduction", "hip", "abduction"),
    ("one", "sitting", "knee extension", "knee", "flexion"),
    ("one", "sitting", "shoulder flexion", "shoulder", "flexion"),
)
STANDING: tuple[Kind, ...] = (
    ("both", "standing", "knee extension", "knee", "flexion"),
    ("both", "plank", "elbow extension", "elbow", "flexion"),
    ("one", "single-leg-standing", "knee extension", "knee", "flexion"),
    ("one", "quadruped", "hip extension", "hip", "extension"),
    ("one", "split-stance", "knee extension", "knee", "flexion"),
)
DOSE = {"sets": 3, "reps": 10, "up": "2 s", "down": "2 s"}


def some(kinds: tuple[Kind, ...], count: int, start: int) -> list[Exercise]:
    """Exercises with angles of their own, so that no two settle alike."""
    generator = np.random.default_rng(start)
    found = []
    for number in range(count):
        sides, position, works, joint, movement = kinds[number % len(kinds)]
        low = -80.0 if position == "quadruped" else float(generator.uniform(5, 20))
        arc = [low, low + float(generator.uniform(10, 45))]
        found.append(
            exercise(
                id=f"e{start + number}",
                sides=sides,
                position=position,
                works=works,
                movement=[{joint: {movement: arc}}],
                dose=DOSE,
            )
        )
    return found


def timed(exercises: list[Exercise]) -> float:
    began = time.process_time()
    compute_loads(exercises, library_for())
    return time.process_time() - began


def floor(count: int) -> float:
    """Forward kinematics alone of count × 11 postures, 2,112 at a time."""
    angles = np.random.default_rng(1).uniform(-1, 1, (len(DOFS), 2112))
    base = np.eye(3)[:, :, None]
    began = time.process_time()
    passes = max(1, count * 11 // 2112)
    for _ in range(passes):
        forward(angles, base)
    return (time.process_time() - began) * count * 11 / 2112 / passes


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
    timed(some(OPEN, 4, 0))
    standing = count // 3
    parts = (("open chains", OPEN, count - standing), ("on contacts", STANDING, standing))
    for name, kinds, number in parts:
        seconds, least = timed(some(kinds, number, 1)), floor(number)
        ratio = seconds / least
        print(f"{number} {name} × 11 postures: {seconds:.1f} s of processor time, ", end="")
        print(f"{ratio:.0f} times the bare kinematics ({least:.2f} s)")


if __name__ == "__main__":
    main()
