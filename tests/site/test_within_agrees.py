"""The finder without an exercise gives what `rungbook within` gives, for the demo library."""

from __future__ import annotations

import pathlib
import random
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.ladder.filters import Filters, equipment_of
from rungbook.ladder.within import within
from rungbook.model.kind_of_work import KIND_WORDS
from rungbook.model.quantity import AngleLimit
from rungbook.pipeline.analyse import Analysis

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ASK = """async (queries) => {
  const library = await rungbook.load("library");
  const answers = [];
  for (const q of queries) {
    const found = await rungbook.within.ask({ without: new Set(q.without), notIn: new Set(q.notIn),
      avoid: new Set(), never: q.max.map(([name, most]) => rungbook.filters.limit(`${name}=${most}`, library)),
      bearing: q.bearing, restrictions: new Set(q.restrictions), kinds: new Set(q.kinds),
      areas: new Set(q.areas), weeks: q.weeks, lifted: new Set(q.lifted) });
    const counts = {};
    for (const one of found.leftOut) {
      counts[one.objection.title] = (counts[one.objection.title] || 0) + 1;
    }
    answers.push({ fitting: found.fitting.map((one) => [one.id, one.word, one.kind, one.demand,
      one.shortened && [one.shortened.movement, one.shortened.from, one.shortened.to, one.shortened.insteadOf,
        one.shortened.until]]), counts, most: found.most && [found.most[0], found.most[1]] });
  }
  return answers;
}"""
ANGLES = ("shoulder flexion", "hip flexion", "knee flexion", "shoulder external-rotation",
          "ankle plantarflexion", "lumbar flexion")  # fmt: skip


def _query(**limits: Any) -> dict[str, Any]:
    usual = {"without": [], "notIn": [], "max": [], "bearing": None, "restrictions": [],
             "kinds": [], "areas": [], "weeks": None, "lifted": []}  # fmt: skip
    return {**usual, **limits}


def _queries(demo: Analysis) -> list[dict[str, Any]]:
    library, dice = demo.measured.library, random.Random(18)
    orders = sorted(library.vocabulary.restrictions)
    equipment = sorted({key for e in library.exercises.values() for key in equipment_of(e)})
    positions = sorted({e.position for e in library.exercises.values()})
    areas = sorted({e.area for e in library.exercises.values() if e.area})
    named = [
        _query(),
        _query(max=[("shoulder flexion", 90)], kinds=["passive", "assisted"]),
        _query(max=[("knee extension", 30)]),
        _query(bearing=0.5),
        *(_query(restrictions=[key], weeks=weeks, lifted=lifted)
          for key in orders for weeks in (None, 3, 8) for lifted in ([], [key])),
    ]  # fmt: skip
    return named + [
        _query(
            without=dice.sample(equipment, dice.randrange(3)),
            notIn=dice.sample(positions, dice.randrange(2)),
            max=[
                (dice.choice(ANGLES), dice.randrange(0, 130, 5)) for _ in range(dice.randrange(3))
            ],
            bearing=dice.choice((None, None, 0.2, 1.0)),
            restrictions=dice.sample(orders, dice.randrange(len(orders) + 1)),
            kinds=dice.sample(KIND_WORDS, dice.choice((0, 0, 2, 3))),
            areas=dice.sample(areas, dice.choice((0, 0, 1, 2))),
            weeks=dice.choice((None, 2, 7, 30)),
            lifted=dice.sample(orders, dice.randrange(2)),
        )
        for _ in range(150)
    ]


def _never(name: str, most: float) -> dict[str, dict[str, AngleLimit]]:
    joint, movement = name.split()
    if name == "knee extension":  # counted in flexion
        return {"knee": {"flexion": AngleLimit("under", most)}}
    return {joint: {movement: AngleLimit("over", most)}}


def test_the_browser_lists_what_the_command_lists(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Exercises, order, kinds, loads, cuts, what is left out by what, and what leaves most out."""
    queries = _queries(demo)
    page = browser.new_page()
    page.goto((demo_site / "finder.html").as_uri())
    page.wait_for_function("Boolean(window.rungbook && rungbook.within)")
    answers = page.evaluate(ASK, queries)
    page.close()
    orders = demo.measured.library.vocabulary.restrictions
    listed = cut = empty = 0
    for query, shown in zip(queries, answers, strict=True):
        found = within(demo.measured, Filters(
            without=frozenset(query["without"]), not_in=frozenset(query["notIn"]),
            never=tuple(_never(*one) for one in query["max"]), bearing=query["bearing"],
            restrictions=tuple((key, orders[key]) for key in sorted(query["restrictions"])),
            kinds=frozenset(query["kinds"]), areas=frozenset(query["areas"]),
            weeks=query["weeks"], lifted=frozenset(query["lifted"]),
        ))  # fmt: skip
        assert [one.exercise.id for one in found.fitting] == [o[0] for o in shown["fitting"]], query
        for one, (_, word, kind, demand, short) in zip(
            found.fitting, shown["fitting"], strict=True
        ):
            assert one.kind is not None and (one.kind.word, one.kind.in_words) == (word, kind)
            assert demand == (None if one.demand_nm is None else pytest.approx(one.demand_nm, 1e-5))
            if one.shortened is None:
                assert short is None, query
                continue
            cut += 1
            mine = one.shortened
            assert short[0] == mine.movement
            assert short[1:] == pytest.approx(
                [mine.from_deg, mine.to_deg, mine.instead_of_deg, mine.until], abs=2e-3
            )
        assert shown["counts"] == found.left_out, query
        most = found.leaves_most_out
        assert shown["most"] == (None if most is None else list(most)), query
        listed += len(found.fitting)
        empty += not found.fitting
    assert listed > 2000 and cut > 50 and empty > 3
