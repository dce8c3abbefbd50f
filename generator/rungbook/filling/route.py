"""The cheapest way between two exercises through many nodes; of equal ones the most even.

What a way costs, in thousandths of a rung. A rung is 1; a second lever, another base exercise or
another helper than on the rung before 1¼ each, so that one more rung of a series beats a shorter
patchwork; a lever that the library ranks lower or in which the two exercises do not differ, a
finer setting, and a draft where the library has an exercise, a little. A lower bound on what is
still to come (a step of 2.4 lacks two rungs) keeps the search from measuring steps that cannot
matter.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from rungbook.filling.judge import ABOUT_THE_SAME, is_one_step
from rungbook.filling.setting import Candidate
from rungbook.ladder.profile import Profile
from rungbook.ladder.step import Step

RUNG, CHANGE = 1000, 1250
DRAFT, LOWER_LEVER, UNASKED, FINER, EASIER_BASE = 50, 10, 60, 3, 5
SMALL = 1e-9


@dataclass(frozen=True, slots=True)
class Node:
    """An exercise on the way: one of the library, or a candidate."""

    profile: Profile
    demand_nm: float
    candidate: Candidate | None = None
    own_cost: int = 0  # what it costs beside being a rung

    @property
    def id(self) -> str:
        """The exercise's."""
        return self.profile.id

    @property
    def base(self) -> str:
        """The exercise that is varied, or the one that it is."""
        return self.candidate.base.id if self.candidate else self.id


def own_cost(candidate: Candidate, harder: str, order: Mapping[str, int]) -> int:
    """What a draft costs beside being a rung; `order` are the library's levers by rank."""
    levers = sum(
        LOWER_LEVER * order.get(one.lever, len(order))
        + FINER * one.fine
        + (0 if one.apart else UNASKED)
        for one in candidate.settings
    )
    return DRAFT + levers + (0 if candidate.base.id == harder else EASIER_BASE)


def changes(before: Node, after: Node, first: bool) -> int:
    """How many things change from one rung to the next beside the degree of one lever."""
    now = after.candidate
    if now is None:
        return 0 if first else 1
    if first or before.candidate is None:
        return len(now.settings) - 1 + (0 if first else 1)
    was = {one.handle: one.by for one in before.candidate.settings}
    is_now = {one.handle: one.by for one in now.settings}
    helpers = sum(was[handle] != by for handle, by in is_now.items() if handle in was)
    return len(is_now.keys() - was.keys()) + helpers + (before.base != after.base)


@dataclass
class Ways:
    """Steps between nodes, measured when they are first asked for. Ends are the nodes 0 and 1."""

    nodes: list[Node]
    measure: Callable[[Profile, Profile], Step]
    known: frozenset[tuple[str, str]] = frozenset()  # progressions of the library
    closed: frozenset[tuple[str, str]] = frozenset()  # pairs that may not follow
    _steps: dict[tuple[int, int], float | None] = field(default_factory=dict)

    def size(self, a: int, b: int) -> float | None:
        """The size of a step that may be taken; None of one that may not."""
        if (a, b) not in self._steps:
            self._steps[a, b] = self._size(self.nodes[a], self.nodes[b])
        return self._steps[a, b]

    def _size(self, before: Node, after: Node) -> float | None:
        edge = (before.id, after.id)
        least = min(before.demand_nm, self.nodes[1].demand_nm) * (1 - ABOUT_THE_SAME) - 1e-6
        if edge in self.closed or (after.demand_nm < least and edge not in self.known):
            return None
        step = self.measure(before.profile, after.profile)
        return step.size if is_one_step(step) else None

    def without(self, ids: set[str]) -> None:
        """Leave nodes out; what is known by number is measured again."""
        self.nodes = [one for one in self.nodes if one.id not in ids]
        self._steps = {}

    def missing(self, a: int) -> int:
        """How many rungs lie between a node and the harder end at least."""
        return self.measure(self.nodes[a].profile, self.nodes[1].profile).missing

    def cost(self, a: int, b: int) -> int:
        """What the step from one node to another costs."""
        before, after = self.nodes[a], self.nodes[b]
        if b == 1:
            return 0
        written = (before.id, after.id) in self.known
        turned = 0 if written else changes(before, after, a == 0)
        return RUNG + after.own_cost + CHANGE * turned


def cheapest(ways: Ways) -> tuple[int, ...] | None:
    """The nodes of the best way from node 0 to node 1; None without one."""
    graph = _cheapest_steps(ways)
    if graph is None:
        return None
    reached, before = graph
    return _most_even(ways, reached, before)


Before = dict[int, list[int]]


def _cheapest_steps(ways: Ways) -> tuple[dict[int, int], Before] | None:
    """What each node costs at least, and the nodes before it on cheapest ways (A*)."""
    reached, before = {0: 0}, {0: list[int]()}
    bound = {1: 0}
    waiting, done = [(0, 0, 0)], set[int]()
    best: int | None = None
    while waiting:
        estimate, cost, node = heapq.heappop(waiting)
        if node in done or cost > reached[node] or (best is not None and estimate > best):
            continue
        if node == 1:
            best = cost
            continue
        done.add(node)
        for after in range(1, len(ways.nodes)):
            if after in done or after == node or after == 0:
                continue
            there = cost + ways.cost(node, after)
            if there > reached.get(after, there):
                continue
            if after not in bound:
                bound[after] = RUNG * ways.missing(after)
            if best is not None and there + bound[after] > best:
                continue
            if ways.size(node, after) is None:
                continue
            if there < reached.get(after, there + 1):
                reached[after], before[after] = there, []
                heapq.heappush(waiting, (there + bound[after], there, after))
            before[after].append(node)
    return None if best is None else (reached, before)


def _most_even(ways: Ways, reached: Mapping[int, int], before: Before) -> tuple[int, ...]:
    """Of the cheapest ways the one whose largest step is smallest, then the evenest, then by id."""
    on_the_way = _leading_to_the_end(before)
    order = sorted(on_the_way, key=lambda node: (node == 1, reached[node], ways.nodes[node].id))
    largest: dict[int, float] = {0: 0.0}
    for node in order:
        if node:
            largest[node] = min(
                max(largest[one], ways.size(one, node) or 0.0) for one in before[node]
            )
    best: dict[int, tuple[float, tuple[str, ...], tuple[int, ...]]] = {0: (0.0, (), (0,))}
    for node in order:
        ways_here = [
            (round(best[one][0] + size**2, 9), (*best[one][1], ways.nodes[node].id),
             (*best[one][2], node))
            for one in before[node]
            if one in best and (size := ways.size(one, node) or 0.0) <= largest[1] + SMALL
        ]  # fmt: skip
        if node and ways_here:
            best[node] = min(ways_here)
    return best[1][2]


def _leading_to_the_end(before: Before) -> set[int]:
    found, waiting = {1}, [1]
    while waiting:
        for node in before[waiting.pop()]:
            if node not in found:
                found.add(node)
                waiting.append(node)
    return found


def reached(ways: Ways, forward: bool) -> list[int]:
    """The nodes that can be reached from node 0, or from which node 1 can be, nearest first."""
    start = 0 if forward else 1
    found, rest = [start], [one for one in range(2, len(ways.nodes))]
    for node in found:
        near = [
            one
            for one in rest
            if (ways.size(node, one) if forward else ways.size(one, node)) is not None
        ]
        found += near
        rest = [one for one in rest if one not in near]
    return found
