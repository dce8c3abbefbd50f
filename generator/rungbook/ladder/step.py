"""A step between two exercises, measured on every axis of demand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AxisStep:
    """One axis of a step; `size` is in steps, 1 being exactly what one step may be.

    `change` is 1 where the axis rises by more than a little, -1 where it falls by more than a
    little. On the axis of demand `works` is the action that counts and `prepared` what the way to
    the easier exercise has prepared, N·m, from which the step is counted.
    """

    from_value: float
    to_value: float
    limit: float
    size: float
    change: int = 0
    works: str | None = None
    prepared: float | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """A step from one exercise to a harder one; its size is its worst axis."""

    from_id: str
    to_id: str
    axes: Mapping[str, AxisStep]
    size: float
    missing: int
    worst: str  # the axis that gives the size
    risen: tuple[str, ...] = ()  # groups that rise together: load, motion, position, dose
    elsewhere: str | None = None  # the joint or hand of the largest rise elsewhere
    rises_unlimited: bool = False  # whether an axis rises that is switched off
