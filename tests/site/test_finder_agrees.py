"""The finder in the browser gives what `ladder/easier.py` and `ladder/routes.py` give.

Two programs that share no line of code are held against each other: over random libraries, ties
and missing values included, and over every exercise of the demo library.
"""

from __future__ import annotations

import itertools
import pathlib
import random
from typing import TYPE_CHECKING, Any

import pytest

from builders.random_library import CAUTIONS, EQUIPMENT, random_library
from rungbook.filling.series import relief_of
from rungbook.ladder.easier import easier
from rungbook.ladder.filters import Filters
from rungbook.ladder.flare_up import back_by
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.option import Easier, Option
from rungbook.ladder.reasons import REASONS
from rungbook.ladder.routes import NoRoute, route
from rungbook.model.kind_of_work import KIND_WORDS
from rungbook.model.ladder import IRRITABILITIES
from rungbook.model.library import FlareUpRule
from rungbook.model.quantity import AngleLimit
from rungbook.pipeline.analyse import Analysis
from rungbook.site.data.browser_data import script_of
from rungbook.site.data.relief import Relief
from rungbook.site.publishing.publish import publish

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

NO_FILTERS: dict[str, Any] = {
    "without": [], "notIn": [], "avoid": [], "max": [], "bearing": None, "restrictions": [],
    "kinds": [], "areas": [], "weeks": None, "lifted": [], "irritability": "moderate",
}  # fmt: skip

BACKS = ("same rung", "one rung", "entry")

ASK = """async (queries) => {
  const [library, graph] = await Promise.all([rungbook.load("library"), rungbook.load("graph")]);
  const parsed = (q) => ({ without: new Set(q.without), notIn: new Set(q.notIn),
    avoid: new Set(q.avoid), never: q.max.map((text) => rungbook.filters.limit(text, library)),
    bearing: q.bearing, restrictions: new Set(q.restrictions), kinds: new Set(q.kinds),
    areas: new Set(q.areas), weeks: q.weeks, lifted: new Set(q.lifted) });
  const answers = [];
  for (const q of queries) {
    const found = await rungbook.findEasier(q.id, q.because, parsed(q), q.irritability);
    answers.push({
      options: found.options.map((o) =>
        [o.id, o.kind, o.demand, o.ratio, o.stepSize, o.changes, o.rises, o.instead,
         o.slot, o.share, [...o.eased].map(([reason, e]) => [reason, e.before, e.now, e.share]),
         o.kindOfWork, o.backUp, o.shortened && [o.shortened.movement, o.shortened.to]]),
      nothing: found.nothing,
      leftOut: found.leftOut.map((one) => one.id),
    });
  }
  return answers;
}"""

ROUTES = """async (queries) => {
  const [library, graph, edges] = await Promise.all(
    [rungbook.load("library"), rungbook.load("graph"), rungbook.load("edges")]);
  const ways = rungbook.routes.ways(graph, edges);
  const features = rungbook.filters.features(graph, library);
  const answers = [];
  for (const q of queries) {
    const filters = { without: new Set(q.without), notIn: new Set(), avoid: new Set(q.avoid),
      never: [], bearing: null, restrictions: new Set(), kinds: new Set(),
      areas: new Set(), weeks: null, lifted: new Set() };
    const out = new Map();
    for (const one of features.values()) {
      const objection = rungbook.filters.objection(filters, one, library);
      if (objection && one.id !== q.from) out.set(one.id, objection.words);
    }
    const off = rungbook.routes.ladderOf(library, [q.from, q.to])
      ? null : await rungbook.routes.offLadder(library, graph, q.to);
    const found = rungbook.routes.route(library, ways, q.from, q.to, out, off);
    const backs = ["same rung", "one rung", "entry"].map((back) =>
      rungbook.routes.backTo(library, ways, q.from, q.to, back, out, off));
    answers.push([found.rungs ? [found.rungs, found.largest, found.days] : null, backs]);
  }
  return answers;
}"""


def _open(browser: Browser, site: pathlib.Path, name: str) -> Page:
    page = browser.new_page()
    page.goto((site / name).as_uri())
    page.wait_for_function("Boolean(window.rungbook && rungbook.findEasier || rungbook.routes)")
    return page


def _queries(dice: random.Random, measured: MeasuredLibrary, each: int) -> list[dict[str, Any]]:
    restrictions = sorted(measured.library.vocabulary.restrictions)
    exercises = measured.library.exercises
    equipment = sorted({key for e in exercises.values() for key in e.equipment})
    cautions = sorted({key for e in exercises.values() for key in e.cautions})
    positions = sorted({e.position for e in exercises.values()})
    found = []
    for key, _ in itertools.product(exercises, range(each)):
        filtered = dice.random() < 0.6
        found.append(
            {
                "id": key,
                "because": dice.sample(sorted(REASONS), dice.choice((1, 1, 2))),
                "irritability": dice.choice(("high", "moderate", "low")),
                "without": dice.sample(equipment, dice.randrange(2)) if filtered else [],
                "notIn": dice.sample(positions, dice.randrange(2)) if filtered else [],
                "avoid": dice.sample(cautions, dice.randrange(2)) if filtered else [],
                "max": ["hip flexion=90"] if filtered and dice.random() < 0.3 else [],
                "bearing": 0.5 if filtered and dice.random() < 0.2 else None,
                "restrictions": dice.sample(restrictions, 1)
                if restrictions and filtered and dice.random() < 0.3
                else [],
                "areas": [],
                "weeks": dice.choice((None, 3, 8.5)),
                "lifted": dice.sample(restrictions, dice.randrange(2)) if restrictions else [],
                "kinds": dice.sample(KIND_WORDS, dice.randrange(1, 6))
                if filtered and dice.random() < 0.4
                else [],
            }
        )
    return found


def _filters(measured: MeasuredLibrary, query: dict[str, Any]) -> Filters:
    known = measured.library.vocabulary.restrictions
    return Filters(
        without=frozenset(query["without"]),
        not_in=frozenset(query["notIn"]),
        avoid=frozenset(query["avoid"]),
        never=tuple({"hip": {"flexion": AngleLimit("over", 90.0)}} for _ in query["max"]),
        bearing=query["bearing"],
        restrictions=tuple((key, known[key]) for key in query["restrictions"]),
        kinds=frozenset(query["kinds"]),
        areas=frozenset(query["areas"]),
        weeks=query["weeks"],
        lifted=frozenset(query["lifted"]),
    )


def _same(found: Easier, shown: dict[str, Any], query: dict[str, Any]) -> None:
    assert [one.exercise.id for one in found.options] == [o[0] for o in shown["options"]], query
    assert shown["nothing"] == found.nothing, query
    for option, (_, kind, demand, ratio, step, changes, rises, instead, *order) in zip(
        found.options, shown["options"], strict=True
    ):
        _same_order(option, order, query)
        assert option.kind == kind, query
        # Where a movement is cut both read the same rounded curves between their phases.
        near = {"abs": 2e-8 if option.shortened is None else 1e-3, "rel": 1e-9}
        for told, known in ((demand, option.demand_nm), (ratio, option.ratio)):
            assert told == (None if known is None else pytest.approx(known, **near)), query
        assert step == pytest.approx(option.step_size, **near), query
        assert [list(pair) for pair in option.changes.items()] == changes, query
        assert list(option.rises) == rises, query
        mine = option.instead
        assert instead == (None if mine is None else [str(mine[0]), pytest.approx(mine[1])]), query
    assert sorted(found.left_out) == sorted(shown["leftOut"]), query


def _same_order(option: Option, shown: list[Any], query: dict[str, Any]) -> None:
    """What an answer's place comes from, and what is said beside it."""
    slot, share, eased, work, back, short = shown
    assert (slot, work, back) == (option.slot, option.kind_of_work, option.back_up), query
    assert share == (None if option.share is None else pytest.approx(option.share, abs=1.1e-4))
    mine = [
        [reason, *map(float, (one.before, one.now)), one.share]
        for reason, one in option.eased.items()
    ]
    assert [one[0] for one in eased] == [one[0] for one in mine], query
    for told, known in zip(eased, mine, strict=True):
        assert told[1:3] == pytest.approx(known[1:3], abs=1e-3), query
        assert told[3] == (None if known[3] is None else pytest.approx(known[3], abs=1.1e-4))
    cut = option.shortened
    assert short == (None if cut is None else [cut.movement, pytest.approx(cut.to_deg, abs=1e-3)])


def _backs(measured: MeasuredLibrary, from_id: str, to_id: str, filters: Filters) -> list[str]:
    """Where each kind of rule leads back to."""
    rules = [FlareUpRule.model_validate({"lasts": "x", "do": "y", "back": back}) for back in BACKS]
    return [back_by(measured, rule, from_id, to_id, filters).back_to for rule in rules]


@pytest.fixture(scope="module", params=[1, 2, 3])
def random_site(
    request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory
) -> tuple[MeasuredLibrary, pathlib.Path]:
    measured = random_library(request.param)
    site = tmp_path_factory.mktemp("random") / "site"
    publish(Analysis(measured, (), {"error": 0, "warning": 0, "note": 0}), site)
    return measured, site


def test_random_libraries_get_the_same_options(
    browser: Browser, random_site: tuple[MeasuredLibrary, pathlib.Path]
) -> None:
    """Ids, order, kinds, demand, ratio, step, changes, rises, and what filters left out."""
    measured, site = random_site
    queries = _queries(random.Random(5), measured, each=6)
    shown = _open(browser, site, "finder.html").evaluate(ASK, queries)
    for query, answer in zip(queries, shown, strict=True):
        filters, irritability = _filters(measured, query), query["irritability"]
        found = easier(
            measured, query["id"], tuple(query["because"]), filters, irritability=irritability
        )
        _same(found, answer, query)


def test_random_libraries_get_the_same_routes(
    browser: Browser, random_site: tuple[MeasuredLibrary, pathlib.Path]
) -> None:
    """Rungs, largest step, least time, ways back between every two exercises, with filters too."""
    measured, site = random_site
    dice = random.Random(7)
    queries = [
        {"from": a, "to": b, "without": dice.sample(EQUIPMENT, dice.randrange(2)),
         "avoid": dice.sample(CAUTIONS, dice.randrange(2))}
        for a, b in itertools.permutations(measured.library.exercises, 2)
    ]  # fmt: skip
    shown = _open(browser, site, "route.html").evaluate(ROUTES, queries)
    ways = off_ladders = 0
    for query, (answer, backs) in zip(queries, shown, strict=True):
        filters = Filters(without=frozenset(query["without"]), avoid=frozenset(query["avoid"]))
        assert backs == _backs(measured, query["from"], query["to"], filters), query
        found = route(measured, query["from"], query["to"], filters)
        if isinstance(found, NoRoute):
            assert answer is None, query
            continue
        ways += 1
        off_ladders += found.ladder is None
        assert list(found.rungs) == answer[0], query
        assert answer[1] == pytest.approx(found.largest_step, abs=2e-8)
        assert answer[2] == found.least_days
    assert ways > 20 and off_ladders > 10


def test_every_demo_exercise_gets_the_same_options(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Every exercise, reason and irritability, then combinations of reasons and filters."""
    measured = demo.measured
    queries = [
        {"id": key, "because": [reason], **NO_FILTERS, "irritability": irritability}
        for key in measured.library.exercises
        for reason, irritability in itertools.product(REASONS, IRRITABILITIES)
    ]
    queries += _queries(random.Random(11), measured, each=5)
    shown = _open(browser, demo_site, "finder.html").evaluate(ASK, queries)
    offered = 0
    for query, answer in zip(queries, shown, strict=True):
        filters = _filters(measured, query)
        found = easier(
            measured, query["id"], tuple(query["because"]), filters,
            irritability=query["irritability"],
        )  # fmt: skip
        offered += len(found.options)
        _same(found, answer, query)
    assert offered > 100


def test_the_same_with_less_and_computed_options_agree(
    browser: Browser, demo: Analysis, tmp_path: pathlib.Path
) -> None:
    """Variations computed when the site is built, for every ninth exercise of the demo."""
    measured = demo.measured
    keys = [key for key in measured.library.exercises if key in measured.loads][::9]
    relief = relief_of(measured, keys)
    records = Relief(measured)
    site = tmp_path / "site"
    publish(demo, site, draft=True)
    for key in keys:
        path, content = script_of(f"relief/{key}", records.of(key))
        (site / path).write_bytes(content)
    queries = [
        {"id": key, "because": [reason], **filters}
        for key in keys
        for reason in REASONS
        for filters in (NO_FILTERS, {**NO_FILTERS, "max": ["hip flexion=90"], "bearing": 0.5})
    ]
    shown = _open(browser, site, "finder.html").evaluate(ASK, queries)
    kinds = set()
    for query, answer in zip(queries, shown, strict=True):
        key, filters = query["id"], _filters(measured, query)
        found = easier(measured, key, tuple(query["because"]), filters, relief[key])
        kinds |= {option.kind for option in found.options}
        _same(found, answer, query)
    assert kinds >= {"same", "library", "solved"}


def test_every_demo_ladder_gets_the_same_routes(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """From every rung to the goal of its ladder."""
    measured = demo.measured
    queries = [
        {"from": rung, "to": ladder.ladder.goal, "without": [], "avoid": []}
        for ladder in measured.ladders.values()
        for rung in ladder.rungs
        if rung != ladder.ladder.goal
    ]
    shown = _open(browser, demo_site, "route.html").evaluate(ROUTES, queries)
    for query, (answer, backs) in zip(queries, shown, strict=True):
        assert backs == _backs(measured, query["from"], query["to"], Filters()), query
        found = route(measured, query["from"], query["to"])
        if isinstance(found, NoRoute):
            assert answer is None, query
        else:
            assert [list(found.rungs), found.least_days] == [answer[0], answer[2]], query
            assert answer[1] == pytest.approx(found.largest_step, abs=2e-8)
