"""What fills the step between two exercises: the series that a specialist would give.

A search on a finite grid, so that it always ends. Nodes are the two exercises, the library's own
with the same action, and candidates: variations of either exercise with one lever set, or two.
All candidates are computed in one batch. The cheapest way through them is taken (see `route`),
of equal ones the most even. Nothing on the way asks for more than the two ends do.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from itertools import pairwise

from rungbook.filling.blocking import what_blocks
from rungbook.filling.judge import ABOUT_THE_SAME, Judge, is_one_step, too_large
from rungbook.filling.levers import Batch, candidates, settings_between
from rungbook.filling.result import Filling, Proposal, refused
from rungbook.filling.route import Node, Ways, cheapest, own_cost
from rungbook.filling.setting import Candidate
from rungbook.filling.sound import possible, sound
from rungbook.filling.turned import opposite_of
from rungbook.ladder.filters import Filters, ordered_for
from rungbook.ladder.graph import leading_to, reached_from
from rungbook.ladder.limits import AXES
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.profile import Profile, profile
from rungbook.ladder.question import common_works
from rungbook.ladder.restrictions import restrictions_on
from rungbook.ladder.step import Step
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.restriction import Restriction

Loads = Mapping[str, ExerciseLoad]
Compute = Callable[[Iterable[Exercise]], Loads]
Say = Callable[[str], None]
LEAST_SHARE, LEAST_NM = 0.05, 0.5  # a load below these is none: gravity works across the movement
BEYOND = 1.0  # steps: what asks for so much more of anything than either end is left out
MOST_LOOKS = 20


def fill(
    measured: MeasuredLibrary,
    from_id: str,
    to_id: str,
    compute: Compute | None = None,
    ladder: str | None = None,
    say: Say = lambda phase: None,
) -> Filling:
    """What fills the step between two known exercises.

    Args:
        compute: loads in one batch; the library's own person by default.
        ladder: whose limits and scale are used, where not the first that holds both.
        say: is told what is being done.
    """
    reason = refusal(measured, from_id, to_id, ladder)
    if reason:
        return refused(from_id, to_id, reason)
    return Search(measured, from_id, to_id, ladder, compute).filling(say)


def leads_back(measured: MeasuredLibrary, from_id: str, to_id: str) -> str:
    """Why nothing may lead from one exercise to the other, where progressions lead back."""
    if from_id not in reached_from(measured.with_drafts, [to_id]):
        return ""
    return f"{to_id} already leads to {from_id}: it is the easier of the two."


def refusal(measured: MeasuredLibrary, from_id: str, to_id: str, ladder: str | None = None) -> str:
    """Why nothing can lie between two exercises, before anything is computed; else nothing."""
    exercises = measured.library.exercises
    for id in (from_id, to_id):
        if id not in measured.loads:
            return f"the load of {id} is not known."
    if not common_works(measured, from_id, to_id, ladder):
        works = [", ".join(map(str, exercises[id].works)) for id in (from_id, to_id)]
        return (
            f"{from_id} works {works[0] or 'nothing'} and {to_id} {works[1] or 'nothing'}: "
            "no exercise lies between two without a common action."
        )
    return leads_back(measured, from_id, to_id)


class Search:
    """The nodes between two exercises, and the way through them."""

    def __init__(
        self,
        measured: MeasuredLibrary,
        from_id: str,
        to_id: str,
        ladder: str | None = None,
        compute: Compute | None = None,
    ) -> None:
        self.measured = measured
        library = measured.library
        self.ends = (library.exercises[from_id], library.exercises[to_id])
        self.compute = compute or (
            lambda batch: compute_loads(batch, library, numbers_only=True, explained=False)
        )
        self.exact = compute or (lambda batch: compute_loads(batch, library, explained=False))
        self.easier, self.harder = (measured.profiles[one.id] for one in self.ends)
        self.judge = Judge.of(measured, self.easier, self.harder, ladder)
        self.step = self.judge.step(self.easier, self.harder)
        self.counted = self.judge.counted(self.step, self.harder)
        self.orders = self._orders()
        self.loads: dict[str, ExerciseLoad] = {id: measured.loads[id] for id in (from_id, to_id)}

    def _orders(self) -> tuple[tuple[str, Restriction], ...]:
        """The restrictions in force: the ladder's; off ladders those that both ends obey."""
        known = self.measured.library.vocabulary.restrictions
        if self.judge.ladder is not None:
            return restrictions_on(self.judge.ladder.ladder.restrictions, known)
        return tuple(
            (key, order)
            for key, order in ordered_for(self.measured, self.easier.id, self.harder.id)
            if all(
                Filters(restrictions=((key, order),)).objection(one, self.measured.loads[one.id])
                is None
                for one in self.ends
            )
        )

    def filling(self, say: Say) -> Filling:
        """The best way, or what blocks it."""
        if is_one_step(self.step):
            return self._told((self._node(self.easier), self._node(self.harder)), Batch((), 0))
        batch = self._batch()
        say(f"computing {len(batch.candidates)} variations")
        self.loads |= self.compute([one.exercise for one in batch.candidates])
        say("looking for the way with the fewest changes")
        usable = [node for one in batch.candidates if (node := self._usable(one))]
        ways = self._ways(
            [node for node in usable if node.candidate is None or not node.candidate.needs]
        )
        found = self._possible_way(ways)
        if found is not None:
            return self._told(found, batch)
        with_means = self._ways(usable)
        helped = cheapest(with_means) if len(with_means.nodes) > len(ways.nodes) else None
        needed = [with_means.nodes[row].candidate for row in helped or ()]
        needs = next((one for one in needed if one is not None and one.needs), None)
        block = what_blocks(ways, self.step, needs, self.measured.library)
        return Filling(
            self.easier.id, self.harder.id, self.step, blocked_by=block, ladder=self.judge.id,
            computed=len(batch.candidates), left_out=batch.left_out,
        )  # fmt: skip

    def _batch(self) -> Batch:
        library, (easier, harder) = self.measured.library, self.ends
        loads = self.measured.loads
        sides = (
            (harder, settings_between(harder, easier, library, loads[harder.id], True)),
            (easier, settings_between(easier, harder, library, loads[easier.id], False)),
        )
        apart = too_large(self.step)
        batch = candidates(sides, rising(self.step), apart)
        fresh = tuple(one for one in batch.candidates if one.exercise.id not in library.exercises)
        return Batch(fresh, batch.left_out)

    def _ways(self, drafts: list[Node]) -> Ways:
        nodes = [self._node(self.easier), self._node(self.harder), *self._existing(), *drafts]
        graph = self.measured.with_drafts
        ids = {node.id for node in nodes if node.candidate is None}
        written = frozenset(edge for edge in graph.edges if ids.issuperset(edge))
        backward = frozenset(
            (id, before) for id in ids for before in leading_to(graph, id) & ids if before != id
        )
        return Ways(nodes, self.judge.step, written, backward)

    def _node(self, one: Profile, candidate: Candidate | None = None) -> Node:
        order: dict[str, int] = {
            lever: rank for rank, lever in enumerate(self.measured.library.settings.levers)
        }
        cost = own_cost(candidate, self.harder.id, order) if candidate else 0
        return Node(one, one.demand(self.counted), candidate, cost)

    def _existing(self) -> Iterable[Node]:
        """The library's exercises of the same action that may lie between.

        None that would close a circle, none that only other ladders have, none under an order that
        does not hold here: nobody asked for those.
        """
        from_id, to_id = self.easier.id, self.harder.id
        graph = self.measured.with_drafts
        works = common_works(self.measured, from_id, to_id, self.judge.id)
        circular = leading_to(graph, from_id) | reached_from(graph, [to_id])
        ordered = {key for key, _ in self.orders}
        ordered |= {key for one in self.ends for key in one.restrictions}
        for other in self.measured.library.exercises.values():
            if other.id in circular or not (set(other.works) & works or self._beside(other.id)):
                continue
            if not self._is_ours(other.id) or not ordered.issuperset(other.restrictions):
                continue
            load = self.measured.loads.get(other.id)
            if load is not None and self._fits(other, load):
                node = self._node(profile(other, load))
                if self._lies_between(node):
                    self.loads[other.id] = load
                    yield node

    def _beside(self, id: str) -> bool:
        return self.judge.ladder is not None and id in self.judge.ladder.rungs

    def _is_ours(self, id: str) -> bool:
        """Whether an exercise is on a ladder with one of the two ends, or on none."""
        holding = [set(one.rungs) for one in self.measured.ladders.values() if id in one.rungs]
        return not holding or any({self.easier.id, self.harder.id} & one for one in holding)

    def _usable(self, candidate: Candidate) -> Node | None:
        """A candidate that can be done, obeys the orders and has a load."""
        load = self.loads.get(candidate.exercise.id)
        if load is None or not self._fits(candidate.exercise, load):
            return None
        node = self._node(profile(candidate.exercise, load), candidate)
        return node if self._lies_between(node) else None

    def _fits(self, exercise: Exercise, load: ExerciseLoad) -> bool:
        if not sound(load):
            return False
        own = restrictions_on(exercise.restrictions, self.measured.library.vocabulary.restrictions)
        orders = Filters(restrictions=tuple(sorted({**dict(self.orders), **dict(own)}.items())))
        return orders.objection(exercise, load) is None

    def _lies_between(self, node: Node) -> bool:
        """Whether something has to act, and nothing asks for more than either end does."""
        exercise = node.candidate.exercise if node.candidate else None
        ends = [one.demand(self.counted) for one in (self.easier, self.harder)]
        least = max(LEAST_NM, LEAST_SHARE * ends[1])
        if exercise is not None and not exercise.passive and node.demand_nm < min(least, ends[1]):
            return False
        if node.demand_nm > max(ends) * (1 + ABOUT_THE_SAME) + 1e-6:
            return False
        beyond = [
            {axis for axis, one in self.judge.step(end, node.profile).axes.items()
             if one.size > BEYOND and AXES[axis].group}
            for end in (self.easier, self.harder)
        ]  # fmt: skip
        return not beyond[0] & beyond[1]

    def _possible_way(self, ways: Ways) -> tuple[Node, ...] | None:
        """The best way whose drafts, computed exactly, ask no leg to pass through the bed."""
        for _ in range(MOST_LOOKS):
            rows = cheapest(ways)
            if rows is None:
                return None
            nodes = tuple(ways.nodes[row] for row in rows)
            drafts = [node.candidate for node in nodes if node.candidate is not None]
            exact = self.exact([one.exercise for one in drafts])
            wrong = {
                one.exercise.id
                for one in drafts
                if not possible(one.exercise, exact[one.exercise.id], one.base,
                                self.measured.loads[one.base.id])
            }  # fmt: skip
            if not wrong:
                self.loads |= exact
                return nodes
            ways.without(wrong)
        return None

    def _told(self, nodes: tuple[Node, ...], batch: Batch) -> Filling:
        size = {
            after.id: self.judge.step(before.profile, after.profile).size
            for before, after in pairwise(nodes)
        }
        proposals = tuple(
            Proposal(one, self.loads[node.id], size[node.id], opposite_of(one, node.profile))
            for node in nodes
            if (one := node.candidate) is not None
        )
        return Filling(
            self.easier.id, self.harder.id, self.step, tuple(node.id for node in nodes), proposals,
            size[self.harder.id], None, self.judge.id, len(batch.candidates), batch.left_out, size,
        )  # fmt: skip


def rising(step: Step) -> frozenset[str]:
    """The axes on which a step rises by more than a little, or is too large."""
    return frozenset(
        axis
        for axis, one in step.axes.items()
        if AXES[axis].group and (axis in too_large(step) or one.change > 0)
    )
