"""The rows of the table: what is timed, against what, and the goal."""

from __future__ import annotations

import pathlib
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from tests.speed import content, plain_site
from tests.speed.edits import EDITS, Edit
from tests.speed.inside import browser, diagrams, preview, statics
from tests.speed.pages import first_finder_answer, largest_page
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
DEMO = pathlib.Path(__file__).parents[2] / "library"
OWN = ", each arc its own"
COMMANDS = {
    "steps": ("steps",),
    "route": ("route", "sit-to-stand-highest", "sit-to-stand"),
    "easier": ("easier", "sit-to-stand"),
    "sheet": ("sheet", "sit-to-stand", "--output", "-"),
    "load": ("load", "sit-to-stand"),
    "export": ("export", "csv"),
}
Row = Callable[[Setting], Iterator[Result]]


def _library(setting: Setting, exercises: int, own: bool = False) -> pathlib.Path:
    folder = setting.folder / f"library-{exercises}{'-own' if own else ''}"
    return folder if folder.is_dir() else content.write_library(folder, exercises, own)


def _large(setting: Setting) -> int:
    return max(60, setting.exercises // 10)


def _seconds(one: Cost, other: Cost) -> str:
    return (
        f"{one.wall_s:.2f} s against {other.wall_s:.2f} s"
        f"; of processors {one.cpu_s:.2f} s against {other.cpu_s:.2f} s:"
        f" {one.cpu_s / other.cpu_s:.2f} times"
    )


def _megabytes(one: Cost, other: Cost) -> str:
    return f"{one.memory / 2**20:.0f} MiB against {other.memory / 2**20:.0f} MiB"


def _edited(
    call: tuple[str, ...], kept: dict[str, str], library: pathlib.Path, edits: dict[str, Edit]
) -> list[Process]:
    """The same call after each kind of edit, with what runs before it kept."""
    numbers = iter(range(1, 10_000))
    Process(call, environment=kept, statuses=(0, 1)).run()
    return [
        Process(call, partial(_next, edit, library, numbers), environment=kept, statuses=(0, 1))
        for edit in edits.values()
    ]


def _next(edit: Edit, library: pathlib.Path, numbers: Iterator[int]) -> None:
    edit(library, next(numbers))


def demo(setting: Setting) -> Iterator[Result]:
    """What people wait for who try the demo, against a stock MkDocs site of the same texts."""
    library = setting.folder / "demo"
    shutil.copytree(DEMO, library)
    plain = plain_site.write_plain_site(setting.folder / "plain-demo", library)
    here, site = ("--library", str(library)), ("--site", str(setting.folder / "demo-site"))
    kept = {"RUNGBOOK_CACHE": str(setting.folder / "kept-demo")}
    build, check = installed("build", "--draft", *here, *site), installed("check", *here)
    asked = {name: installed(*words, *here) for name, words in COMMANDS.items()}
    stock = Process(python("-m", "mkdocs", "build", "-q", "-f", str(plain / "stock.yml")))
    elsewhere = ("--site", str(setting.folder / "demo-site-first"))
    first = Process(installed("build", "--draft", *here, *elsewhere), environment=UNCACHED)
    cold = Process(check, environment=UNCACHED, statuses=(0, 1))
    edits = _edited(build, kept, library, EDITS)
    others = [Process(call, environment=kept) for call in asked.values()]
    again = Process(build, environment=kept)
    measured = interleaved((stock, first, cold, again, *edits, *others), setting.rounds)
    floor, full, checked, same = measured[:4]
    against = "stock MkDocs, the same texts"

    def row(what: str, cost: Cost, goal: float, note: str = "") -> Result:
        said = f"of processors {cost.cpu_s:.2f} s against {floor.cpu_s:.2f} s {note}"
        return Result(what, against, cost.cpu_s / floor.cpu_s, goal, said)

    yield row("demo: first build", full, 10)
    yield row("demo: check, nothing kept", checked, 3)
    after = dict(zip(EDITS, measured[4:], strict=False))
    slowest = max(after, key=lambda name: after[name].cpu_s)
    yield row("demo: build after one edit", after[slowest], 2.5, f"({slowest})")
    yield row("demo: build, nothing changed", same, 2.5)
    told = dict(zip(asked, measured[4 + len(EDITS) :], strict=True))
    slowest = max(told, key=lambda name: told[name].cpu_s)
    yield row("demo: any other command, kept", told[slowest], 1.5, f"({slowest})")


def check(setting: Setting) -> Iterator[Result]:
    """`check` with nothing cached, and after one edit, against the YAML loader alone."""
    for own, goals in ((True, (2.5, 2, 0.3)), (False, (1.5, 2, 0.12))):
        library = _library(setting, setting.exercises, own)
        call = installed("check", "--fail-on", "error", "--library", str(library))
        floor = Process(python("-m", "tests.speed.yaml_floor", str(library)))
        cold = Process(call, environment=UNCACHED, statuses=(0, 1))
        kept = {"RUNGBOOK_CACHE": str(setting.folder / f"kept-{own}")}
        edits = EDITS if own else {"a weight": EDITS["a weight"]}
        again = _edited(call, kept, library, dict(edits))
        one, least, *costs = interleaved((cold, floor, *again), setting.rounds)
        edited = max(costs, key=lambda cost: cost.wall_s)
        what = f"check, {setting.exercises} exercises{OWN if own else ''}"
        against = "PyYAML's C safe loader"
        yield Result(what, against, one.wall_s / least.wall_s, goals[0], _seconds(one, least))
        yield Result(
            "its largest process", against, one.memory / least.memory, goals[1],
            _megabytes(one, least),
        )  # fmt: skip
        kind = list(edits)[costs.index(edited)]
        yield Result(
            "check after one edit", against, edited.wall_s / least.wall_s, goals[2],
            f"({kind}) {_seconds(edited, least)}",
        )  # fmt: skip


def build(setting: Setting) -> Iterator[Result]:
    """`build` against plain MkDocs over the same texts, and after one edit of each kind."""
    library = _library(setting, _large(setting), own=True)
    plain = plain_site.write_plain_site(setting.folder / "plain", library)
    site = setting.folder / "site"
    call = installed("build", "--draft", "--library", str(library), "--site", str(site))
    kept = {"RUNGBOOK_CACHE": str(setting.folder / "kept-build")}
    elsewhere = ("--site", str(setting.folder / "site-first"))
    cold = Process(
        installed("build", "--draft", "--library", str(library), *elsewhere), environment=UNCACHED
    )
    line, stock = (
        Process(python("-m", "mkdocs", "build", "-q", "-f", str(plain / name)))
        for name in ("line.yml", "stock.yml")
    )
    edits = _edited(call, kept, library, dict(EDITS))
    same = Process(call, environment=kept)
    full, bare, usual, again, *costs = interleaved(
        (cold, line, stock, same, *edits), setting.rounds
    )
    what, against = f"build, {_large(setting)} exercises{OWN}", "MkDocs, one-line theme"
    yield Result(what, against, full.wall_s / bare.wall_s, 2.5, _seconds(full, bare))
    yield Result(
        "the same, of processors", against, full.cpu_s / bare.cpu_s, 5, _seconds(full, bare)
    )
    yield Result(
        what, "MkDocs, stock theme", full.wall_s / usual.wall_s, 0.5, _seconds(full, usual)
    )
    edited = max(costs, key=lambda cost: cost.cpu_s)
    yield Result(
        "build after one edit", against, edited.cpu_s / bare.cpu_s, 1,
        f"({list(EDITS)[costs.index(edited)]}) {_seconds(edited, bare)}",
    )  # fmt: skip
    yield Result(
        "build, nothing changed", against, again.cpu_s / bare.cpu_s, 0.15, _seconds(again, bare)
    )
    numbers = iter(range(20_000, 30_000))
    seconds = preview(library, lambda: EDITS["a weight"](library, next(numbers)), setting.rounds)
    yield Result(
        "preview, the edited page and its data", against, seconds / bare.wall_s, 0.3,
        f"{seconds:.2f} s until news, the page and all it loads are there",
    )  # fmt: skip


def growth(setting: Setting) -> Iterator[Result]:
    """A full build of five times as much."""
    few = _large(setting)
    libraries = [_library(setting, number, own=True) for number in (few, 5 * few)]
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
        1,
    )  # fmt: skip
    what, against = f"build, {5 * few} exercises", f"{few} exercises"
    yield Result(what, against, large.wall_s / small.wall_s, 5.3, _seconds(large, small))
    yield Result(
        "its largest process", against, large.memory / small.memory, 5, _megabytes(large, small)
    )


def pages(setting: Setting) -> Iterator[Result]:
    """What a page with a patient set loads, and how soon the finder's first answer stands."""
    for number in (150, _large(setting)):
        library, site = _library(setting, number, own=True), setting.folder / f"site-{number}"
        size, milliseconds = first_finder_answer(library, site)
        what, against = "finder, first answer", f"{number} exercises"
        yield Result(f"{what}, raw bytes", against, size / 1000, 600, unit="kB")
        yield Result(f"{what}, phone, slowed 4 times", against, milliseconds, 150, unit="ms")
        kind, size = largest_page(site)
        yield Result("page with a patient, raw", against, size / 1000, 600, f"({kind})", "kB")


def maps(setting: Setting) -> Iterator[Result]:
    """Neighbourhood diagrams against one engine process over the same dot text."""
    number = _large(setting)
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
    "demo": demo,
    "check": check,
    "build": build,
    "growth": growth,
    "pages": pages,
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
