"""The whole library as JSON: everything written, and what was computed from it.

The shape is told by `shapes/json.md`.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungbook import __version__
from rungbook.exporting.format import Format
from rungbook.exporting.json_text import Line, json_text, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.plain import ladder_values, step_values
from rungbook.load.plain import load_values
from rungbook.model.exercise import Exercise
from rungbook.model.ladder import Ladder
from rungbook.model.written import written, written_once

NAME = "rungbook-library"
FORMAT_VERSION = 1
VOCABULARIES = ("areas", "cautions", "restrictions", "equipment", "sources")


def library_values(
    measured: MeasuredLibrary, known: Mapping[str, Line] | None = None
) -> dict[str, Any]:
    """Everything, as JSON-ready values; exercises that are `known` as their text."""
    library = measured.library
    return {
        "format": NAME,
        "format_version": FORMAT_VERSION,
        "made_by": f"Rungbook {__version__}",
        "library": written(library.settings, defaults=True),
        "vocabulary": {
            kind: {key: written(entry) for key, entry in getattr(library.vocabulary, kind).items()}
            for kind in VOCABULARIES
        },
        "exercises": [
            (known or {}).get(one.id) or _exercise(measured, one)
            for one in library.exercises.values()
        ],
        "ladders": [_ladder(measured, one) for one in library.ladders.values()],
        "progressions": progressions(measured),
        "left_out": sorted(library.withheld),
    }


def library_json(measured: MeasuredLibrary, known: Mapping[str, Line] | None = None) -> str:
    """Everything, as JSON text that ends in a newline; `known` as `exercise_line` made them."""
    return json_text(library_values(measured, known))


def exercise_line(measured: MeasuredLibrary, exercise: Exercise) -> Line:
    """An exercise's part of the text."""
    return line(_exercise(measured, exercise))


def _exercise(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Any]:
    load = measured.loads.get(exercise.id)
    return {
        "id": exercise.id,
        "file": exercise.file,
        "base": measured.library.origin(exercise.file) or None,
        "written": written_once(exercise),
        "text": dict(exercise.text),
        "load": load_values(load, exercise) if load is not None else None,
    }


def _ladder(measured: MeasuredLibrary, ladder: Ladder) -> dict[str, Any]:
    one = measured.ladders.get(ladder.id)
    computed = ladder_values(measured, one) if one is not None else {"rungs": [], "steps": []}
    return {
        "id": ladder.id,
        "file": ladder.place().file,
        "base": measured.library.origin(ladder.place().file) or None,
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


FORMAT = Format(
    1,
    "json",
    "Everything as JSON",
    "library.json",
    "All that is written and all that is computed: loads over the movement, steps, ladders.",
    library_json,
    exercise_line,
)
