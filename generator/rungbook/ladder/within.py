"""Every exercise that fits what is allowed, shortened where that makes it fit, lightest first.

No exercise is named: the question of the first weeks after an operation, when all that is known is
what may not be done. An exercise whose load is not known never fits. Nothing is left out in
silence: each is counted under the limit that leaves least of it, and the limit that alone would
leave out most is named, for limits that contradict one another leave nothing.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from rungbook.ladder.filters import UNKNOWN, Filters
from rungbook.ladder.instead import NOTHING_NM, works_instead
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import profile
from rungbook.ladder.shortening import Shortened, demand_until, shortened
from rungbook.ladder.verdict import Verdict
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import NO_WORK, KindOfWork
from rungbook.model.movement import Action


@dataclass(frozen=True, slots=True)
class Fitting:
    """An exercise that fits: whole, or shortened. `demand_nm` is of what is left of it.

    `instead`: the opposite muscles and their N·m, where those it names have nothing to do.
    """

    exercise: Exercise
    kind: KindOfWork | None
    demand_nm: float | None
    shortened: Shortened | None
    instead: tuple[Action, float] | None = None


@dataclass(frozen=True, slots=True)
class Within:
    """What fits in order, how many each limit left out, and why each was.

    `leaves_most_out` is the limit that alone would leave out most, and how many.
    """

    fitting: tuple[Fitting, ...]
    left_out: Mapping[str, int]
    why: Mapping[str, str]
    leaves_most_out: tuple[str, int] | None


def within(measured: MeasuredLibrary, filters: Filters) -> Within:
    """All exercises of a library that fit, whole or shortened."""
    fitting: list[Fitting] = []
    left_out: Counter[str] = Counter()
    alone: Counter[str] = Counter()
    why: dict[str, str] = {}
    for exercise in measured.library.exercises.values():
        if filters.areas and exercise.area not in filters.areas:
            continue  # not asked about
        load = measured.loads.get(exercise.id)
        limits = list(filters.verdicts(exercise, load))
        alone.update(title for title, verdict in limits if _leaves_out(exercise, load, verdict))
        together = filters.together((verdict for _, verdict in limits), load)
        found = fitted(exercise, load, together)
        if isinstance(found, Fitting):
            fitting.append(found)
            continue
        title, why[exercise.id] = _cause(limits, found)
        left_out[title] += 1
    fitting.sort(key=lambda one: (one.demand_nm or 0.0, one.exercise.id))
    most = min(alone.items(), key=lambda item: (-item[1], item[0]), default=None)
    return Within(tuple(fitting), dict(left_out.most_common()), why, most)


def fitted(exercise: Exercise, load: ExerciseLoad | None, verdict: Verdict) -> Fitting | Verdict:
    """The exercise as it fits, or the verdict that leaves it out."""
    if load is None:
        return Fitting(exercise, None, None, None) if verdict.fits else verdict
    short = None if verdict.fits else shortened(exercise, load, verdict)
    if short is None and not verdict.fits:
        return verdict
    until = short.until if short else verdict.until
    kind, demand = hardest_kind(exercise, load), demand_until(load, until)
    return Fitting(exercise, kind, demand, short, instead_of(exercise, load))


def instead_of(exercise: Exercise, load: ExerciseLoad) -> tuple[Action, float] | None:
    """The opposite muscles of an exercise that asks nothing of those it names."""
    if exercise.passive or load.withheld is not None or load.demand_nm > NOTHING_NM:
        return None
    return works_instead(profile(exercise, load), exercise.works)


def _leaves_out(exercise: Exercise, load: ExerciseLoad | None, verdict: Verdict) -> bool:
    """Whether a limit alone leaves an exercise out, shortened or not."""
    return not verdict.fits and (load is None or shortened(exercise, load, verdict) is None)


def _cause(limits: list[tuple[str, Verdict]], found: Verdict) -> tuple[str, str]:
    """The limit that leaves least of an exercise, and why."""
    title = next((title for title, verdict in limits if verdict == found), UNKNOWN)
    return title, found.words


def hardest_kind(exercise: Exercise, load: ExerciseLoad) -> KindOfWork | None:
    """The kind of work of what an exercise is about: of several actions the hardest."""
    if load.kinds is None:
        return None
    kinds = [load.kinds.get(str(action), NO_WORK) for action in exercise.works]
    return max(kinds, key=lambda kind: kind.rank, default=NO_WORK)
