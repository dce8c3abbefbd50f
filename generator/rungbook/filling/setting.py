"""One setting of one lever, and exercises with settings laid on them."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungbook.filling.titles import title_with
from rungbook.model.exercise import Exercise
from rungbook.model.library import Axis, Lever
from rungbook.model.variation import variation

Apply = Callable[[Exercise], Mapping[str, Any]]
LONGEST_ID = 100
MOST_TOGETHER = 2  # levers of one proposal
ARM_JOINTS = frozenset({"shoulder", "elbow", "forearm", "wrist"})
LEG_JOINTS = frozenset({"hip", "knee", "ankle", "toes"})
LOAD: frozenset[Axis] = frozenset({"demand"})


@dataclass(frozen=True, slots=True)
class Setting:
    """What a clinic can set: `words` follow an exercise's title, `key` its id.

    Settings of one `handle` exclude one another (the same strap is not set twice). `fine` is how
    far down the list of usual settings it stands: 0 is tried first (quarters of a limb, steps of
    ten centimetres), then finer ones. `acts_on` are the axes that it can change. `by` is what helps
    or carries: another one from rung to rung is a change. `needs` is what the library lacks for it,
    in words; nothing for what can be done. `apart` says that the two exercises differ in what it
    turns. `apply` gives the fields that change; it takes nothing
    out of a mapping, which no variation could do.
    """

    lever: Lever
    handle: str
    key: str
    words: str
    apply: Apply
    acts_on: frozenset[Axis] = LOAD
    fine: int = 0
    by: str = ""
    needs: str = ""
    apart: bool = True


@dataclass(frozen=True, slots=True)
class Candidate:
    """A variation of an existing exercise in memory."""

    exercise: Exercise
    base: Exercise
    settings: tuple[Setting, ...]

    @property
    def needs(self) -> str:
        """What the library lacks for it, in words; nothing for what can be done."""
        return next((one.needs for one in self.settings if one.needs), "")


def laid_on(base: Exercise, settings: Sequence[Setting]) -> Candidate:
    """The exercise with the settings laid on it, one after the other."""
    exercise, changed = base, dict[str, Any]()
    for setting in settings:
        changed |= setting.apply(exercise)
        exercise = base.model_copy(update=changed)
    id = slug("-".join([base.id, *(setting.key for setting in settings)]))
    title = title_with(base, [(one.lever, one.words) for one in settings])
    return Candidate(variation(base, id, title, **changed), base, tuple(settings))


def slug(text: str) -> str:
    """An id: small letters, digits and single hyphens, no longer than a file name may be."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_ID].strip("-")


def limb_of(exercise: Exercise) -> str | None:
    """`arm` or `leg`: the limb whose joints the exercise works first; None for the spine."""
    for action in exercise.works:
        if action.joint in ARM_JOINTS:
            return "arm"
        if action.joint in LEG_JOINTS:
            return "leg"
    return None


def between(one: float, other: float, step: float) -> list[float]:
    """The multiples of `step` strictly between two values, from the first to the second."""
    least, most = sorted((one, other))
    first, last = math.floor(least / step), math.ceil(most / step)
    found = [round(number * step, 6) for number in range(first, last + 1)]
    inside = [value for value in found if least + 1e-9 < value < most - 1e-9]
    return inside if one <= other else inside[::-1]


def graded(one: float, other: float, steps: Sequence[float]) -> list[tuple[int, float]]:
    """Values strictly between two others: multiples of the first step, then of finer ones.

    Each with how fine it is; a value is given once, on the coarsest grid it lies on.
    """
    seen: dict[float, int] = {}
    for fine, step in enumerate(steps):
        for value in between(one, other, step):
            seen.setdefault(value, fine)
    return [(fine, value) for value, fine in seen.items()]
