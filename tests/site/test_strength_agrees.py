"""The share of strength in the browser is the engine's, for every demo exercise and age group."""

from __future__ import annotations

import itertools
import pathlib
from typing import TYPE_CHECKING, Any

import pytest

from rungbook.load.compute import compute_loads
from rungbook.load.person import Person
from rungbook.load.strength import Maximum, StrengthShare, strength_of
from rungbook.pipeline.analyse import Analysis

if TYPE_CHECKING:
    from playwright.sync_api import Browser

ASK = """async ([ids, people]) => {
  const library = await rungbook.load("library");
  const out = [];
  for (const [id, [person, maximum]] of ids.flatMap((id) => people.map((one) => [id, one]))) {
    const data = await rungbook.load("exercise/" + id);
    if (!data.scaling) { out.push([]); continue; }
    const found = rungbook.scaling.load(data.scaling, person, new Map(), new Map());
    out.push(found.demands.map((demand) => [demand.works, rungbook.strength.of(library, demand, person, maximum)]));
  }
  return out;
}"""
AGES = (None, 12, 20, 37.5, 60, 82)
BODIES = ("female", "male", "winter")
# Coefficients are told with nine digits; a moment is a sum of two products of them.
TOLD = 1e-8


def test_every_demo_exercise_for_every_group_of_age(
    browser: Browser, demo: Analysis, demo_site: pathlib.Path
) -> None:
    """Share, angle, share at the peak, whose strength, and why there is none; with and without
    a maximum measured at 40° toward the action."""
    library = demo.measured.library
    ids = list(library.exercises)
    people = [
        ({"mass": 61.0, "stature": 1.66, "body": body, "age": age}, maximum)
        for body, age in itertools.product(BODIES, AGES)
        for maximum in (None, {"nm": 55.0, "at": -40.0})
    ]
    page = browser.new_page()
    page.goto((demo_site / "route.html").as_uri())
    page.wait_for_function("Boolean(window.rungbook && rungbook.strength)")
    shown: list[Any] = page.evaluate(ASK, [ids, [list(one) for one in people]])
    page.close()
    shares = silent = 0
    for number, (person, maximum) in enumerate(people):
        who = Person(person["mass"], person["stature"], person["body"], person["age"])  # type: ignore[arg-type]
        known = None if maximum is None else Maximum(55.0, -40.0)
        loads = compute_loads(library.exercises.values(), library, who, numbers_only=True)
        for place, key in enumerate(ids):
            found = shown[place * len(people) + number]
            demands = loads[key].demands
            assert [works for works, _ in found] == list(demands), key
            for works, there in found:
                mine = strength_of(demands[works], who, known)
                where = f"{works} of {key} for {who}"
                if isinstance(mine, str):
                    silent += 1
                    assert there == mine, where
                    continue
                shares += 1
                assert isinstance(mine, StrengthShare)
                assert there["share"] == pytest.approx(mine.share, rel=TOLD, abs=TOLD), where
                assert (there["atPeak"] is None) == (mine.at_peak is None), where
                if mine.at_peak is not None:
                    assert there["atPeak"] == pytest.approx(mine.at_peak, rel=TOLD, abs=TOLD), where
                assert (there["whole"], there["of"]) == (mine.whole, mine.of)
                if mine.share > 1e-6:
                    assert there["at"] == pytest.approx(mine.at_deg, abs=1e-6), where
    assert shares > 1000 and silent > 1000
