"""The rows of a search between two exercises, computed stage by stage, and the way through them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import pairwise

import numpy as np

from rungbook.filling.grid import MOST_CANDIDATES, Compute, Side, combined, helps, sound
from rungbook.filling.joins import Floats, Judge, allowed_by_all, nodes
from rungbook.filling.levers import settings_between
from rungbook.filling.lying import possible
from rungbook.filling.paths import SETTLING, Field, best_path, reachable
from rungbook.filling.result import Filling, Proposal, blocked_by, refused
from rungbook.filling.setting import Candidate
from rungbook.ladder.filters import Filters, ordered_for
from rungbook.ladder.graph import leading_to, reached_from
from rungbook.ladder.limits import AXES, Limits, limits_for
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.question import ladder_of
from rungbook.ladder.ruler import Aim
from rungbook.ladder.scale import scale_for
from rungbook.ladder.step import Step
from rungbook.ladder.steps import TOLERANCE
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.movement import Action

MOST_LOOKS = 60  # paths whose steps are measured again before the search gives up on a stage
MOST_COMPARED = 1500


def judges_of(measured: MeasuredLibrary, easier: Profile, harder: Profile) -> tuple[Judge, ...]:
    """By what the steps between two exercises are judged: one scale for the whole question."""
    ladder = ladder_of(measured, easier.id, harder.id)
    if ladder is not None:
        ruler, start = ladder.ruler, ladder.prepared.get(easier.id, {})
        return (Judge(ruler.limits, ruler.aim_for(harder), ruler.scale, start),)
    limits = limits_for(measured.library.settings)
    ratio = limits.of("demand")
    scale = None if ratio is None else scale_for(harder, ratio)
    return (Judge(limits, Aim.of(harder), scale, {}),)


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
        self.judges = judges_of(measured, easier, harder)
        self.step = max(
            (one.step(easier, harder) for one in self.judges),
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
    ) -> Search | Filling:
        """A search with the library's own exercises in it, or a verdict that needs none."""
        exercises = measured.library.exercises
        for id in (from_id, to_id):
            if id not in measured.loads:
                return refused(from_id, to_id, f"the load of {id} is not known.")
        if not common_works(measured, from_id, to_id):
            works = [", ".join(map(str, exercises[id].works)) for id in (from_id, to_id)]
            message = (
                f"{from_id} works {works[0] or 'nothing'} and {to_id} {works[1] or 'nothing'}: "
                "no exercise lies between two without a common action."
            )
            return refused(from_id, to_id, message)
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
        """Other exercises with the same action, or that of an end, that would close no circle."""
        graph, exercises = self.measured.graph, self.measured.library.exercises
        works = common_works(self.measured, self.from_id, self.to_id)
        circular = leading_to(graph, self.from_id) | reached_from(graph, [self.to_id])
        as_ends = (exercises[self.from_id].works, exercises[self.to_id].works)
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
            known = set(other.works) & works or other.works in as_ends or other.id in beside
            if not known:
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
        exercises = self.measured.library.exercises
        fresh = {
            one.exercise.id: one
            for one in batch.candidates
            if one.exercise.id not in self.known and one.exercise.id not in exercises
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
            harder = candidate.base is self.sides[0].base
            side, base_load = (self.sides[0 if harder else 1], self.loads[1 if harder else 0])
            if not possible(candidate.exercise, load, side.base, base_load):
                continue
            if levers > 1 or helps(side, varied, self.axes):
                useful.append(candidate)
                self._add(varied, candidate, load)
        if levers == 1:
            self._keep(useful, level)
        return len(self.profiles) > before

    def _keep(self, useful: list[Candidate], level: int) -> None:
        """Only settings that help by themselves, or that a coarser level kept, are combined.

        Where the load itself is no step too far, what makes up for load taken away is kept too.
        """
        kept = {(id(one.base), one.settings[0].handle, one.settings[0].key) for one in useful}
        demand = self.step.axes.get("demand")
        made_up = demand is None or demand.size <= 1 + TOLERANCE
        self.sides = tuple(
            replace(side, settings=tuple(
                one for one in side.settings
                if one.level != level
                or (one.makes_up and made_up)
                or (id(side.base), one.handle, one.key) in kept
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
        return Field(
            columns,
            self.judges,
            demand,
            np.array(drafts),
            np.array(ranks),
            forbidden=frozenset(self.forbidden | self._overshooting(demand)),
            written=self._written(),
        )

    def _written(self) -> frozenset[tuple[int, int]]:
        """The progressions that the library has between the rows."""
        rows = {one.id: row for row, one in enumerate(self.profiles)}
        return frozenset(
            (row, rows[harder])
            for easier, row in rows.items()
            if easier in self.measured.graph
            for harder in self.measured.graph[easier]
            if harder in rows
        )

    def _overshooting(self, demand: Floats) -> set[tuple[int, int]]:
        """Nothing on the way asks for more than the harder of the two ends."""
        most = float(np.nanmax(demand[:2], initial=0.0)) * (1 + SETTLING) + 1e-6
        over = [int(row) for row in np.flatnonzero(demand > most)]
        return {pair for row in over for pair in ((0, row), (row, 1))}

    def path(self) -> Filling | None:
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
                return self._filling(rows)
            self.forbidden |= wrong
            field = replace(field, forbidden=field.forbidden | frozenset(wrong))
        return None

    def _filling(self, rows: tuple[int, ...]) -> Filling:
        size = {
            b: max(one.step(self.profiles[a], self.profiles[b]).size for one in self.judges)
            for a, b in pairwise(rows)
        }
        drafts = [(row, one) for row in rows if (one := self.candidates[row]) is not None]
        return Filling(
            self.from_id, self.to_id, self.step,
            tuple(self.profiles[row].id for row in rows),
            tuple(Proposal(one, self.loads[row], size[row]) for row, one in drafts),
            size[rows[-1]], None, self.capped, self.computed,
        )  # fmt: skip

    def blocked(self) -> Filling:
        """Why there is no path: of what can be reached from both ends, the nearest pair.

        A dose can always be set: volume is named only where the step itself is too large by it.
        """
        field = self.field()
        if self.step.worst != "volume":
            self.judges = tuple(_without_volume(one) for one in self.judges)
        up = reachable(field, forward=True)[:MOST_COMPARED]
        down = reachable(field, forward=False)[:MOST_COMPARED]
        size, _ = replace(field, judges=self.judges).steps(up, down)
        size = np.where(up[:, None] == down[None, :], np.inf, size)
        # Off the ladder's other rules (circles, falling demand) only pairs that are too far block.
        size = np.where(size <= 1 + TOLERANCE, np.inf, size)
        number = int(np.argmin(size))
        a, b = up[number // len(down)], down[number % len(down)]
        step = self.step
        if np.isfinite(size.flat[number]):
            step = max(
                (one.step(self.profiles[a], self.profiles[b]) for one in self.judges),
                key=lambda step: step.size,
            )
        return Filling(
            self.from_id, self.to_id, self.step, (), (), None, blocked_by(step), self.capped,
            self.computed,
        )  # fmt: skip


def _without_volume(judge: Judge) -> Judge:
    wide, narrow = (
        {axis: limit for axis, limit in limits.items() if axis != "volume"}
        for limits in (judge.limits.wide, judge.limits.narrow)
    )
    return replace(judge, limits=Limits(wide, narrow))


def _rising(step: Step) -> tuple[str, ...]:
    """The axes on which a step rises by more than a little, or is too large."""
    return tuple(
        axis
        for axis, one in step.axes.items()
        if AXES[axis].group and (one.size > 1 + TOLERANCE or one.change > 0)
    )
