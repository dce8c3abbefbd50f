"""The bridge between two exercises: the fewest rungs that leave no step too large.

A search on a finite grid, so that it always ends. Rows are the two exercises, the library's others
with the same action, and candidates: variations of either exercise with up to three levers set.
Candidates come in stages, the fewest levers and the coarsest settings first. The search ends with
the first stage whose path has no more rungs than are missing at least; else with the first level
of settings that has a path at all, after a look at two levers for a shorter one. Every stage is
computed in one batch.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from rungbook.bridging.grid import (
    MOST_CANDIDATES,
    MOST_FOR_A_SHORTER,
    MOST_LEVERS,
    Compute,
    Side,
    combined,
    helps,
    sound,
)
from rungbook.bridging.joins import Judge, allowed_by_all, nodes
from rungbook.bridging.levers import settings_between
from rungbook.bridging.paths import SETTLING, Field, best_path, reachable
from rungbook.bridging.setting import COARSEST, LAST_RESORT, Candidate
from rungbook.ladder.filters import Filters, ordered_for
from rungbook.ladder.graph import leading_to, reached_from
from rungbook.ladder.limits import AXES, limits_for
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.step import AxisStep, Step
from rungbook.ladder.steps import TOLERANCE, Aim, rises, step_between
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action

MOST_LOOKS = 60  # paths whose steps are measured again before the search gives up on a stage
MOST_COMPARED = 1500
DISCRETE = frozenset({"stability", "impact"})


@dataclass(frozen=True, slots=True)
class Proposal:
    """A draft exercise of a bridge with its load, and the size of the step that leads to it."""

    candidate: Candidate
    load: ExerciseLoad
    step_size: float


@dataclass(frozen=True, slots=True)
class Block:
    """What keeps a bridge from being found: the axis that stays too far apart."""

    axis: str
    from_value: float
    to_value: float
    limit: float
    message: str


@dataclass(frozen=True, slots=True)
class Bridge:
    """The whole path in `rungs`, the drafts on it in `proposals`, in order.

    `step` is the direct step. `blocked_by` says why there is no path. `capped` is true where
    there were more candidates than are computed.
    """

    from_id: str
    to_id: str
    step: Step
    rungs: tuple[str, ...]
    proposals: tuple[Proposal, ...]
    last_step_size: float | None
    blocked_by: Block | None
    capped: bool = False
    computed: int = 0


def bridge(
    measured: MeasuredLibrary, from_id: str, to_id: str, compute: Compute | None = None
) -> Bridge:
    """The bridge between two known exercises that both have a load.

    `compute` computes loads in one batch; the library's own person by default.
    """
    search = Search.between(measured, from_id, to_id, compute)
    if isinstance(search, Bridge):
        return search
    found: Bridge | None = None
    for level in range(COARSEST, LAST_RESORT + 1):
        for levers in range(0 if level == COARSEST else 1, MOST_LEVERS + 1):
            if found is not None and levers == MOST_LEVERS:
                break
            most = MOST_CANDIDATES if found is None else MOST_FOR_A_SHORTER
            if levers and not search.extend(level, levers, most):
                continue
            better = search.path()
            if better is not None and (found is None or len(better.rungs) < len(found.rungs)):
                found = better
            if found is not None and len(found.rungs) - 2 <= search.step.missing:
                return found
        if found is not None:
            return found
    return search.blocked()


def judges_of(measured: MeasuredLibrary, from_id: str, to_id: str) -> tuple[Judge, ...]:
    """Everybody who judges the steps between two exercises: their ladders, else the library."""
    settings, found = measured.library.settings, []
    for _, one in sorted(measured.ladders.items()):
        ladder = one.ladder
        if {from_id, to_id} <= set(one.rungs):
            goal = measured.library.exercises.get(ladder.goal)
            aim = None
            if goal is not None and goal.id in measured.loads:
                aim = Aim.of(profile(goal, measured.loads[goal.id]), ladder.works)
            found.append(Judge(limits_for(settings, ladder), aim, ladder.works))
    return tuple(found) or (Judge(limits_for(settings)),)


def common_works(measured: MeasuredLibrary, from_id: str, to_id: str) -> set[Action]:
    """The actions two exercises share; on a ladder, its own that are known of both."""
    exercises = measured.library.exercises
    for one in measured.ladders.values():
        if {from_id, to_id} <= set(one.rungs):
            ends = [profile(exercises[id], measured.loads[id]) for id in (from_id, to_id)]
            known = {
                action
                for action in one.ladder.works
                if all(end.moment(action) is not None for end in ends)
            }
            if known:
                return known
    return set(exercises[from_id].works) & set(exercises[to_id].works)


class Search:
    """The rows found so far between two exercises, and the way through them."""

    def __init__(
        self, measured: MeasuredLibrary, easier: Profile, harder: Profile, compute: Compute
    ) -> None:
        self.measured, self.compute = measured, compute
        self.from_id, self.to_id = easier.id, harder.id
        self.judges = judges_of(measured, easier.id, harder.id)
        self.step = max(
            (step_between(easier, harder, one.limits, one.aim, one.works) for one in self.judges),
            key=lambda step: step.size,
        )
        self.orders = Filters(restrictions=ordered_for(measured, easier.id, harder.id))
        self.profiles: list[Profile] = [easier, harder]
        self.candidates: list[Candidate | None] = [None, None]
        self.loads: list[ExerciseLoad] = [measured.loads[easier.id], measured.loads[harder.id]]
        self.known = {easier.id, harder.id}
        self.forbidden: set[tuple[int, int]] = set()
        self.capped, self.computed = False, 0
        self.axes = _rising(self.step)
        self.sides: tuple[Side, ...] = self._sides(easier, harder)

    @classmethod
    def between(
        cls, measured: MeasuredLibrary, from_id: str, to_id: str, compute: Compute | None
    ) -> Search | Bridge:
        """A search with the library's own exercises in it, or a verdict that needs none."""
        exercises = measured.library.exercises
        for id in (from_id, to_id):
            if id not in measured.loads:
                return _refused(from_id, to_id, f"the load of {id} is not known.")
        if not common_works(measured, from_id, to_id):
            works = [", ".join(map(str, exercises[id].works)) for id in (from_id, to_id)]
            message = (
                f"{from_id} works {works[0] or 'nothing'} and {to_id} {works[1] or 'nothing'}: "
                "exercises without a common action cannot be bridged."
            )
            return _refused(from_id, to_id, message)
        easier, harder = (profile(exercises[id], measured.loads[id]) for id in (from_id, to_id))

        def library_loads(batch: Iterable[Exercise]) -> Mapping[str, ExerciseLoad]:
            return compute_loads(batch, measured.library)

        search = cls(measured, easier, harder, compute or library_loads)
        search._add_existing()
        return search

    def _sides(self, easier: Profile, harder: Profile) -> tuple[Side, Side]:
        exercises, library = self.measured.library.exercises, self.measured.library
        a, b = exercises[easier.id], exercises[harder.id]
        return (
            Side(b, harder, settings_between(b, a, library, self.loads[1], True), True),
            Side(a, easier, settings_between(a, b, library, self.loads[0], False), False),
        )

    def _add_existing(self) -> None:
        """Other exercises with the same action that would close no circle."""
        graph, exercises = self.measured.graph, self.measured.library.exercises
        works = common_works(self.measured, self.from_id, self.to_id)
        circular = leading_to(graph, self.from_id) | reached_from(graph, [self.to_id])
        first = len(self.profiles)
        beside = {
            rung
            for one in self.measured.ladders.values()
            if {self.from_id, self.to_id} <= set(one.rungs)
            for rung in one.rungs
        }
        for other in exercises.values():
            load = self.measured.loads.get(other.id)
            if other.id in self.known or other.id in circular:
                continue
            if not set(other.works) & works and other.id not in beside:
                continue
            if load is None or not sound(load) or self.orders.objection(other, load):
                continue
            self._add(profile(other, load), None, load)
        self._forbid_circles(first)

    def _forbid_circles(self, first: int) -> None:
        graph = self.measured.graph
        rows = {one.id: row for row, one in enumerate(self.profiles) if row >= first}
        for id, row in rows.items():
            for before in leading_to(graph, id) - {id}:
                if before in rows:
                    self.forbidden.add((row, rows[before]))

    def _add(self, one: Profile, candidate: Candidate | None, load: ExerciseLoad) -> None:
        self.profiles.append(one)
        self.candidates.append(candidate)
        self.loads.append(load)
        self.known.add(one.id)

    def extend(self, level: int, levers: int, most: int = MOST_CANDIDATES) -> bool:
        """Compute the candidates of a stage; whether any can be done."""
        batch = combined(self.sides, level, levers, most)
        self.capped |= batch.capped
        fresh = {
            one.exercise.id: one for one in batch.candidates if one.exercise.id not in self.known
        }
        if not fresh:
            return False
        loads = self.compute([one.exercise for one in fresh.values()])
        self.computed += len(fresh)
        before = len(self.profiles)
        useful: list[Candidate] = []
        for id, candidate in fresh.items():
            load = loads.get(id)
            if load is None or not sound(load) or self.orders.objection(candidate.exercise, load):
                continue
            varied = profile(candidate.exercise, load)
            side = self.sides[0] if candidate.base is self.sides[0].base else self.sides[1]
            if levers > 1 or helps(side, varied, self.axes):
                useful.append(candidate)
                self._add(varied, candidate, load)
        if levers == 1:
            self._keep(useful, level)
        return len(self.profiles) > before

    def _keep(self, useful: list[Candidate], level: int) -> None:
        """Only settings that help by themselves, or that a coarser level kept, are combined."""
        kept = {(id(one.base), one.settings[0].handle, one.settings[0].key) for one in useful}
        self.sides = tuple(
            replace(side, settings=tuple(
                one for one in side.settings
                if one.level != level or (id(side.base), one.handle, one.key) in kept
            ))
            for side in self.sides
        )  # fmt: skip

    def field(self) -> Field:
        """The rows as columns."""
        columns = nodes(self.profiles, self.judges, self.profiles[1])
        order = {lever: rank for rank, lever in enumerate(self.measured.library.settings.levers)}
        ranks = [
            sum(1.0 + order.get(setting.lever, len(order)) for setting in one.settings)
            if one
            else 0.0
            for one in self.candidates
        ]
        drafts = [1.0 if one else 0.0 for one in self.candidates]
        demand = columns.demand[:, 0]
        return Field(columns, self.judges, demand, np.array(drafts), np.array(ranks),
                     frozenset(self.forbidden | self._overshooting(demand)))  # fmt: skip

    def _overshooting(self, demand: np.ndarray) -> set[tuple[int, int]]:  # type: ignore[type-arg]
        """Nothing on the way asks for more than the harder of the two ends."""
        most = float(np.nanmax(demand[:2], initial=0.0)) * (1 + SETTLING) + 1e-6
        over = [int(row) for row in np.flatnonzero(demand > most)]
        return {pair for row in over for pair in ((0, row), (row, 1))}

    def path(self) -> Bridge | None:
        """The best path through the rows, every step of it measured again."""
        field = self.field()
        for _ in range(MOST_LOOKS):
            rows = best_path(field)
            if rows is None:
                return None
            wrong = {
                (a, b)
                for a, b in pairwise(rows)
                if not allowed_by_all(self.profiles[a], self.profiles[b], self.judges)
            }
            if not wrong:
                return self._bridge(rows)
            self.forbidden |= wrong
            field = replace(field, forbidden=field.forbidden | frozenset(wrong))
        return None

    def _bridge(self, rows: tuple[int, ...]) -> Bridge:
        size = {
            b: max(
                step_between(
                    self.profiles[a], self.profiles[b], one.limits, one.aim, one.works
                ).size
                for one in self.judges
            )
            for a, b in pairwise(rows)
        }
        drafts = [(row, one) for row in rows if (one := self.candidates[row]) is not None]
        return Bridge(
            self.from_id, self.to_id, self.step,
            tuple(self.profiles[row].id for row in rows),
            tuple(Proposal(one, self.loads[row], size[row]) for row, one in drafts),
            size[rows[-1]], None, self.capped, self.computed,
        )  # fmt: skip

    def blocked(self) -> Bridge:
        """Why there is no path: of what can be reached from both ends, the nearest pair."""
        field = self.field()
        up = reachable(field, forward=True)[:MOST_COMPARED]
        down = reachable(field, forward=False)[:MOST_COMPARED]
        size, _ = field.steps(up, down)
        size = np.where(up[:, None] == down[None, :], np.inf, size)
        # Off the ladder's other rules (circles, falling demand) only pairs that are too far block.
        size = np.where(size <= 1 + TOLERANCE, np.inf, size)
        number = int(np.argmin(size))
        a, b = up[number // len(down)], down[number % len(down)]
        step = self.step
        if np.isfinite(size.flat[number]):
            step = max(
                (
                    step_between(self.profiles[a], self.profiles[b], one.limits, one.aim, one.works)
                    for one in self.judges
                ),
                key=lambda step: step.size,
            )
        return Bridge(
            self.from_id, self.to_id, self.step, (), (), None, _block(step), self.capped,
            self.computed,
        )  # fmt: skip


def _rising(step: Step) -> tuple[str, ...]:
    """The axes on which a step rises by more than a little, or is too large."""
    return tuple(
        axis
        for axis, one in step.axes.items()
        if AXES[axis].group
        and (
            one.size > 1 + TOLERANCE
            or rises(axis, one.from_value, one.to_value, AXES[axis].floor or 0.0)
        )
    )


def _block(step: Step) -> Block:
    """The axis of a step that keeps its ends apart, in words."""
    from rungbook.ladder.words import axis_in_words, limit_in_words

    axis = step.worst
    if step.size <= 1 + TOLERANCE and "changes" in step.axes:
        axis = "changes"
    one = step.axes.get(axis) or AxisStep(0.0, 0.0, 1.0, 0.0)
    told = axis_in_words(axis, one) if axis in step.axes else "nothing that is measured"
    message = f"{told}; one step allows {limit_in_words(axis, one.limit)}."
    if axis in DISCRETE:
        message += " Only another position, or another kind of exercise, could lie between."
    return Block(axis, one.from_value, one.to_value, one.limit, message)


def _refused(from_id: str, to_id: str, message: str) -> Bridge:
    step = Step(from_id, to_id, {}, 0.0, 0, "demand")
    block = Block("demand", 0.0, 0.0, 0.0, message)
    return Bridge(from_id, to_id, step, (), (), None, block)
