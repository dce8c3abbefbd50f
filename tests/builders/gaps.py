"""Ladders with rungs taken out, on disk, as somebody with a text editor would do it."""

import datetime
import pathlib
from collections.abc import Iterable
from itertools import pairwise
from typing import Any

import yaml

from rungbook.checks.registry import run_checks
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.reading.read import read_library

TODAY = datetime.date(2026, 11, 1)
STEP_CHECKS = ("step-too-large", "several-changes-at-once", "backward-step")
ITS_OWN = ("title", "also-called", "progressions", "measured", "reviewed", "accepts")
ASIDE = {"progressions": (), "accepts": (), "variation_of": None, "title": ""}


class Looking:
    """Reads, measures and checks a folder; a load is computed once for each exercise."""

    def __init__(self) -> None:
        self._known: dict[str, list[tuple[Exercise, ExerciseLoad]]] = {}

    def __call__(self, folder: pathlib.Path) -> tuple[MeasuredLibrary, tuple[Finding, ...]]:
        """The library, and its findings about steps."""
        library = read_library(folder)
        loads = {
            one.id: load for one in library.exercises.values() if (load := self._load(one))
        }  # fmt: skip
        fresh = [one for one in library.exercises.values() if one.id not in loads]
        for id, load in compute_loads(fresh, library).items():
            known = self._known.setdefault(id, [])
            known.append((library.exercises[id].model_copy(update=ASIDE), load))
            loads[id] = load
        measured = measure(library, loads)
        found = run_checks(measured, TODAY, only=STEP_CHECKS)
        return measured, tuple(one for one in found if one.check in STEP_CHECKS)

    def _load(self, exercise: Exercise) -> ExerciseLoad | None:
        bare = exercise.model_copy(update=ASIDE)
        return next((load for one, load in self._known.get(exercise.id, []) if one == bare), None)


def take_out(folder: pathlib.Path, gone: Iterable[str]) -> None:
    """Deletes exercises; what led to one leads on to what it led to.

    What was a variation of one becomes a variation of what that one varied, with all it took.
    """
    files = {file.stem: file for file in (folder / "exercises").rglob("*.md")}
    for id in gone:
        head, body = _parts(files[id])
        files.pop(id).unlink()
        for other, file in files.items():
            was, text = _parts(file)
            now = dict(was)
            if was.get("variation-of") == id:
                taken = {key: value for key, value in head.items() if key not in ITS_OWN}
                own = {key: value for key, value in was.items() if key != "variation-of"}
                now, text = _over(own, taken), text if text.strip() else body
            now["progressions"] = _led_on(was.get("progressions", []), head, id, other)
            if now != {"progressions": [], **was}:
                file.write_text(
                    f"---\n{yaml.safe_dump(now, allow_unicode=True, sort_keys=False)}---\n{text}"
                )


def lead_straight(folder: pathlib.Path, from_id: str, to_id: str) -> None:
    """A progression from one exercise straight to another, before those it has."""
    (file,) = (folder / "exercises").rglob(f"{from_id}.md")
    head, body = _parts(file)
    straight = {"to": to_id, "when": ["3 sets of 12"], "because": "straight to the goal"}
    head["progressions"] = [straight, *head.get("progressions", [])]
    file.write_text(f"---\n{yaml.safe_dump(head, allow_unicode=True, sort_keys=False)}---\n{body}")


def take_up(folder: pathlib.Path, rungs: Iterable[str]) -> None:
    """Reviews the drafts on a way: criteria written, no draft left; the direct way taken out."""
    way = list(rungs)
    for easier, harder in pairwise(way):
        (file,) = (folder / "exercises").rglob(f"{easier}.md")
        head, body = _parts(file)
        kept = [one for one in head["progressions"] if easier != way[0] or one["to"] != way[-1]]
        for edge in kept if len(way) > 2 else ():
            if edge["to"] == harder and edge.pop("draft", False):
                edge["when"] = ["3 sets of 12"]
        head["progressions"] = kept if len(way) > 2 else head["progressions"]
        if head.pop("draft", None):
            head["reviewed"] = {"date": TODAY, "by": "Physiotherapist"}
        file.write_text(
            f"---\n{yaml.safe_dump(head, allow_unicode=True, sort_keys=False)}---\n{body}"
        )


def _led_on(edges: list[Any], gone: dict[str, Any], id: str, here: str) -> list[Any]:
    if all(edge["to"] != id for edge in edges):
        return edges
    kept = [edge for edge in edges if edge["to"] != id]
    known = {here, *(edge["to"] for edge in kept)}
    return kept + [edge for edge in gone.get("progressions", []) if edge["to"] not in known]


def _parts(file: pathlib.Path) -> tuple[dict[str, Any], str]:
    _, head, body = file.read_text(encoding="utf-8").split("---\n", 2)
    return yaml.safe_load(head), body


def _over(own: dict[str, Any], taken: dict[str, Any]) -> dict[str, Any]:
    found = dict(taken)
    for key, value in own.items():
        both = isinstance(value, dict) and isinstance(found.get(key), dict)
        found[key] = _over(value, found[key]) if both else value
    return found
