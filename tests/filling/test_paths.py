"""The best path against trying them all, on small fields of exercises with random demands."""

import itertools
import random
from itertools import pairwise

import numpy as np
import pytest

from builders.loads import exercise, load
from rungbook.filling.joins import Judge, nodes
from rungbook.filling.paths import Field, best_path, reachable
from rungbook.ladder.limits import limits_for
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Aim
from rungbook.ladder.scale import Scale
from rungbook.model.library import Settings
from rungbook.model.quantity import parse_action

RAISE = parse_action("shoulder flexion")
JUDGE = Judge(limits_for(Settings()), Aim(40.0, 90.0, 540.0), Scale({RAISE: 20.0}, 1.5), {})


def field(demands: list[float], drafts: list[float], ranks: list[float]) -> Field:
    """Row 0 is the easier exercise, row 1 the harder, all others lie between."""
    made = [profile(exercise(f"e{n}"), load(f"e{n}", nm)) for n, nm in enumerate(demands)]
    columns = nodes(made, [JUDGE], made[1])
    return Field(columns, (JUDGE,), np.array(demands), np.array(drafts), np.array(ranks))


def by_hand(one: Field) -> tuple[int, ...] | None:
    """Every way through the rows, judged in the order that the module names."""
    profiles, count = one.columns.profiles, len(one.demand)

    def size(a: int, b: int) -> float:
        return JUDGE.step(profiles[a], profiles[b]).size

    ways = []
    for length in range(count - 1):
        for middle in itertools.permutations(range(2, count), length):
            way = (0, *middle, 1)
            steps = [size(a, b) for a, b in pairwise(way)]
            rising = all(one.demand[b] >= 0.99 * one.demand[a] for a, b in pairwise(way))
            if max(steps) <= 1 + 1e-6 and rising:
                cost = (sum(one.drafts[n] for n in way), max(steps), sum(one.ranks[n] for n in way))
                ways.append((len(way), *cost, way))
    return min(ways)[-1] if ways else None


@pytest.mark.parametrize("seed", range(60))
def test_no_other_path_is_better(seed: int):
    dice = random.Random(seed)
    most = dice.uniform(20, 60)
    between = [round(dice.uniform(10, most), 1) for _ in range(5)]
    one = field(
        [10.0, most, *between],
        [0, 0, *(dice.choice([0.0, 1.0]) for _ in between)],
        [0, 0, *(float(dice.choice([1, 2, 3])) for _ in between)],
    )
    assert best_path(one) == by_hand(one)


def test_a_path_may_need_no_exercise_between():
    assert best_path(field([10.0, 14.0, 12.0], [0, 0, 1], [0, 0, 1])) == (0, 1)


def test_without_a_path_both_ends_know_what_they_reach():
    one = field([10.0, 60.0, 14.0, 45.0], [0, 0, 1, 1], [0, 0, 1, 1])
    assert best_path(one) is None
    assert sorted(reachable(one, forward=True)) == [0, 2]
    assert sorted(reachable(one, forward=False)) == [1, 3]


def test_forbidden_steps_are_gone_round():
    one = field([10.0, 20.0, 14.0, 14.5], [0, 0, 0, 0], [0, 0, 0, 0])
    assert best_path(one) == (0, 2, 1) or best_path(one) == (0, 3, 1)
    path = best_path(one)
    assert path is not None
    round_it = Field(one.columns, one.judges, one.demand, one.drafts, one.ranks,
                     frozenset({(0, path[1])}))  # fmt: skip
    assert best_path(round_it) not in (None, path)
