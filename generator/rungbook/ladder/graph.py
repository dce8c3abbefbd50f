"""Progressions as a directed graph, easier to harder, and what can be read off it.

Nodes are exercise ids; an edge is a progression between two known exercises and carries
`index`, its number in the easier exercise's `progressions`. Regressions are the edges read
backwards. Every function takes graphs with cycles and answers in an order that depends on
nothing but the graph.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Hashable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx

from rungbook.model.ladder import Ladder
from rungbook.model.library import Library

Edge = tuple[str, str]


def progression_graph(library: Library, drafts: bool = False) -> nx.DiGraph[str]:
    """Every exercise as a node, every progression to a known exercise as an edge.

    Progressions that are drafts are edges only where `drafts` are asked for. Where an exercise
    names the same progression twice, the first one counts. A progression to the exercise itself
    stays in, as a cycle of one.
    """
    graph: nx.DiGraph[str] = nx.DiGraph()
    graph.add_nodes_from(library.exercises)
    for exercise in library.exercises.values():
        for index, progression in enumerate(exercise.progressions):
            edge = (exercise.id, progression.to)
            if progression.draft and not drafts:
                continue
            if progression.to in graph and not graph.has_edge(*edge):
                graph.add_edge(*edge, index=index, draft=progression.draft)
    return graph


def progressions_of(graph: nx.DiGraph[str], exercise: str) -> tuple[str, ...]:
    """The harder neighbours, in the order they were written."""
    following = graph[exercise]
    return tuple(sorted(following, key=lambda to: (following[to].get("index", 0), to)))


def regressions_of(graph: nx.DiGraph[str], exercise: str) -> tuple[str, ...]:
    """The easier neighbours, by id: the progressions that lead here, read backwards."""
    return tuple(sorted(graph.pred[exercise]))


def reached_from(graph: nx.DiGraph[str], starts: Iterable[str]) -> set[str]:
    """The starts that are known, and everything harder that follows from them."""
    return _closure(graph.adj, (start for start in starts if start in graph))


def leading_to(graph: nx.DiGraph[str], goal: str) -> set[str]:
    """The goal, if it is known, and everything easier that leads to it."""
    return _closure(graph.pred, (node for node in (goal,) if node in graph))


def rungs_below(graph: nx.DiGraph[str], exercise: str) -> dict[str, int]:
    """How many progressions lead from every easier exercise up to this one, the fewest."""
    if exercise not in graph:
        return {}
    found = nx.single_source_shortest_path_length(graph.reverse(copy=False), exercise)
    return {rung: away for rung, away in found.items() if away}


def _closure(neighbours: Mapping[str, Iterable[str]], starts: Iterable[str]) -> set[str]:
    seen = set(starts)
    waiting = list(seen)
    while waiting:
        for node in neighbours[waiting.pop()]:
            if node not in seen:
                seen.add(node)
                waiting.append(node)
    return seen


def on_the_way(graph: nx.DiGraph[str], ladder: Ladder) -> set[str]:
    """The exercises on any way from an entry to the goal.

    A ladder without entries may be entered anywhere: everything that leads to its goal.
    """
    leading = leading_to(graph, ladder.goal)
    if not ladder.entries:
        return leading
    return leading & reached_from(graph, ladder.entries.values())


def rungs(graph: nx.DiGraph[str], ladder: Ladder) -> tuple[str, ...]:
    """The rungs of a ladder, easiest first.

    A rung comes after every rung that leads to it; among those that no progression orders,
    the one with the fewest rungs below comes first, then by id. Rungs on a cycle stand
    together. Empty where no entry leads to the goal.
    """
    return topological_order(graph.subgraph(on_the_way(graph, ladder)))


def topological_order(graph: nx.DiGraph[str]) -> tuple[str, ...]:
    """All nodes, easier before harder; generation by generation, each by id."""
    knots = nx.condensation(graph)
    order: list[str] = []
    for generation in nx.topological_generations(knots):
        members = (sorted(knots.nodes[knot]["members"]) for knot in generation)
        order.extend(node for knot in sorted(members) for node in knot)
    return tuple(order)


def ladder_edges(graph: nx.DiGraph[str], members: Iterable[str]) -> tuple[Edge, ...]:
    """The progressions between some rungs, in the order of the rungs."""
    order = tuple(members)
    position = {rung: number for number, rung in enumerate(order)}
    return tuple(
        (rung, to)
        for rung in order
        for to in sorted(
            (to for to in graph[rung] if to in position and to != rung), key=position.__getitem__
        )
    )


def draft_way(with_drafts: nx.DiGraph[str], easier: str, harder: str) -> tuple[str, ...]:
    """What drafts put between two exercises: the rungs of the way with the fewest others.

    `with_drafts` is a graph that has drafts too. Nothing where no draft leads on from the first.
    """
    inner = nx.restricted_view(with_drafts, (), [(easier, harder)])

    def weight(_: str, __: str, values: Mapping[str, object]) -> int:
        return 1 if values.get("draft") else len(with_drafts)

    try:
        way = nx.dijkstra_path(inner, easier, harder, weight)
    except (nx.NodeNotFound, nx.NetworkXNoPath):
        return ()
    drafts = any(with_drafts.edges[edge].get("draft") for edge in pairwise(way))
    return tuple(way[1:-1]) if drafts else ()


def shortest_cycles(graph: nx.DiGraph[str]) -> tuple[tuple[str, ...], ...]:
    """The shortest cycle of every knot of cycles, each starting at its smallest id.

    A cycle `(a, b, c)` means a → b → c → a; a progression to itself is `(a,)`.
    """
    loops = sorted((node,) for node in nx.nodes_with_selfloops(graph))
    knots = (knot for knot in nx.strongly_connected_components(graph) if len(knot) > 1)
    return tuple(sorted([*loops, *(_shortest_cycle(graph, knot) for knot in knots)]))


def _shortest_cycle(graph: nx.DiGraph[str], knot: set[str]) -> tuple[str, ...]:
    """The shortest cycle within a strongly connected set of two nodes or more.

    Once all cycles through a node are known the node is taken out, and with it everything
    that is on no cycle any more: a ring of thousands takes one search.
    """
    following = {node: sorted(set(graph[node]) & knot - {node}) for node in sorted(knot)}
    best: tuple[str, ...] = ()
    rest = nx.DiGraph((node, to) for node, tos in following.items() for to in tos)
    for start in following:
        if start not in rest:
            continue
        found = _cycle_through(rest, start, len(best) - 1 if best else len(knot))
        best = found or best
        _take_out(rest, start)
        if len(best) == 2:
            break
    least = best.index(min(best))
    return best[least:] + best[:least]


def _cycle_through(graph: nx.DiGraph[str], start: str, most: int) -> tuple[str, ...]:
    """The shortest cycle through `start` of at most `most` edges, or nothing."""
    came_from: dict[str, str] = {}
    waiting = deque([(start, 0)])
    while waiting:
        node, length = waiting.popleft()
        if length >= most:
            return ()
        for to in sorted(graph[node]):
            if to == start:
                way = [node]
                while way[-1] != start:
                    way.append(came_from[way[-1]])
                return tuple(reversed(way))
            if to not in came_from:
                came_from[to] = node
                waiting.append((to, length + 1))
    return ()


def _take_out(graph: nx.DiGraph[str], node: str) -> None:
    waiting = [node]
    while waiting:
        gone = waiting.pop()
        if gone not in graph:
            continue
        around = [*graph.pred[gone], *graph[gone]]
        graph.remove_node(gone)
        waiting.extend(
            other for other in around if other in graph and not (graph.pred[other] and graph[other])
        )


def single_ways(graph: nx.DiGraph[str], entries: Iterable[str], goal: str) -> tuple[str, ...]:
    """The rungs every route from any of the entries to the goal depends on, easiest first.

    Without the goal, and without an entry that is the only one. These are the dominators of
    the goal (Lengauer and Tarjan 1979) seen from a source before all entries.
    """
    starts = sorted({entry for entry in entries if entry in graph})
    if goal not in graph or not starts:
        return ()
    members = leading_to(graph, goal) & reached_from(graph, starts)
    if goal not in members:
        return ()
    source = object()
    ways: nx.DiGraph[Hashable] = nx.DiGraph(graph.subgraph(members).edges)
    ways.add_edges_from((source, entry) for entry in starts if entry in members)
    above: Mapping[Hashable, Hashable] = nx.immediate_dominators(ways, source)
    chain: list[str] = []
    node = above.get(goal)
    while isinstance(node, str):
        chain.append(node)
        node = above.get(node)
    return tuple(node for node in reversed(chain) if starts != [node])


@dataclass(frozen=True)
class Reachability:
    """Which exercises can be reached from which, as bit sets over the knots of cycles."""

    knot_of: Mapping[str, int]
    reached: tuple[int, ...]  # by knot: bit k is set where knot k can be reached

    def leads_to(self, easier: str, harder: str) -> bool:
        """Whether one or more progressions lead from one to the other (or both are one)."""
        return bool(self.reached[self.knot_of[easier]] >> self.knot_of[harder] & 1)


def reachability(graph: nx.DiGraph[str]) -> Reachability:
    """All pairs at once: one bit set a knot, hardest first (10,000 nodes in under a second)."""
    knots = nx.condensation(graph)
    reached = [0] * len(knots)
    for knot in reversed(list(nx.topological_sort(knots))):
        bits = 1 << knot
        for following in knots[knot]:
            bits |= reached[following]
        reached[knot] = bits
    return Reachability(knots.graph["mapping"], tuple(reached))


def redundant_edges(graph: nx.DiGraph[str]) -> Iterator[tuple[Edge, str]]:
    """Progressions that other progressions already imply, with the neighbour by way of which.

    Edges within a knot of cycles, and between the same two knots, are left alone: there
    nobody can say which of them is the short cut.
    """
    known = reachability(graph)
    for easier in sorted(graph):
        here = known.knot_of[easier]
        following = progressions_of(graph, easier)
        for harder in following:
            there = known.knot_of[harder]
            if there == here:
                continue
            for other in following:
                if known.knot_of[other] not in (here, there) and known.leads_to(other, harder):
                    yield (easier, harder), other
                    break
