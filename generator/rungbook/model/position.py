"""The positions an exercise may start in: their names only.

How each lies to gravity, its default angles, contacts and stability are data of the body layer.
"""

from __future__ import annotations

POSITIONS: tuple[str, ...] = (
    "standing",
    "split-stance",
    "single-leg-standing",
    "bent-forward",
    "sitting",
    "reclined",
    "long-sitting",
    "tall-kneeling",
    "half-kneeling",
    "quadruped",
    "plank",
    "side-plank",
    "supine",
    "hook-lying",
    "prone",
    "prone-on-elbows",
    "side-lying",
    "side-lying-under",
)
