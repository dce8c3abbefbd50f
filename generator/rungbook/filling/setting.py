"""One setting of one lever, and exercises with settings laid on them."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from rungbook.model.exercise import Exercise
from rungbook.model.library import Lever

Apply = Callable[[Exercise], Mapping[str, Any]]
COARSEST, FINEST = 0, 2
LONGEST_ID = 100
LAST_RESORT = 3  # the level of what needs a second person: combined with the coarsest only
ARM_JOINTS = frozenset({"shoulder", "elbow", "forearm", "wrist"})
LEG_JOINTS = frozenset({"hip", "knee", "ankle", "toes"})


@dataclass(frozen=True, slots=True)
class Setting:
    """What a clinic can set: `words` follow an exercise's title, `key` its id.

    Settings of one `handle` exclude one another (the same strap is not set twice). `level` is
    the grid on which the setting lies, `COARSEST` to `FINEST`, then `LAST_RESORT`. `apply` gives
    the fields that change; it takes nothing out of a mapping, which no variation could do.
    `excludes` are further handles that it sets too. `makes_up` marks what asks for more by
    itself, to make up for the load that another setting takes away.
    """

    lever: Lever
    handle: str
    key: str
    words: str
    level: int
    apply: Apply
    excludes: tuple[str, ...] = ()
    makes_up: bool = False


@dataclass(frozen=True, slots=True)
class Candidate:
    """A variation of an existing exercise in memory."""

    exercise: Exercise
    base: Exercise
    settings: tuple[Setting, ...]


def laid_on(base: Exercise, settings: Sequence[Setting]) -> Candidate:
    """The exercise with the settings laid on it, one after the other."""
    exercise = base
    for setting in settings:
        exercise = exercise.model_copy(update=dict(setting.apply(exercise)))
    words = ", ".join(setting.words for setting in settings)
    named = exercise.model_copy(
        update={
            "id": slug("-".join([base.id, *(setting.key for setting in settings)])),
            "title": f"{base.title}, {words}" if words else base.title,
            "variation_of": base.id,
            "draft": "computed, not reviewed",
            "reviewed": None,
            "also_called": (),
            "measured": (),
            "progressions": (),
            "accepts": (),
        }
    )
    return Candidate(named, base, tuple(settings))


def slug(text: str) -> str:
    """An id: small letters, digits and single hyphens, no longer than a file name may be."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:LONGEST_ID].strip("-")


def merged(over: Mapping[str, Any], base: Mapping[str, Any]) -> dict[str, Any]:
    """A mapping as a variation's file has it: laid over the varied one, nothing taken out."""
    found = dict(base)
    for key, value in over.items():
        both = isinstance(value, dict) and isinstance(found.get(key), dict)
        found[key] = merged(value, found[key]) if both else value
    return found


def limb_of(exercise: Exercise) -> str | None:
    """`arm` or `leg`: the limb whose joints the exercise works first; None for the spine."""
    for action in exercise.works:
        if action.joint in ARM_JOINTS:
            return "arm"
        if action.joint in LEG_JOINTS:
            return "leg"
    return None


def grid(least: float, most: float, step: float) -> list[float]:
    """The multiples of `step` strictly between two values, and not zero."""
    first = int(least / step) - 1
    last = int(most / step) + 2
    found = (round(number * step, 6) for number in range(first, last))
    return [value for value in found if least + 1e-9 < value < most - 1e-9]
