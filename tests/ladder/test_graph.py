"""What can be read off the graph of progressions, on graphs with known answers."""

import random

import networkx as nx
import pytest

from rungbook.ladder import graph as graphs
from rungbook.model.ladder import Ladder


def edges(text: str) -> nx.DiGraph:
    """`a>b b>c` as a graph."""
    graph = nx.DiGraph()
    for number, pair in enumerate(text.split()):
        easier, harder = pair.split(">")
        graph.add_edge(easier, harder, index=number)
    return graph


def ladder(goal: str, *entries: str) -> Ladder:
    names = ("high", "moderate", "low")
    return Ladder(id="l", title="L", goal=goal, entries=dict(zip(names, entries, strict=False)))


def test_rungs_are_the_exercises_on_any_way_from_an_entry_to_the_goal():
    graph = edges("a>b b>d a>c c>d d>e x>d c>y")
    assert graphs.rungs(graph, ladder("d", "a")) == ("a", "b", "c", "d")


def test_a_ladder_without_entries_may_be_entered_anywhere():
    assert graphs.rungs(edges("a>b x>b b>c"), ladder("b")) == ("a", "x", "b")


def test_a_goal_that_no_entry_leads_to_has_no_rungs():
    assert graphs.rungs(edges("a>b c>d"), ladder("d", "a")) == ()
    assert graphs.rungs(edges("a>b"), ladder("nowhere", "a")) == ()


def test_rungs_on_a_cycle_stand_together_and_after_those_that_lead_there():
    assert graphs.rungs(edges("z>b b>c c>b c>d"), ladder("d", "z")) == ("z", "b", "c", "d")


def test_the_shortest_cycle_starts_at_its_smallest_name():
    assert graphs.shortest_cycles(edges("d>b b>c c>d c>e e>f f>b g>g")) == (("b", "c", "d"), ("g",))


def test_a_graph_without_cycles_has_none():
    assert graphs.shortest_cycles(edges("a>b b>c a>c")) == ()


def test_single_ways_are_what_every_route_depends_on():
    graph = edges("a>b a>c b>d c>d d>e e>g")
    assert graphs.single_ways(graph, ["a"], "g") == ("d", "e")
    assert graphs.single_ways(graph, ["a", "b"], "g") == ("d", "e")
    assert graphs.single_ways(edges("a>b b>c"), ["a", "b"], "c") == ("b",)


def test_a_progression_that_others_imply_is_redundant():
    graph = edges("a>b b>c a>c c>d a>d")
    assert list(graphs.redundant_edges(graph)) == [(("a", "c"), "b"), (("a", "d"), "b")]


def test_a_way_back_through_a_cycle_makes_nothing_redundant():
    assert list(graphs.redundant_edges(edges("a>b b>a a>c"))) == []


@pytest.mark.parametrize("seed", range(60))
def test_cycles_and_rungs_agree_with_networkx_on_random_graphs(seed: int):
    graph = nx.relabel_nodes(nx.gnp_random_graph(8, 0.18, seed=seed, directed=True), str)
    cycles = [len(cycle) for cycle in nx.simple_cycles(graph)]
    found = [len(cycle) for cycle in graphs.shortest_cycles(graph)]
    assert min(found, default=0) == min(cycles, default=0)
    expected = (nx.descendants(graph, "0") | {"0"}) & (nx.ancestors(graph, "7") | {"7"})
    assert set(graphs.rungs(graph, ladder("7", "0"))) == expected
    known = graphs.reachability(graph)
    for a in graph:
        assert {b for b in graph if known.leads_to(a, b)} == nx.descendants(graph, a) | {a}


@pytest.mark.parametrize("seed", range(40))
def test_without_its_redundant_edges_an_acyclic_graph_is_its_transitive_reduction(seed: int):
    chance = random.Random(seed)
    graph = nx.DiGraph(
        (str(a), str(b)) for a in range(9) for b in range(a + 1, 9) if chance.random() < 0.35
    )
    kept = set(graph.edges) - {edge for edge, _ in graphs.redundant_edges(graph)}
    assert kept == set(nx.transitive_reduction(graph).edges)


@pytest.mark.parametrize("seed", range(40))
def test_single_ways_agree_with_taking_each_rung_away(seed: int):
    chance = random.Random(seed)
    graph = nx.DiGraph(
        (str(a), str(b)) for a in range(9) for b in range(a + 1, 9) if chance.random() < 0.3
    )
    graph.add_nodes_from(map(str, range(9)))
    if not nx.has_path(graph, "0", "8"):
        assert graphs.single_ways(graph, ["0"], "8") == ()
        return
    needed = [
        node
        for node in map(str, range(1, 8))
        if not nx.has_path(graph.subgraph(set(graph) - {node}), "0", "8")
    ]
    assert list(graphs.single_ways(graph, ["0"], "8")) == needed
