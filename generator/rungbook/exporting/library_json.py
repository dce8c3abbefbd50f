"""The whole library as JSON: everything written, and what was computed from it.

The shape is told by `shapes/json.md`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from rungbook import __version__
from rungbook.exporting.json_text import Line, json_text, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.plain import ladder_values, step_values
from rungbook.load.plain import load_values
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.written import written, written_once

FORMAT = "rungbook-library"
FORMAT_VERSION = 1
VOCABULARIES = ("areas", "cautions", "restrictions", "equipment", "sources")


def library_values(
    measured: MeasuredLibrary,
    known: Mapping[str, Line] | None = None,
    others: Rest | None = None,
) -> dict[str, Any]:
    """Everything, as JSON-ready values; exercises that are `known`, and `others`, as their text."""
    known, others = known or {}, others or rest(measured)
    library = measured.library
    return {
        "format": FORMAT,
        "format_version": FORMAT_VERSION,
        "made_by": f"Rungbook {__version__}",
        "library": written(library.settings, defaults=True),
        "vocabulary": {
            kind: {key: written(entry) for key, entry in getattr(library.vocabulary, kind).items()}
            for kind in VOCABULARIES
        },
        "exercises": [
            known.get(one.id) or _exercise(measured, one) for one in library.exercises.values()
        ],
        "ladders": list(others.ladders),
        "progressions": list(others.progressions),
        "left_out": sorted(library.withheld),
    }


@dataclass(frozen=True, slots=True)
class Rest:
    """The parts of the text that are long and tell of no single exercise."""

    ladders: tuple[Line, ...]
    progressions: tuple[Line, ...]


def rest(measured: MeasuredLibrary) -> Rest:
    """Ladders and progressions as text."""
    ladders = measured.library.ladders.values()
    return Rest(
        tuple(line(_ladder(measured, one)) for one in ladders),
        tuple(line(one) for one in progressions(measured)),
    )


def library_json(
    measured: MeasuredLibrary,
    known: Mapping[str, Line] | None = None,
    others: Rest | None = None,
) -> str:
    """Everything, as JSON text that ends in a newline; `known` as `exercise_line` made them."""
    return json_text(library_values(measured, known, others))


def exercise_line(measured: MeasuredLibrary, exercise: Exercise) -> Line:
    """An exercise's part of the text."""
    return line(_exercise(measured, exercise))


def _exercise(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Any]:
    load = measured.loads.get(exercise.id)
    return {
        "id": exercise.id,
        "file": exercise.file,
        "written": written_once(exercise),
        "text": dict(exercise.text),
        "load": load_values(load, exercise) if load is not None else None,
    }


def _ladder(measured: MeasuredLibrary, ladder: Ladder) -> dict[str, Any]:
    one = measured.ladders.get(ladder.id)
    computed = ladder_values(one) if one is not None else {"rungs": [], "steps": []}
    return {
        "id": ladder.id,
        "file": ladder.place().file,
        "written": written(ladder),
        "text": ladder.text,
        "rungs": computed["rungs"],
        "steps": computed["steps"],
    }


def progressions(measured: MeasuredLibrary) -> list[dict[str, Any]]:
    """Every progression, drafts too, with its criteria and the size of its step."""
    found = []
    graph = measured.with_drafts
    for easier, harder in sorted(graph.edges):
        index = graph[easier][harder]["index"]
        step = measured.steps.get((easier, harder))
        progression = measured.library.exercises[easier].progressions[index]
        found.append(
            {
                **written(progression),
                "from": easier,
                "to": harder,
                "step": step_values(step) if step is not None else None,
            }
        )
    return found
