"""Published curves of what healthy people's muscles can do at a joint's angle.

Read from strength-curves.tsv; hip, knee and ankle in the sagittal plane, two sexes, three groups
of age. What holds between the groups, from 25 to 55 years, is taken on the straight line between
their curves; common practice, no source.
"""

from __future__ import annotations

import importlib.resources
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.statics import GRAVITY

Array = NDArray[np.float64]

SOURCE = "Anderson, Madigan, Nussbaum 2007"
FITTED = 0.5  # of the curve's top: at the ends of the arc the fit runs to nothing, people do not
YOUNGEST = 18.0  # years: there are no curves of children
GROUPS: Mapping[str, str] = {
    "18-25": "18 to 25", "55-65": "55 to 65", "over 65": "over 65",
}  # fmt: skip
_YOUNG_UNTIL, _OLDER_FROM, _OLD_FROM = 25.0, 55.0, 65.0


@dataclass(frozen=True, slots=True)
class Curve:
    """T(angle) = top · m · g · h · cos(width · (angle - best)), N·m; angles in radians.

    Angles are about the joint axis: positive toward its positive movement.
    """

    top: float
    width: float
    best: float

    def over(self, angle_deg: Array) -> Array:
        """T over m·g·h at angles; nan outside of what was fitted."""
        away = self.width * (np.radians(angle_deg) - self.best)
        cosine = np.cos(away)
        fitted = (np.abs(away) < math.pi / 2) & (cosine >= FITTED)
        found: Array = np.where(fitted, self.top * cosine, np.nan)
        return found


@cache
def strength_curves() -> Mapping[tuple[str, str, str], Curve]:
    """(action, body, group of age) -> curve: `("knee extension", "female", "over 65")`."""
    place = importlib.resources.files("rungbook.body.tables").joinpath("strength-curves.tsv")
    lines = [one for one in place.read_text("utf-8").splitlines() if not one.startswith("#")]
    found = {}
    for line in lines[1:]:
        joint, movement, body, age, *numbers = line.split("\t")
        found[f"{joint} {movement}", body, age] = Curve(*map(float, numbers))
    return found


@dataclass(frozen=True, slots=True)
class Expected:
    """What a person of an age can be expected to do: one group's curve, or between two.

    `share` of the second one.
    """

    first: Curve
    second: Curve
    share: float

    def over(self, angle_deg: Array, mass_kg: float, stature_m: float) -> Array:
        """Greatest isometric moment, N·m, at angles; nan where either curve was not fitted."""
        one, other = self.first.over(angle_deg), self.second.over(angle_deg)
        found: Array = ((1 - self.share) * one + self.share * other) * mass_kg * GRAVITY * stature_m
        return found

    def at(self, angle_deg: float, mass_kg: float, stature_m: float) -> float | None:
        """Greatest isometric moment at one angle, N·m; None where no curve was fitted."""
        found = float(self.over(np.array(angle_deg), mass_kg, stature_m))
        return None if math.isnan(found) else found


def expected_strength(action: str, body: str, age: float) -> Expected | None:
    """The curve of an action for a body (`female`, `male`) and an age in years; None without one.

    `action` without a side.
    """
    curves = strength_curves()
    if (action, body, "18-25") not in curves or age < YOUNGEST:
        return None
    first, second, share = groups_of(age)
    return Expected(curves[action, body, first], curves[action, body, second], share)


def groups_of(age: float) -> tuple[str, str, float]:
    """The two groups an age lies between, and the share of the second."""
    if age <= _YOUNG_UNTIL:
        return "18-25", "18-25", 0.0
    if age < _OLDER_FROM:
        return "18-25", "55-65", (age - _YOUNG_UNTIL) / (_OLDER_FROM - _YOUNG_UNTIL)
    return ("55-65", "55-65", 0.0) if age <= _OLD_FROM else ("over 65", "over 65", 0.0)


def age_in_words(age: float) -> str:
    """`18 to 25`, `over 65`, or between two groups `40`."""
    first, second, _ = groups_of(age)
    return GROUPS[first] if first == second else f"{age:g}"


def strongest_nm(action: str, mass_kg: float, stature_m: float) -> float | None:
    """The top of the curve of men of 18 to 25 years, N·m; None without one."""
    curve = strength_curves().get((action, "male", "18-25"))
    return None if curve is None else curve.top * mass_kg * GRAVITY * stature_m
