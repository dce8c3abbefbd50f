"""A demand as a share of what a person can be expected to do at that angle.

Healthy people of the same age, sex, mass and stature: an average, never this patient's strength.
The older people of the table are few and fit, so their numbers are high for frail patients. A
maximum measured on the patient scales the curve, and replaces it at the angle measured.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.relative_strength import relative_strengths
from rungbook.body.strength_curves import SOURCE, Expected, age_in_words, expected_strength
from rungbook.load.person import Person
from rungbook.load.result import Demand
from rungbook.load.scaling import JOINT_NAMES
from rungbook.model.movement import MOVEMENTS, Action

Array = NDArray[np.float64]

AGE_OF = {"18 to 25": 21.0, "55 to 65": 60.0, "over 65": 70.0}  # one of each group, years
USUAL_AGE = 21.0  # of whom no age is known: the first group, and the words say so
# Where the angle of a measured maximum is said in flexion, as dynamometers are set.
MEASURED_IN_FLEXION = frozenset({"hip extension", "knee extension", "elbow extension"})
NO_CURVE = "no published curve for these muscles"
NO_ANGLE = "no published curve at this angle"
NO_AGE = "no published curve for this age"
NO_BODY = "no published curve for this body table"


def strengths_by_age(demand: Demand, person: Person) -> list[tuple[str, StrengthShare | str]]:
    """The share, or why there is none, of people of each group of the table, youngest first."""
    return [(words, strength_of(demand, replace(person, age=age))) for words, age in AGE_OF.items()]


@dataclass(frozen=True, slots=True)
class Maximum:
    """A maximum measured on the patient, N·m, and the angle toward the action, if it is known."""

    nm: float
    at_deg: float | None = None


@dataclass(frozen=True, slots=True)
class StrengthShare:
    """The worst phase by share, with the angle toward the action there.

    `at_peak` is the share where the moment is greatest, None where no curve holds there; `whole`
    says whether a curve holds wherever the muscles act. `of` are the people, in words.
    """

    share: float
    at_deg: float
    at_peak: float | None
    whole: bool
    of: str
    measured: bool = False
    source: str = SOURCE

    @property
    def in_words(self) -> str:
        """`about 45 % of an average woman over 65`, and of how much of the movement."""
        some = "" if self.whole else ", where a curve is published"
        return f"about {100 * self.share:.0f} % of {self.of}{some}"


def strength_of(
    demand: Demand, person: Person, maximum: Maximum | None = None
) -> StrengthShare | str:
    """The share of strength that a demand takes, or why there is none."""
    curve = _curve_of(demand.works, person)
    if isinstance(curve, str):
        return curve
    if demand.basis == "measured":
        return "a published figure has no angle"
    factor = _factor(curve, demand.works, person, maximum)
    moments = np.maximum(demand.curve_nm, 0.0).tolist()
    shares: list[float | None] = []
    for moment, angle in zip(moments, demand.angle_deg.tolist(), strict=True):
        most = curve.at(demand.works.sign * angle, person.mass_kg, person.stature_m)
        shares.append(None if most is None else moment / (most * (factor or 1.0)))
    known = [share for share in shares if share is not None]
    if not known:
        return NO_ANGLE
    worst = shares.index(max(known))
    acts = [share for share, moment in zip(shares, moments, strict=True) if moment > 0]
    return StrengthShare(
        share=max(known),
        at_deg=float(demand.angle_deg[worst]),
        at_peak=shares[demand.peak_phase],
        whole=None not in acts,
        of=_people(person) if factor is None else "this patient's maximum",
        measured=factor is not None,
    )


def strengths_at(names: Sequence[str], angles_deg: Array, person: Person) -> Array:
    """(2, rows, 11) N·m that can be expected about each joint axis, and against it.

    By published curves where they hold, elsewhere by relative strengths.

    Args:
        names: of joint axes, such as `working hip flexion`; angles_deg: (rows, 11) about them.
    """
    rows = [JOINT_NAMES.index(name) for name in names]
    relative = relative_strengths()[rows].T * (person.mass_kg * person.stature_m)
    found = np.repeat(relative[:, :, None], angles_deg.shape[1], axis=2)
    for number, name in enumerate(names):
        for direction, curve in _curves_about(" ".join(name.split(" ")[-2:]), person):
            known = curve.over(angles_deg[number], person.mass_kg, person.stature_m)
            found[direction, number] = np.where(np.isnan(known), found[direction, number], known)
    return found


@lru_cache(maxsize=512)
def _curves_about(axis: str, person: Person) -> tuple[tuple[int, Expected], ...]:
    """The published curves of both directions of a joint axis: 0 about it, 1 against it."""
    joint, name = axis.split(" ")
    found = []
    for movement, (of_axis, sign) in MOVEMENTS[joint].items():
        curve = _curve_of(Action(joint, movement), person) if of_axis == name else ""
        if not isinstance(curve, str):
            found.append((0 if sign > 0 else 1, curve))
    return tuple(found)


def _curve_of(action: Action, person: Person) -> Expected | str:
    name = f"{action.joint} {action.movement}"
    age = USUAL_AGE if person.age is None else person.age
    curve = expected_strength(name, person.body, age)
    if curve is not None:
        return curve
    for body in ("female", "male"):
        if expected_strength(name, body, USUAL_AGE) is None:
            return NO_CURVE
    return NO_BODY if person.body not in ("female", "male") else NO_AGE


def _factor(
    curve: Expected, action: Action, person: Person, maximum: Maximum | None
) -> float | None:
    """How many times the curve the patient can do; None where nothing tells."""
    if maximum is None or maximum.at_deg is None:
        return None
    there = curve.at(action.sign * maximum.at_deg, person.mass_kg, person.stature_m)
    return None if there is None else maximum.nm / there


def _people(person: Person) -> str:
    """`an average woman over 65`, `an average man of 40`."""
    who = "woman" if person.body == "female" else "man"
    age = age_in_words(USUAL_AGE if person.age is None else person.age)
    return f"an average {who} {age if age.startswith('over') else f'of {age}'}"
