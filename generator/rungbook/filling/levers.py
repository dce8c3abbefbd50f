"""Every setting of every lever between two exercises, in the library's order of levers."""

from __future__ import annotations

from rungbook.filling.carrying import assistance, hands, lifted, other_leg
from rungbook.filling.dosing import tempos, volumes
from rungbook.filling.placing import lever_arms, positions, ranges
from rungbook.filling.resisting import resistance
from rungbook.filling.setting import Setting, limb_of
from rungbook.filling.taking import taken
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library

LIMB_POINTS = {"arm": ("hand", "elbow", "forearm", "wrist"), "leg": ("fo", "heel", "knee", "shank")}


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


def settings_between(
    base: Exercise, other: Exercise, library: Library, load: ExerciseLoad | None, harder: bool
) -> tuple[Setting, ...]:
    """All settings to lay on `base`, on all levels.

    `harder` where `base` is the harder of the two and is to be unloaded; otherwise it is to be
    loaded toward the other. Sorted by the library's order of levers; within a lever as they come.
    """
    free = is_free(base, load)
    found: list[Setting] = [
        *taken(base, other),
        *assistance(base, other, library, free),
        *hands(base, other, library, free),
        *other_leg(base, other, library, free),
        *lifted(base, other, library, free),
        *volumes(base, other, more=not harder),
        *tempos(base),
        *ranges(base, other),
        *lever_arms(base, other),
        *resistance(base, other, library, harder, free),
        *positions(base, other, free),
    ]
    order = {lever: rank for rank, lever in enumerate(library.settings.levers)}
    found.sort(key=lambda setting: order.get(setting.lever, len(order)))
    return tuple(found)
