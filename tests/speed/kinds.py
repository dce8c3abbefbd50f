"""Families of exercises to fill a library with: plain trade, our own invention.

A family is a row of rungs, each a little harder than the one before. A third of all families
stand on contacts. Arcs, heights and weights are the round numbers that people write, so that
some postures return in many families, as they do in a large library of many hands.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Kind:
    """What the exercises of a family share.

    `arc`: the first layer's movement from, to, in degrees; each layer goes `further` degrees on.
    `extra`: more lines of front matter; `$height` (m) and `$weight` (kg) change by family or rung.
    """

    name: str
    area: str
    sides: str
    position: str
    works: str
    joint: str
    movement: str
    arc: tuple[float, float]
    further: float = 0.0
    extra: tuple[str, ...] = ()
    equipment: str = "mat"


def _weight(at: str) -> tuple[str, ...]:
    return (f"resistance: [{{weight: $weight kg, at: {at}}}]",)


BAR = (
    "contacts:",
    "  - {at: forefeet, surface: floor}",
    "  - {at: hands, surface: bar, height: $height m}",
)
BACK = (
    "contacts:",
    "  - {at: upper-back, surface: floor}",
    "  - {at: feet, surface: floor}",
)
TOES = ("posture: {knee: {flexion: 0}}", "contacts:", "  - {at: forefeet, surface: floor}")

# fmt: off
FREE = (
    Kind("Leg lift", "hip", "one", "supine", "hip flexion", "hip", "flexion", (0, 30), extra=_weight("ankle"), equipment="cuff"),
    Kind("Side leg lift", "hip", "one", "side-lying", "hip abduction", "hip", "abduction", (0, 20), extra=_weight("ankle"), equipment="cuff"),
    Kind("Knee straightening", "knee", "one", "sitting", "knee extension", "knee", "flexion", (90, 30), extra=_weight("ankle"), equipment="cuff"),
    Kind("Arm raise", "shoulder", "one", "sitting", "shoulder flexion", "shoulder", "flexion", (0, 60), extra=_weight("hand"), equipment="dumbbell"),
    Kind("Arm raise to the side", "shoulder", "one", "sitting", "shoulder abduction", "shoulder", "abduction", (0, 50), extra=_weight("hand"), equipment="dumbbell"),
    Kind("Elbow curl", "arm", "one", "sitting", "elbow flexion", "elbow", "flexion", (10, 80), extra=_weight("hand"), equipment="dumbbell"),
)
HELD = (
    Kind("Half squat", "knee", "both", "standing", "knee extension", "knee", "flexion", (0, 40), 6, _weight("hand"), "dumbbell"),
    Kind("Press at a bar", "arm", "both", "plank", "elbow extension", "elbow", "flexion", (0, 40), 6, BAR, "bar"),
    Kind("Heel raise", "calf", "both", "standing", "ankle plantarflexion", "ankle", "plantarflexion", (0, 8), 2, (*TOES, *_weight("hand")), "dumbbell"),
    Kind("Pelvis lift", "hip", "both", "hook-lying", "hip extension", "hip", "extension", (-55, -30), 3, BACK),
    Kind("One-leg bend", "knee", "one", "single-leg-standing", "knee extension", "knee", "flexion", (0, 25), 3, _weight("hand"), "dumbbell"),
    Kind("All fours, leg back", "hip", "one", "quadruped", "hip extension", "hip", "extension", (-80, -40), 4, _weight("ankle"), "cuff"),
)
# fmt: on


def kind_of(family: int) -> Kind:
    """The kind of a family: every third stands on contacts."""
    kinds = HELD if family % 3 == 2 else FREE
    return kinds[family // 3 % len(kinds)] if kinds is HELD else kinds[(family - family // 3) % 6]
