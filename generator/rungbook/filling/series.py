"""Ways to ask less of an exercise, computed once: the same with less, and one lever at a time.

`relief_of` answers what `ladder.easier` needs for the kinds `same` and `solved`. The solved series
of an exercise are its unloading levers in their usual settings, each alone, with no other exercise
in view: assistance, hands on something, lever arm, resistance, position. Range and dose are among
the same with less.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping

from rungbook.filling.levers import settings_between
from rungbook.filling.setting import Setting, laid_on
from rungbook.filling.sound import possible, sound
from rungbook.ladder.less_of_the_same import Relief, Variant, less_of_the_same
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

SOLVED = frozenset({"assistance", "lever-arm", "resistance", "position"})
ENOUGH = 3  # usual settings of one helper or thing; where there are fewer, finer ones come too
Compute = Callable[[Iterable[Exercise]], Mapping[str, ExerciseLoad]]
Made = tuple[tuple[Variant, ExerciseLoad], ...]


def relief_of(
    measured: MeasuredLibrary, ids: Iterable[str], compute: Compute | None = None
) -> dict[str, Relief]:
    """The relief of some exercises, computed in one batch."""
    exercises = measured.library.exercises
    same: dict[str, tuple[Variant, ...]] = {}
    solved: dict[str, tuple[Variant, ...]] = {}
    for id in dict.fromkeys(ids):
        same[id] = less_of_the_same(exercises[id])
        solved[id] = series(measured, exercises[id])
    batch = [one.exercise for made in (same, solved) for each in made.values() for one in each]
    loads = compute(batch) if compute else compute_loads(batch, measured.library, explained=False)
    return {
        id: Relief(_sound(same[id], loads), _possible(measured, id, _sound(solved[id], loads)))
        for id in same
    }


def _possible(measured: MeasuredLibrary, id: str, solved: Made) -> Made:
    base, base_load = measured.library.exercises[id], measured.loads.get(id)
    return tuple(
        (one, load)
        for one, load in solved
        if base_load is None or possible(one.exercise, load, base, base_load)
    )


def _sound(variants: tuple[Variant, ...], loads: Mapping[str, ExerciseLoad]) -> Made:
    return tuple(
        (one, loads[one.exercise.id])
        for one in variants
        if one.exercise.id in loads
        and ("dose" in one.changes or sound(loads[one.exercise.id]))  # a dose changes no posture
    )


def series(measured: MeasuredLibrary, exercise: Exercise) -> tuple[Variant, ...]:
    """One lever at a time, unloading, in its usual settings; ids unique among themselves."""
    load = measured.loads.get(exercise.id)
    settings = [
        setting
        for setting in settings_between(exercise, exercise, measured.library, load, harder=True)
        if setting.fine <= 1 and setting.lever in SOLVED and not setting.needs
    ]
    usual = Counter(_what(setting) for setting in settings if setting.fine == 0)
    found: dict[str, Variant] = {}
    for setting in settings:
        if setting.fine and usual[_what(setting)] >= ENOUGH:
            continue
        candidate = laid_on(exercise, (setting,)).exercise
        id = f"{exercise.id}--{setting.key}".replace(".", "-")
        variation = candidate.model_copy(update={"id": id})
        found.setdefault(id, Variant(variation, {setting.lever: setting.words}))
    return tuple(found.values())


def _what(setting: Setting) -> tuple[str, str, str]:
    return setting.lever, setting.handle, setting.by
