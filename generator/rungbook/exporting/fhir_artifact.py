"""relatedArtifact of FHIR R5: sources as citations, progressions as successors."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from rungbook.exporting.fhir_names import canonical
from rungbook.ladder.graph import progressions_of, regressions_of
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.criterion import in_words
from rungbook.model.exercise import Exercise, Progression
from rungbook.model.library import Library, Source
from rungbook.model.written import written

ACTIVITY = "ActivityDefinition"


def version(exercise: Exercise) -> str | None:
    """The day of the last review, which is what the clinic dates an exercise by."""
    return exercise.reviewed.date.isoformat() if exercise.reviewed else None


def reference(library: Library, id: str) -> str:
    """The canonical of an exercise of the library."""
    return canonical(library, ACTIVITY, id, version(library.exercises[id]))


def related(measured: MeasuredLibrary, exercise: Exercise) -> list[dict[str, Any]]:
    """Sources, harder neighbours, easier neighbours, and what the exercise varies."""
    library, graph = measured.library, measured.graph
    keys = [*exercise.sources, *(key for edge in exercise.ways for key in edge.sources)]
    found = citations(library, [*keys, *(figure.source for figure in exercise.figures)])
    for id in progressions_of(graph, exercise.id):
        edge = exercise.progressions[graph[exercise.id][id]["index"]]
        found.append(_neighbour(library, "successor", id, _criteria(edge)))
    for id in regressions_of(graph, exercise.id):
        found.append(_neighbour(library, "predecessor", id, ""))
    varied = exercise.variation_of
    if varied in library.exercises and varied is not None:
        found.append(_neighbour(library, "derived-from", varied, ""))
    return found


def _neighbour(library: Library, kind: str, id: str, criteria: str) -> dict[str, Any]:
    words = library.exercises[id].title
    return {
        "type": kind,
        "display": f"{words}. {criteria}" if criteria else words,
        "resource": reference(library, id),
    }


def _criteria(edge: Progression) -> str:
    parts = []
    if edge.when:
        parts.append("When all of these hold: " + "; ".join(in_words(edge.when)))
    if edge.after:
        parts.append(f"Not before {written(edge)['after']}")
    if edge.because:
        parts.append(f"Because {edge.because}")
    return ". ".join(parts)


def citations(library: Library, keys: Iterable[str]) -> list[dict[str, Any]]:
    """Each known source once, as a citation."""
    sources = library.vocabulary.sources
    return [_citation(key, sources[key]) for key in dict.fromkeys(keys) if key in sources]


def _citation(key: str, source: Source) -> dict[str, Any]:
    parts = [source.authors, source.title, source.journal, str(source.year or "")]
    found: dict[str, Any] = {
        "type": "citation",
        "label": key,
        "citation": ". ".join(part.rstrip(".") for part in parts if part) + ".",
    }
    url = f"https://doi.org/{source.doi}" if source.doi else source.url
    if url:
        found["document"] = {"url": url, "title": source.title}
    return found
