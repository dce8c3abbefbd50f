"""The cheapest way against trying them all, on small fields of exercises with random demands."""

from __future__ import annotations

import itertools
import random
from itertools import pairwise

import pytest

from builders.loads import exercise, load
from rungbook.filling.judge import ABOUT_THE_SAME, Judge, is_one_step
from rungbook.filling.route import CHANGE, RUNG, Node, Ways, changes, cheapest, reached
from rungbook.filling.setting import Candidate, Setting
from rungbook.ladder.limits import limits_for
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Aim, Ruler
from rungbook.ladder.scale import Scale
from rungbook.model.library import Settings
from rungbook.model.quantity import parse_action

RAISE = parse_action("shoulder flexion")
JUDGE = Judge(Ruler(limits_for(Settings()), Aim(40.0, 90.0, 540.0), Scale({RAISE: 20.0}, 1.5)))


def setting(handle: str, by: str = "") -> Setting:
    return Setting("assistance", handle, handle, handle, lambda exercise: {}, by=by)


def node(id: str, nm: float, *handles: str, base: str = "e1", by: str = "", cost: int = 0) -> Node:
    """An exercise with a demand; with handles a draft of another."""
    here = exercise(id)
    candidate = None
    if handles:
        settings = tuple(setting(one, by) for one in handles)
        candidate = Candidate(here, exercise(base), settings)
    return Node(profile(here, load(id, nm)), nm, candidate, cost)


def ways(*nodes: Node, **more: frozenset[tuple[str, str]]) -> Ways:
    return Ways(list(nodes), JUDGE.step, **more)


def by_hand(one: Ways) -> tuple[int, ...] | None:
    """Every way through the nodes, judged in the order that the module names."""
    found = []
    for length in range(len(one.nodes) - 1):
        for middle in itertools.permutations(range(2, len(one.nodes)), length):
            way = (0, *middle, 1)
            nodes = [one.nodes[n] for n in way]
            steps = [JUDGE.step(a.profile, b.profile) for a, b in pairwise(nodes)]
            falls = any(
                b.demand_nm < (1 - ABOUT_THE_SAME) * min(a.demand_nm, nodes[-1].demand_nm) - 1e-6
                for a, b in pairwise(nodes)
            )
            if falls or not all(map(is_one_step, steps)):
                continue
            cost = sum(one.cost(a, b) for a, b in pairwise(way))
            sizes = [step.size for step in steps]
            even = round(sum(size**2 for size in sizes), 6)
            found.append((cost, round(max(sizes), 9), even, [n.id for n in nodes[1:]], way))
    return min(found)[-1] if found else None


@pytest.mark.parametrize("seed", range(60))
def test_no_other_way_is_better(seed: int) -> None:
    dice = random.Random(seed)
    most = dice.uniform(20, 60)
    between = [
        node(
            f"n{number}",
            round(dice.uniform(10, most), 1),
            *dice.sample(["assist", "arc"], dice.choice([0, 1, 1, 2])),
            base=dice.choice(["e0", "e1"]),
            by=dice.choice(["sling", "stick"]),
            cost=dice.choice([0, 10, 50]),
        )
        for number in range(5)
    ]
    one = ways(node("e0", 10.0), node("e1", most), *between)
    assert cheapest(one) == by_hand(one)


def test_a_way_may_need_no_exercise_between() -> None:
    assert cheapest(ways(node("e0", 10), node("e1", 14), node("n", 12, "assist"))) == (0, 1)


def test_one_more_rung_of_a_series_beats_a_shorter_patchwork() -> None:
    series = [node(f"s{n}", nm, "assist") for n, nm in enumerate((14.0, 20.0, 29.0))]
    patch = [node("p0", 14.9, "assist"), node("p1", 22.0, "arc", "bent")]
    found = cheapest(ways(node("e0", 10), node("e1", 32.5), *series, *patch))
    assert found is not None and found == (0, 2, 3, 4, 1)


@pytest.mark.parametrize(
    ("before", "after", "count"),
    [
        (node("a", 1), node("b", 2, "assist"), 0),  # the first rung
        (node("a", 1, "assist"), node("b", 2, "assist"), 0),
        (node("a", 1, "assist"), node("b", 2, "arc"), 1),
        (node("a", 1, "assist"), node("b", 2, "assist", "arc"), 1),
        (node("a", 1, "assist", by="sling"), node("b", 2, "assist", by="stick"), 1),
        (node("a", 1, "assist"), node("b", 2, "assist", base="other"), 1),
        (node("a", 1, "assist"), node("b", 2), 1),
        (node("a", 1, "assist"), node("b", 2, "arc", "bent", base="other"), 3),
    ],
)
def test_what_changes_from_rung_to_rung_is_counted(before: Node, after: Node, count: int) -> None:
    assert changes(before, after, first=before.candidate is None) == count


def test_a_change_costs_more_than_a_rung() -> None:
    assert CHANGE > RUNG


def test_without_a_way_both_ends_know_what_they_reach() -> None:
    one = ways(node("e0", 10), node("e1", 60), node("n2", 14, "x"), node("n3", 45, "x"))
    assert cheapest(one) is None
    assert reached(one, forward=True) == [0, 2]
    assert reached(one, forward=False) == [1, 3]


def test_what_would_close_a_circle_is_gone_round() -> None:
    nodes = [node("e0", 10), node("e1", 20), node("n2", 14), node("n3", 14.5)]
    first = cheapest(ways(*nodes))
    assert first is not None and len(first) == 3
    closed = frozenset({("e0", nodes[first[1]].id)})
    assert cheapest(ways(*nodes, closed=closed)) not in (None, first)
