"""A step between two exercises, measured on every axis of demand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class AxisStep:
    """One axis of a step; `size` is in steps allowed, 1 being exactly the limit."""

    from_value: float
    to_value: float
    limit: float
    size: float


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
