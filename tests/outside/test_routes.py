"""Routes against networkx and against trying every way (random graphs, seeded).

The minimax path problem is the one of Hu (1961): the largest step of the best route is the
largest step between the two ends in a minimum spanning tree, where steps go both ways.
"""

import random
from itertools import pairwise

import networkx as nx
import pytest

from rungbook.ladder.routes import smallest_steps


def random_steps(seed: int, nodes: int = 8, chance: float = 0.4) -> nx.DiGraph:
    dice = random.Random(seed)
    graph = nx.DiGraph()
    graph.add_nodes_from(map(str, range(nodes)))
    for a in range(nodes):
        for b in range(nodes):
            if a != b and dice.random() < chance:
                graph.add_edge(
                    str(a), str(b), size=round(dice.choice([0.5, 0.8, 1.0, 1.6, 2.4]), 1)
                )
    return graph


def sizes(graph: nx.DiGraph) -> dict[str, dict[str, float]]:
    return {a: {b: graph[a][b]["size"] for b in graph[a]} for a in graph}


@pytest.mark.parametrize("seed", range(120))
def test_no_way_of_all_there_are_is_better(seed: int):
    graph = random_steps(seed)

    def judged(way):
        steps = [graph[a][b]["size"] for a, b in pairwise(way)]
        return max([1.0, *steps]), len(way), max(steps), list(way)

    ways = list(nx.all_simple_paths(graph, "0", "7"))
    expected = min(map(judged, ways), default=None)
    found = smallest_steps(sizes(graph), "0", "7")
    assert (found and judged(found)) == expected


@pytest.mark.parametrize("seed", range(40))
def test_the_largest_step_is_that_of_the_minimum_spanning_tree(seed: int):
    dice = random.Random(seed)
    graph = nx.gnm_random_graph(30, 70, seed=seed)
    for a, b in graph.edges:
        graph[a][b]["size"] = 1 + dice.random()
    both = {str(a): {str(b): graph[a][b]["size"] for b in graph[a]} for a in graph}
    if not nx.has_path(graph, 0, 29):
        assert smallest_steps(both, "0", "29") is None
        return
    tree = nx.minimum_spanning_tree(graph, weight="size")
    way = nx.shortest_path(tree, 0, 29)
    expected = max(tree[a][b]["size"] for a, b in pairwise(way))
    found = smallest_steps(both, "0", "29")
    assert found is not None
    assert max(both[a][b] for a, b in pairwise(found)) == pytest.approx(expected, abs=1e-9)


@pytest.mark.parametrize("seed", range(40))
def test_where_every_step_is_allowed_the_route_is_a_shortest_path(seed: int):
    graph = random_steps(seed, nodes=12, chance=0.2)
    small = {a: dict.fromkeys(graph[a], 0.7) for a in graph}
    found = smallest_steps(small, "0", "11")
    if nx.has_path(graph, "0", "11"):
        assert found in [tuple(way) for way in nx.all_shortest_paths(graph, "0", "11")]
    else:
        assert found is None
