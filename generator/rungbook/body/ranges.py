"""The usual range of motion of joints, read from usual-range.yml."""

from __future__ import annotations

from rungbook.body.segments import data


def usual_range(joint: str, movement: str) -> float | None:
    """Degrees toward a movement that a healthy adult usually has; None where none is known."""
    value = data("usual-range.yml").get(joint, {}).get(movement)
    return None if value is None else float(value)


def knee_straight_limit() -> tuple[float, float]:
    """The limit of hip flexion with a straight knee, and below what flexion a knee is straight."""
    table = data("usual-range.yml")
    return float(table["hip flexion, knee straight"]), float(table["knee straight below"])
