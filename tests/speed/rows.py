"""The rows of the table: what is timed, against what, and the goal."""

from __future__ import annotations

import pathlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from tests.speed import content, plain_site
from tests.speed.inside import browser, diagrams, preview, statics
from tests.speed.timing import Cost, Process, installed, interleaved, python


@dataclass(frozen=True, slots=True)
class Setting:
    """How large, how often, and where files may go."""

    exercises: int
    rounds: int
    folder: pathlib.Path


@dataclass(frozen=True, slots=True)
class Result:
    """One line of the table: what was measured as a ratio (or in `unit`), and the goal."""

    what: str
    against: str
    value: float
    goal: float
    note: str = ""
    unit: str = "times"


UNCACHED = {"RUNGBOOK_CACHE": "off"}
Row = Callable[[Setting], Iterator[Result]]


def _library(setting: Setting, exercises: int) -> pathlib.Path:
    folder = setting.folder / f"library-{exercises}"
    return folder if folder.is_dir() else content.write_library(folder, exercises)


def _seconds(one: Cost, other: Cost) -> str:
    return (
        f"{one.wall_s:.2f} s against {other.wall_s:.2f} s"
        f"; of processors {one.cpu_s:.2f} s against {other.cpu_s:.2f} s:"
        f" {one.cpu_s / other.cpu_s:.2f} times"
    )


def _megabytes(one: Cost, other: Cost) -> str:
    return f"{one.memory / 2**20:.0f} MiB against {other.memory / 2**20:.0f} MiB"


def check(setting: Setting) -> Iterator[Result]:
    """`check` with nothing cached, and after one edit, against the YAML loader alone."""
    library = _library(setting, setting.exercises)
    edits = iter(range(1, 1000))
    call = installed("check", "--fail-on", "error", "--library", str(library))
    floor = Process(python("-m", "tests.speed.yaml_floor", str(library)))
    cold = Process(call, environment=UNCACHED, statuses=(0, 1))
    kept = {"RUNGBOOK_CACHE": str(setting.folder / "kept")}
    Process(call, environment=kept, statuses=(0, 1)).run()
    again = Process(
        call, lambda: content.edit(library, next(edits)), environment=kept, statuses=(0, 1)
    )
    one, least, edited = interleaved((cold, floor, again), setting.rounds)
    size = f"{setting.exercises} exercises"
    against = "PyYAML's C safe loader"
    yield Result(f"check, {size}", against, one.wall_s / least.wall_s, 1.5, _seconds(one, least))
    yield Result(
        "its largest process", against, one.memory / least.memory, 2, _megabytes(one, least)
    )
    yield Result(
        "check after one edit", against, edited.wall_s / least.wall_s, 0.12, _seconds(edited, least)
    )


def build(setting: Setting) -> Iterator[Result]:
    """`build` against plain MkDocs over the same texts, and against itself after one edit."""
    number = max(60, setting.exercises // 10)
    library = _library(setting, number)
    plain = plain_site.write_plain_site(setting.folder / "plain", number)
    site, edits = setting.folder / "site", iter(range(1, 1000))
    call = installed("build", "--draft", "--library", str(library), "--site", str(site))
    kept = {"RUNGBOOK_CACHE": str(setting.folder / "kept-build")}
    cold = Process(call, environment=UNCACHED)
    Process(call, environment=kept).run()
    again = Process(call, lambda: content.edit(library, next(edits)), environment=kept)
    line, stock = (
        Process(python("-m", "mkdocs", "build", "-q", "-f", str(plain / name)))
        for name in ("line.yml", "stock.yml")
    )
    full, bare, usual, edited = interleaved((cold, line, stock, again), setting.rounds)
    what = f"build, {number} exercises"
    yield Result(
        what, "MkDocs, one-line theme", full.wall_s / bare.wall_s, 1.2, _seconds(full, bare)
    )
    yield Result(
        what, "MkDocs, stock theme", full.wall_s / usual.wall_s, 0.5, _seconds(full, usual)
    )
    yield Result(
        "build after one edit", "its full build", edited.wall_s / full.wall_s, 0.1,
        _seconds(edited, full),
    )  # fmt: skip
    seconds = preview(library, lambda: content.edit(library, next(edits)), setting.rounds)
    yield Result(
        "preview after one edit", "its full build", seconds / full.wall_s, 0.05,
        f"{seconds:.2f} s until news and the page are there",
    )  # fmt: skip


def growth(setting: Setting) -> Iterator[Result]:
    """A full build of five times as much."""
    few = max(60, setting.exercises // 10)
    libraries = [_library(setting, number) for number in (few, 5 * few)]
    small, large = interleaved(
        [
            Process(
                installed(
                    "build", "--draft", "--library", str(library), "--site",
                    str(setting.folder / "grown"),
                ),
                environment=UNCACHED,
            )
            for library in libraries
        ],
        min(setting.rounds, 2),
    )  # fmt: skip
    what, against = f"build, {5 * few} exercises", f"{few} exercises"
    yield Result(what, against, large.wall_s / small.wall_s, 5.3, _seconds(large, small))
    yield Result(
        "its largest process", against, large.memory / small.memory, 5, _megabytes(large, small)
    )


def maps(setting: Setting) -> Iterator[Result]:
    """Neighbourhood diagrams against one engine process over the same dot text."""
    number = max(60, setting.exercises // 10)
    ours, engine = diagrams(_library(setting, number), setting.rounds)
    note = f"{ours:.2f} s against {engine:.2f} s"
    yield Result(f"diagrams of {number}", "one engine process", ours / engine, 1.1, note)


def postures(setting: Setting) -> Iterator[Result]:
    """Statics of open chains in arrays against one exercise at a time."""
    batch, single = statics(setting.exercises, setting.rounds)
    note = f"{batch * 1e6:.0f} µs against {single * 1e6:.0f} µs an exercise"
    what = f"statics of {setting.exercises}"
    yield Result(what, "one exercise at a time", batch / single, 0.15, note)


def answers(setting: Setting) -> Iterator[Result]:
    """Finder, route and search in the browser, and the data of the first page."""
    library = _library(setting, setting.exercises)
    for name, value, goal, unit in browser(library, setting.folder / "large", setting.rounds):
        yield Result(name, f"{setting.exercises} exercises", value, goal, unit=unit)


def start(setting: Setting) -> Iterator[Result]:
    """How soon the program is there."""
    ours, least = interleaved(
        (Process(installed("--version")), Process(python("-c", "pass"))), 3 * setting.rounds
    )
    note = _seconds(ours, least)
    yield Result("rungbook --version", "python -c pass", ours.wall_s / least.wall_s, 4, note)


ROWS: dict[str, Row] = {
    "start": start,
    "check": check,
    "build": build,
    "growth": growth,
    "maps": maps,
    "statics": postures,
    "browser": answers,
}


def print_row(name: str, setting: Setting) -> None:
    """Measure one row of the table and print its lines as they are known."""
    for result in ROWS[name](setting):
        print(_line(result), flush=True)


def _line(result: Result) -> str:
    met = "met" if result.value <= result.goal else "missed"
    return (
        f"{result.what:32} {result.against:26} {result.value:8.2f} {result.unit:5} "
        f"goal {result.goal:<5g} {met:6}  {result.note}"
    )
