"""Every setting of every lever of an exercise, and the finite grid of what is made of them.

All candidates between two exercises are computed in one batch. Where there would be more of them
than `MOST_CANDIDATES`, the coarsest settings and the levers the library ranks first are kept, and
the answer says so.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import combinations

from rungbook.filling.carrying import assistance, hands, other_foot
from rungbook.filling.dosing import doses
from rungbook.filling.moving import grounded, ranges, tempos
from rungbook.filling.placing import heights, lever_arms, positions
from rungbook.filling.resisting import resistance
from rungbook.filling.setting import MOST_TOGETHER, Candidate, Setting, laid_on, limb_of
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library

LIMB_POINTS = {"arm": ("hand", "elbow", "forearm", "wrist"), "leg": ("fo", "heel", "knee", "shank")}
MOST_CANDIDATES = 900
FINEST_TOGETHER = 1  # of two levers set at once on two axes, how fine both may be in sum


def is_free(exercise: Exercise, load: ExerciseLoad | None) -> bool:
    """Whether the working limb carries no weight: an arm or leg that moves in the air."""
    limb = limb_of(exercise)
    if limb is None or load is None:
        return False
    return not any(
        reaction.share > 0.02
        and not reaction.at.startswith("other")
        and reaction.at.removeprefix("working ").startswith(LIMB_POINTS[limb])
        for reaction in load.reactions
    )


def _rests(exercise: Exercise, load: ExerciseLoad | None) -> bool:
    """Whether the working limb merely rests, while a surface carries the trunk."""
    limb = limb_of(exercise)
    return limb is not None and load is not None and load.borne.get(limb) == 0


def settings_between(
    base: Exercise, other: Exercise, library: Library, load: ExerciseLoad | None, harder: bool
) -> tuple[Setting, ...]:
    """All settings to lay on `base`, by the library's order of levers, the usual ones first.

    `harder` where `base` is the harder of the two and is to be unloaded; otherwise it is to be
    loaded toward the other.
    """
    free = is_free(base, load)
    found: list[Setting] = [
        *assistance(base, other, library, free or _rests(base, load)),
        *hands(base, other, library, free, harder),
        *other_foot(base, other),
        *resistance(base, other, library, harder),
        *heights(base, other, library),
        *positions(base, other, free),
        *lever_arms(base),
        *ranges(base, other, harder),
        *doses(base, other),
        *tempos(base),
        *grounded(base, other),
    ]
    order = {lever: rank for rank, lever in enumerate(library.settings.levers)}
    found.sort(key=lambda setting: (setting.fine, order.get(setting.lever, len(order))))
    apart = [key for key in Exercise.model_fields if getattr(base, key) != getattr(other, key)]
    return tuple(replace(one, apart=_turns(one, base, apart)) for one in found)


def _turns(setting: Setting, base: Exercise, fields: Iterable[str]) -> bool:
    """Whether a setting turns something in which the two exercises differ."""
    changed = setting.apply(base)
    return any(changed.get(key, getattr(base, key)) != getattr(base, key) for key in fields)


@dataclass(frozen=True, slots=True)
class Batch:
    """Candidates to compute; `left_out` is how many more there would be."""

    candidates: tuple[Candidate, ...]
    left_out: int


def candidates(
    sides: Collection[tuple[Exercise, tuple[Setting, ...]]],
    axes: Collection[str],
    apart: Collection[str],
) -> Batch:
    """The variations to compute between two exercises: one lever set, then two at once.

    Args:
        sides: the exercises to vary, with their settings.
        axes: the axes on which the step between the two rises: what touches none of them is left.
        apart: the axes on which it is too large: two levers are set at once where they reach more
            of these together than either does, or where there is only one.
    """
    found: list[Candidate] = []
    pairs: list[tuple[int, Exercise, tuple[Setting, ...]]] = []
    for base, settings in sides:
        useful = [one for one in settings if one.acts_on.intersection(axes)]
        found += [laid_on(base, (one,)) for one in useful]
        pairs += [(sum(one.fine for one in pair), base, pair) for pair in _together(useful, apart)]
    pairs.sort(key=lambda one: one[0])
    room = max(0, MOST_CANDIDATES - len(found))
    found += [laid_on(base, pair) for _, base, pair in pairs[:room]]
    unlike = {one.exercise.id: one for one in reversed(found)}
    kept = tuple(reversed(unlike.values()))[:MOST_CANDIDATES]
    return Batch(kept, max(0, len(pairs) - room))


def _together(settings: list[Setting], apart: Collection[str]) -> Iterator[tuple[Setting, ...]]:
    finest = FINEST_TOGETHER if len(apart) >= MOST_TOGETHER else 0
    for pair in combinations([one for one in settings if one.fine <= finest], MOST_TOGETHER):
        if sum(one.fine for one in pair) > finest or any(one.needs for one in pair):
            continue
        if len({one.handle for one in pair}) < len(pair):
            continue
        alone = [one.acts_on.intersection(apart) for one in pair]
        reached = frozenset().union(*alone)
        if len(apart) < MOST_TOGETHER or all(len(reached) > len(one) for one in alone):
            yield pair
