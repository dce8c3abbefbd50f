"""What to give instead of an exercise that is not tolerated today.

Every candidate is compared with the exercise on what was not tolerated (`REASONS`):

- load: the demand about the exercise's `works`; bearing, speed, volume (time under tension a
  week); lifting, lowering, holding: the demand times the share of the movement that is concentric,
  eccentric, held; next day: the impulse of one session (∫|M|dt). Lower means at most 0.8 times.
- range: how far the leading joint goes toward the movement; lengthening. At least 10° less.
- impact: one class less. position: another position of no higher stability class, or a lower class.

A candidate is kept where it is lower on every reason given, the filters do not object, and the
step from the exercise to it is at most 1 on every axis but volume (a dose can be set): nothing is
easier that asks for a step too large elsewhere. Order:
kind (`same`, `neighbour`, `library`, `solved`), then the size of the step from the option back up
to the exercise, then id. `rises` names every axis, and every other joint, on which the option asks
for more than the exercise by more than a little (`rungbook.ladder.steps`). Comparisons carry a
tolerance of 1e-6, to which profiles are rounded.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

from rungbook.ladder.filters import Filters, equipment_of, ordered_for
from rungbook.ladder.graph import regressions_of
from rungbook.ladder.instead import works_instead
from rungbook.ladder.less_of_the_same import Relief, Variant
from rungbook.ladder.limits import AT_ONCE, AXES, EVERY_AXIS, limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.question import ladder_of
from rungbook.ladder.reasons import REASONS, ROUNDING
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import scale_for
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE, rises, step_between, worked_on
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Irritability
from rungbook.model.movement import Action

Kind = Literal["same", "neighbour", "library", "solved"]
KINDS: tuple[Kind, ...] = ("same", "neighbour", "library", "solved")


@dataclass(frozen=True, slots=True)
class Option:
    """Something to give instead. `ratio` is its demand over the exercise's; None is not known.

    `instead`: the opposite muscles and their N·m, where those provoked have nothing to do.
    """

    exercise: Exercise
    kind: Kind
    demand_nm: float | None
    ratio: float | None
    step_size: float
    changes: Mapping[str, str]
    rises: tuple[str, ...]
    instead: tuple[Action, float] | None = None


@dataclass(frozen=True, slots=True)
class Easier:
    """The options in order, and what the filters left out, each with why.

    `ladder` is the one that steps are measured by, if one is.
    """

    exercise: str
    because: tuple[str, ...]
    options: tuple[Option, ...]
    left_out: Mapping[str, str]
    ladder: MeasuredLadder | None = None


def easier(
    measured: MeasuredLibrary,
    exercise_id: str,
    because: tuple[str, ...] = ("load",),
    filters: Filters | None = None,
    relief: Relief | None = None,
    irritability: Irritability = "moderate",
    ladder_id: str | None = None,
) -> Easier:
    """The options for one exercise; `relief` holds its precomputed variations.

    `irritability` sets how much of the scale of demand an option may ask for more at once,
    `ladder_id` is the ladder that measures, where not the first with the exercise on it.
    The restrictions of every ladder that the exercise is on are obeyed without being asked for.
    """
    filters = _with_orders(measured, exercise_id, filters or Filters())
    provoking = measured.library.exercises[exercise_id]
    if exercise_id not in measured.loads:
        return Easier(exercise_id, because, (), {})
    here = profile(provoking, measured.loads[exercise_id])
    ladder = measured.ladders[ladder_id] if ladder_id else ladder_of(measured, exercise_id)
    ruler = ruler_for(measured, here, ladder)
    options: list[Option] = []
    left_out: dict[str, str] = {}
    for kind, variant, load in _candidates(measured, provoking, relief or Relief()):
        there = profile(variant.exercise, load)
        if not all(REASONS[reason](there, here, variant.exercise, provoking) for reason in because):
            continue
        if _too_far(step_between(here, there, ruler), irritability):
            continue
        objection = filters.objection(variant.exercise, load)
        if objection:
            left_out[variant.exercise.id] = objection
        else:
            back_up = step_between(there, here, ruler).size
            options.append(_option(kind, variant, there, here, back_up, ruler))
    options.sort(key=lambda one: (KINDS.index(one.kind), one.step_size, one.exercise.id))
    return Easier(exercise_id, because, tuple(options), left_out, ladder)


def _with_orders(measured: MeasuredLibrary, exercise_id: str, filters: Filters) -> Filters:
    orders = dict([*ordered_for(measured, exercise_id), *filters.restrictions])
    return replace(filters, restrictions=tuple(sorted(orders.items())))


def _candidates(
    measured: MeasuredLibrary, provoking: Exercise, relief: Relief
) -> Iterator[tuple[Kind, Variant, ExerciseLoad]]:
    yield from (("same", variant, load) for variant, load in relief.same)
    neighbours = set(regressions_of(measured.graph, provoking.id)) - {provoking.id}
    for other in measured.library.exercises.values():
        if other.id == provoking.id or other.id not in measured.loads:
            continue
        near = other.id in neighbours
        if near or set(other.works) & set(provoking.works):
            kind: Kind = "neighbour" if near else "library"
            yield kind, Variant(other, differences(other, provoking)), measured.loads[other.id]
    yield from (("solved", variant, load) for variant, load in relief.solved)


def differences(option: Exercise, provoking: Exercise) -> dict[str, str]:
    """What is another than in the exercise, in a word or two."""
    found = {}
    if option.position != provoking.position:
        found["position"] = option.position
    if option.sides != provoking.sides:
        found["sides"] = "both sides" if option.sides == "both" else "one side"
    new = sorted(equipment_of(option) - equipment_of(provoking))
    if new:
        found["equipment"] = ", ".join(new)
    return found


def ruler_for(measured: MeasuredLibrary, here: Profile, ladder: MeasuredLadder | None) -> Ruler:
    """The ladder's; without one the library's, scaled on the exercise."""
    if ladder is not None:
        return ladder.ruler
    limits = limits_for(measured.library.settings)
    ratio = limits.of("demand")
    return Ruler(limits, Aim.of(here), None if ratio is None else scale_for(here, ratio))


def _too_far(step: Step, irritability: Irritability) -> bool:
    return any(
        one.size > (AT_ONCE[irritability] if axis == "demand" else 1) + TOLERANCE
        for axis, one in step.axes.items()
        if AXES[axis].group and axis != "volume"
    )


def _option(
    kind: Kind, variant: Variant, there: Profile, here: Profile, back_up: float, ruler: Ruler
) -> Option:
    demands = worked_on(there, here, here.works)
    known = bool(demands and there.moments)
    ratio = demands[0] / demands[1] if demands and known and demands[1] > ROUNDING else None
    return Option(
        exercise=variant.exercise,
        kind=kind,
        demand_nm=demands[0] if demands and known else None,
        ratio=ratio,
        step_size=back_up,
        changes=variant.changes,
        rises=rising(here, there, ruler),
        instead=works_instead(there, here.works),
    )


def rising(here: Profile, there: Profile, ruler: Ruler) -> tuple[str, ...]:
    """What asks for more than a little more: axes first, then other joints by name."""
    aim = ruler.aim_for(here)
    found = step_between(here, there, Ruler(EVERY_AXIS, aim, ruler.scale)).axes
    axes = [axis for axis, one in found.items() if AXES[axis].group and one.change > 0]
    others = [
        name
        for name, value in sorted(there.others.items())
        if not name.startswith("weight on") and name in here.others
        and rises("elsewhere", here.others[name], value, aim.floor("elsewhere"))
    ]  # fmt: skip
    onto = [
        name
        for name, value in sorted(there.others.items())
        if name.startswith("weight on") and rises("bearing", here.others.get(name, 0.0), value)
    ]
    return tuple([*axes, *others, *onto])
