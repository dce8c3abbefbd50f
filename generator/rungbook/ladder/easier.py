"""What to give instead of an exercise that is not tolerated today.

Candidates are the same exercise with less, every easier rung that leads to it, other exercises of
the same action and what is computed of it, each shortened to the limits set where that makes it
fit. Kept is what asks for less on every reason given (`REASONS`), by however little; the order is
that of `answer_order`. Another exercise of the library that asks for a step too large elsewhere is
left out, and so is what lowers body weight on one leg where lowering provokes; all that is left
out is told with why. `rises` names every axis, and every other joint, on which an option asks for
more than the exercise by more than a little (`rungbook.ladder.steps`).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from rungbook.ladder.answer_order import (
    LEAST_HALF,
    LEAST_OF_STANDARD,
    asked_for,
    in_order,
    nothing_first,
)
from rungbook.ladder.filters import Filters, equipment_of, ordered_for
from rungbook.ladder.graph import reached_from, rungs_below
from rungbook.ladder.instead import works_instead
from rungbook.ladder.less_of_the_same import Relief, Variant
from rungbook.ladder.limits import AT_ONCE, AXES, EVERY_AXIS, limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.option import Easier, Kind, Option
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.question import ladder_of
from rungbook.ladder.reasons import REASONS, ROUNDING, Eased, contracting, rounded_share
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import scale_for
from rungbook.ladder.shortening import Shortened, profile_until, shortened
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE, rises, step_between, worked_on
from rungbook.ladder.words import TITLES
from rungbook.load.capacity import leading_angle
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KIND_WORDS, KindWord
from rungbook.model.ladder import Irritability

ONE_LEG = 0.6  # of body weight on one leg: more than half of it
LOWERING = 1  # among lifting, lowering, holding


@dataclass(frozen=True, slots=True)
class _Asked:
    """The question: what provokes, why, and what may not be."""

    provoking: Exercise
    here: Profile
    because: tuple[str, ...]
    irritability: Irritability
    ruler: Ruler
    filters: Filters
    below: Mapping[str, int]
    above: frozenset[str]
    profiles: Mapping[str, Profile]


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

    `irritability` orders them, and sets how much of the scale of demand an option may ask for more
    at once; `ladder_id` is the ladder that measures, where not the first with the exercise on it.
    The restrictions of every ladder that the exercise is on are obeyed without being asked for.
    """
    filters = _with_orders(measured, exercise_id, filters or Filters())
    provoking = measured.library.exercises[exercise_id]
    if exercise_id not in measured.loads:
        return Easier(exercise_id, because, (), {}, nothing="not known", irritability=irritability)
    here = profile(provoking, measured.loads[exercise_id])
    ladder = measured.ladders[ladder_id] if ladder_id else ladder_of(measured, exercise_id)
    below = rungs_below(measured.graph, exercise_id)
    asked = _Asked(
        provoking,
        here,
        because,
        irritability,
        ruler_for(measured, here, ladder),
        filters,
        below,
        frozenset(reached_from(measured.graph, [exercise_id])),
        measured.profiles,
    )
    options: list[Option] = []
    left_out: dict[str, str] = {}
    for kind, variant, load in _candidates(measured, provoking, relief or Relief(), below):
        found = _judged(asked, kind, variant, load)
        if isinstance(found, Option):
            options.append(found)
        elif found:
            left_out[variant.exercise.id] = found
    passive = bool(filters.restrictions) or not filters.kinds.isdisjoint(("passive", "none"))
    ordered = in_order(options, irritability, _least(asked), passive)
    found_in_order = tuple(replace(one, slot=slot) for one, slot in ordered)
    why = nothing_first(found_in_order, len(left_out))
    return Easier(exercise_id, because, found_in_order, left_out, ladder, why, irritability)


def _least(asked: _Asked) -> float:
    """A tenth of the standard exercise's load, N·m; without a scale, of what provokes."""
    known = asked.ruler.scale.standards if asked.ruler.scale is not None else {}
    standards = [known[action] for action in asked.here.works if action in known]
    return LEAST_OF_STANDARD * max(standards, default=asked.here.demand(asked.here.works))


def _judged(asked: _Asked, kind: Kind, variant: Variant, load: ExerciseLoad) -> Option | str | None:
    """The option as it fits, why it is left out, or None where it asks for no less."""
    exercise = variant.exercise
    there = asked.profiles.get(exercise.id) or profile(exercise, load)
    verdict = asked.filters.verdict_on(exercise, load)
    short = None if verdict.fits else shortened(exercise, load, verdict)
    angle = leading_angle(exercise, load)
    if short is not None and angle is not None:
        there = profile_until(there, load, short, angle)
    if kind == "same" and not variant.changes and short is None:
        return None  # the exercise itself, whole
    eased = {
        reason: REASONS[reason](there, asked.here, exercise, asked.provoking)
        for reason in asked.because
    }
    kept = {reason: one for reason, one in eased.items() if one is not None}
    if len(kept) < len(eased):
        return None
    if not verdict.fits and short is None:
        return verdict.words
    objection = _too_much(asked, kind, there)
    return objection or _option(asked, kind, variant, load, there, kept, short)


def _too_much(asked: _Asked, kind: Kind, there: Profile) -> str:
    """Why something that asks for less is no relief; nothing where it is one."""
    on_one_leg = "lowering" in asked.because and _on_one_leg(there)
    if on_one_leg and contracting(there, asked.here, LOWERING):
        return "lowers body weight on one leg"
    if kind != "library":
        return ""
    axis = _too_far(step_between(asked.here, there, asked.ruler), asked.irritability)
    return f"asks for a step too large in {TITLES[axis]}" if axis else ""


def _with_orders(measured: MeasuredLibrary, exercise_id: str, filters: Filters) -> Filters:
    orders = dict([*ordered_for(measured, exercise_id), *filters.restrictions])
    return replace(filters, restrictions=tuple(sorted(orders.items())))


def _candidates(
    measured: MeasuredLibrary, provoking: Exercise, relief: Relief, below: Mapping[str, int]
) -> Iterator[tuple[Kind, Variant, ExerciseLoad]]:
    itself = provoking.model_copy(
        update={"id": f"{provoking.id}--to-limits", "variation_of": provoking.id}
    )
    yield "same", Variant(itself, {}), measured.loads[provoking.id]
    yield from (("same", variant, load) for variant, load in relief.same)
    for other in measured.library.exercises.values():
        if other.id == provoking.id or other.id not in measured.loads:
            continue
        if other.id in below or set(other.works) & set(provoking.works):
            kind: Kind = "neighbour" if other.id in below else "library"
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


def _too_far(step: Step, irritability: Irritability) -> str | None:
    """The first axis that is a step too large; a dose can be set."""
    for axis, one in step.axes.items():
        most = AT_ONCE[irritability] if axis == "demand" else 1
        if AXES[axis].group and axis != "volume" and one.size > most + TOLERANCE:
            return axis
    return None


def _option(
    asked: _Asked,
    kind: Kind,
    variant: Variant,
    load: ExerciseLoad,
    there: Profile,
    eased: Mapping[str, Eased],
    short: Shortened | None,
) -> Option:
    here = asked.here
    demands = worked_on(there, here, here.works)
    known = bool(demands and there.moments)
    ratio = demands[0] / demands[1] if demands and known and demands[1] > ROUNDING else None
    shares = [one.share for one in eased.values() if one.share is not None]
    return Option(
        exercise=variant.exercise,
        kind=kind,
        demand_nm=demands[0] if demands and known else None,
        ratio=ratio,
        step_size=step_between(there, here, asked.ruler).size,
        changes=variant.changes,
        rises=rising(here, there, asked.ruler),
        instead=works_instead(there, here.works),
        eased=eased,
        share=max(shares) if shares else None if ratio is None else rounded_share(ratio),
        may_lead=_may_lead(asked, kind, there),
        not_loaded=_not_loaded(here, there),
        asked_for=asked_for(eased, variant.changes, short is not None, _on_one_leg(here)),
        shortened=short,
        kind_of_work=_kind_word(variant.exercise, load),
        back_up=asked.below.get(variant.exercise.id),
    )


def _on_one_leg(one: Profile) -> bool:
    return one.limb == "leg" and one.bearing > ONE_LEG


def _may_lead(asked: _Asked, kind: Kind, there: Profile) -> bool:
    """Whether it loads what provokes, and nobody declared it harder.

    A rung of the ladder may load what provokes without naming it.
    """
    works = asked.here.works
    if set(there.works) & set(works):
        return there.id not in asked.above
    peaks = (there.moment(action) or 0.0 for action in works)
    return kind == "neighbour" and max(peaks, default=0.0) >= LEAST_HALF * asked.here.demand(works)


def _not_loaded(here: Profile, there: Profile) -> int:
    """How many actions of the exercise another one hardly loads; 0 where it is moved or unknown."""
    if not any(there.moment(action) for action in here.works):
        return 0
    return sum(
        (there.moment(action) or 0.0) < LEAST_OF_STANDARD * (here.moment(action) or 0.0)
        for action in here.works
    )


def _kind_word(exercise: Exercise, load: ExerciseLoad) -> KindWord | None:
    if load.kinds is None:
        return None
    words = [kind.word for kind in map(load.kind, exercise.works) if kind and kind.kind != "none"]
    return max(words, key=KIND_WORDS.index, default="none")


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
