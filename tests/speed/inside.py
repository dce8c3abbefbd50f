"""What is timed within this process: parts of the program, and its pages in a browser."""

from __future__ import annotations

import datetime
import gzip
import pathlib
import shutil
import time
from collections.abc import Callable, Iterator
from typing import Any

from tests.speed.edits import edited

TODAY = datetime.date(2026, 6, 1)
MOST_SINGLE = 300  # exercises that are computed one at a time: more would only take longer
PAGE_DATA = {  # what a page loads before its first answer
    "search": ("search.js",),
    "finder": ("library.js", "graph.js"),
    "route": ("library.js", "graph.js", "edges.js"),
}
ASK = """async ([kind, id, goal, words]) => {
  const none = { without: new Set(), notIn: new Set(), avoid: new Set(), never: [], bearing: null,
    restrictions: new Set() };
  const [library, graph] = await Promise.all([rungbook.load("library"), rungbook.load("graph")]);
  const edges = kind === "route" ? await rungbook.load("edges") : null;
  const times = [];
  for (let n = 0; n < 6; n += 1) {
    const began = performance.now();
    if (kind === "finder") await rungbook.findEasier(id, ["load"], none, "moderate");
    else if (kind === "route") rungbook.routes.route(library, rungbook.routes.ways(graph, edges), id, goal, new Map());
    times.push(performance.now() - began);
  }
  return [times[0], Math.min(...times.slice(1))];
}"""
SEARCH = """async (words) => {
  const field = document.getElementById("search-field");
  const results = document.getElementById("search-results");
  const ask = (text) => new Promise((done) => {
    const began = performance.now();
    const watch = new MutationObserver(() => {
      watch.disconnect();
      done(performance.now() - began);
    });
    watch.observe(results, { childList: true, subtree: true });
    field.value = text;
    field.dispatchEvent(new Event("input", { bubbles: true }));
  });
  field.focus();
  await ask(words[0]);
  const times = [];
  for (const text of words.slice(1)) times.push(await ask(text));
  return Math.min(...times);
}"""


def _least(work: Callable[[], object], rounds: int) -> float:
    """Seconds of the quickest round."""
    found = []
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        found.append(time.perf_counter() - began)
    return min(found)


def preview(library: pathlib.Path, edit: Callable[[], object], rounds: int) -> float:
    """Seconds from an edit to the news of it, the edited page and its data; least of the rounds."""
    from rungbook.site.data.browser_data import exercise_paths
    from rungbook.site.publishing.live import LiveSite

    site, id = LiveSite(library), edited(library).stem
    site.rebuild(TODAY)
    wanted = (f"exercises/{id}.html", "data/library.js", "data/graph.js", *exercise_paths(id))
    found = []
    for _ in range(rounds):
        edit()
        began = time.perf_counter()
        site.rebuild(TODAY)
        for path in wanted:
            site.get(path)
        found.append(time.perf_counter() - began)
    return min(found)


def diagrams(library: pathlib.Path, rounds: int) -> tuple[float, float]:
    """Seconds for all neighbourhood diagrams, and for one engine over the same dot text."""
    from rungbook.drawing import maps
    from rungbook.drawing.diagram import draw
    from rungbook.drawing.engine import render
    from rungbook.pipeline.analyse import analyse

    measured = analyse(library, TODAY).measured
    found = [maps.neighbourhood(measured, key, href=str) for key in measured.library.exercises]
    made = [one for one in found if one is not None]
    dots = [one.dot for one in made]
    pairs = [
        (_least(lambda: draw(made), 1), _least(lambda: render(dots), 1)) for _ in range(rounds)
    ]
    return min(ours for ours, _ in pairs), min(engine for _, engine in pairs)


def statics(exercises: int, rounds: int) -> tuple[float, float]:
    """Seconds an exercise for open chains all at once, and one at a time."""
    from rungbook.load.compute import compute_loads
    from tests.speed.open_chains import open_chains

    some, library = open_chains(exercises)
    few = some[:MOST_SINGLE]
    compute_loads(few[:5], library)

    def singly() -> None:
        for one in few:
            compute_loads([one], library)

    pairs = [
        (
            _least(lambda: compute_loads(some, library), 1) / len(some),
            _least(singly, 1) / len(few),
        )
        for _ in range(rounds)
    ]
    return min(batch for batch, _ in pairs), min(single for _, single in pairs)


def browser(
    library: pathlib.Path, site: pathlib.Path, rounds: int
) -> Iterator[tuple[str, float, float, str]]:
    """(what, value, goal, unit) of the pages that compute, in Chromium, from the disk."""
    from playwright.sync_api import sync_playwright

    from rungbook.pipeline.analyse import analyse
    from rungbook.site.publishing.publish import publish

    publish(analyse(library, TODAY), site, draft=True)
    for page_name, files in PAGE_DATA.items():
        contents = [(site / "data" / name).read_bytes() for name in files]
        size = sum(len(gzip.compress(content, 9, mtime=0)) for content in contents) / 1000
        yield f"data of {page_name}, compressed", size, 300, "kB"
    ids = sorted(path.stem for path in (site / "exercises").glob("*.html"))
    first = ids[0]
    goal = ids[min(23, len(ids) - 1)]
    with sync_playwright() as playwright:
        chromium: Any = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox", "--disable-gpu"]
        )
        for kind, name in (("finder", "finder.html"), ("route", "route.html")):
            page = chromium.new_page()
            page.goto((site / name).as_uri())
            page.wait_for_function("Boolean(window.rungbook && rungbook.load)")
            asked = first if kind == "route" else goal
            once, again = page.evaluate(ASK, [kind, asked, goal, ""])
            yield f"{kind}, first answer", once, 50, "ms"
            yield f"{kind}, an answer", again, 50, "ms"
            page.close()
        page = chromium.new_page()
        page.goto((site / "index.html").as_uri())
        words = ["leg", "knee", "arm raise", "heel", "half squat 9", "press at a bar 12"][
            : rounds + 2
        ]
        yield "search, an answer", page.evaluate(SEARCH, words), 50, "ms"
        chromium.close()
