"""The formats a library can be exported in: one table for the command and the site."""

from __future__ import annotations

import importlib.resources
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from rungbook.exporting.dot import dot
from rungbook.exporting.exercise_table import exercise_table, row_line
from rungbook.exporting.fhir import entry_line, fhir_json
from rungbook.exporting.graphml import graphml
from rungbook.exporting.json_text import Line
from rungbook.exporting.library_json import Rest, exercise_line, library_json, rest
from rungbook.exporting.schema_org import plan_line, schema_org_json
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise


@dataclass(frozen=True, slots=True)
class Format:
    """One format: `render` gives the whole file's text, `file` is its usual name.

    Where `line` makes an exercise's part of the text, `render` takes the parts that are known.
    """

    name: str
    title: str
    file: str
    about: str
    render: Callable[..., str]
    line: Callable[[MeasuredLibrary, Exercise], Line] | None = None

    @property
    def shape(self) -> str:
        """What the file holds, key by key, in Markdown."""
        shapes = importlib.resources.files("rungbook.exporting") / "shapes"
        return (shapes / f"{self.name}.md").read_text("utf-8")


FORMATS: tuple[Format, ...] = (
    Format(
        "json",
        "Everything as JSON",
        "library.json",
        "All that is written and all that is computed: loads over the movement, steps, ladders.",
        library_json,
        exercise_line,
    ),
    Format(
        "csv",
        "Exercises as a table",
        "exercises.csv",
        "One row an exercise, for spreadsheets and statistics; it can be taken in again.",
        exercise_table,
        row_line,
    ),
    Format(
        "graphml",
        "Progressions as GraphML",
        "progressions.graphml",
        "Exercises and progressions with the size of each step, for graph programs.",
        graphml,
    ),
    Format(
        "dot",
        "Progressions as DOT",
        "progressions.dot",
        "The same graph in the language of Graphviz, for drawing.",
        dot,
    ),
    Format(
        "fhir",
        "FHIR R5 Bundle",
        "fhir-bundle.json",
        "An ActivityDefinition an exercise and a PlanDefinition a ladder, for clinical systems.",
        fhir_json,
        entry_line,
    ),
    Format(
        "schema-org",
        "schema.org as JSON-LD",
        "schema-org.jsonld",
        "Exercise plans and ladders in the words of schema.org, for the web of data.",
        schema_org_json,
        plan_line,
    ),
)
BY_NAME = {one.name: one for one in FORMATS}
FOLDER = "data"  # of the site


def lines_of(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Line]:
    """An exercise's part of each format that has one, by the format's name."""
    return {one.name: one.line(measured, exercise) for one in FORMATS if one.line}


@dataclass(frozen=True, slots=True)
class Early:
    """What of the files does not depend on the lines of the exercises."""

    files: Mapping[str, bytes]  # whole files by path in the site
    rest: Rest  # of the library's JSON


def early_files(measured: MeasuredLibrary) -> Early:
    """The formats that have no lines, and all of the JSON but its exercises."""
    whole = {_path(one): one.render(measured).encode() for one in FORMATS if one.line is None}
    return Early(whole, rest(measured))


def all_files(
    measured: MeasuredLibrary,
    known: Mapping[str, Mapping[str, Line]] | None = None,
    early: Early | None = None,
) -> Mapping[str, bytes]:
    """Every format's file, by its path in the site; `known` are lines by exercise."""
    early = early or early_files(measured)
    files = {}
    for one in FORMATS:
        lines = {key: lines[one.name] for key, lines in (known or {}).items() if one.line}
        if one.name == "json":
            files[_path(one)] = library_json(measured, lines, early.rest).encode()
        elif one.line:
            files[_path(one)] = one.render(measured, lines).encode()
        else:
            files[_path(one)] = early.files[_path(one)]
    return files


def _path(one: Format) -> str:
    return f"{FOLDER}/{one.file}"
