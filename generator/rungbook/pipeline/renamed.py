"""Exercises that only have another name now, and the old library seen under the new names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

import networkx as nx

from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.step import Step
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.ladder import Ladder
from rungbook.pipeline.analyse import Analysis

# What a rename changes in other files, and what may change with it.
_NOT_COMPARED = Exercise.NOT_WRITTEN - {"text"} | {
    "progressions", "variation_of", "reviewed", "formerly",
}  # fmt: skip
_COMPARED = tuple(name for name in Exercise.model_fields if name not in _NOT_COMPARED)


def renames(was: Mapping[str, Exercise], now: Mapping[str, Exercise]) -> Mapping[str, str]:
    """Old id -> new id of each exercise that a new one says it was, or says the same as."""
    added = [id for id in now if id not in was]
    found: dict[str, str] = {}
    for old in (id for id in was if id not in now):
        said = [id for id in added if old in now[id].formerly]
        alike = said or [id for id in added if _same(was[old], now[id])]
        if len(alike) == 1 and alike[0] not in found.values():
            found[old] = alike[0]
    return found


def _same(one: Exercise, other: Exercise) -> bool:
    return all(getattr(one, name) == getattr(other, name) for name in _COMPARED)


def under(names: Mapping[str, str], analysis: Analysis) -> Analysis:
    """An analysis with its exercises under other names."""
    if not names:
        return analysis
    return replace(
        analysis,
        measured=_measured(names, analysis.measured),
        findings=tuple(_findings(names, analysis, analysis.findings)),
        accepted=tuple(_findings(names, analysis, analysis.accepted)),
    )


def _measured(names: Mapping[str, str], measured: MeasuredLibrary) -> MeasuredLibrary:
    library = measured.library
    exercises = {names.get(id, id): _exercise(names, one) for id, one in library.exercises.items()}
    ladders = {id: _measured_ladder(names, one) for id, one in measured.ladders.items()}
    return replace(
        measured,
        library=replace(library, exercises=exercises),
        graph=nx.relabel_nodes(measured.graph, dict(names)),
        loads={names.get(id, id): load for id, load in measured.loads.items()},
        steps={(s.from_id, s.to_id): s for s in _steps(names, measured.steps.values())},
        ladders=ladders,
    )


def _exercise(names: Mapping[str, str], exercise: Exercise) -> Exercise:
    edges = tuple(
        one.model_copy(update={"to": names.get(one.to, one.to)}) for one in exercise.progressions
    )
    of = exercise.variation_of
    return exercise.model_copy(
        update={
            "id": names.get(exercise.id, exercise.id),
            "progressions": edges,
            "variation_of": names.get(of, of) if of else of,
        }
    )


def _steps(names: Mapping[str, str], steps: Iterable[Step]) -> Iterator[Step]:
    for step in steps:
        easier, harder = step.from_id, step.to_id
        yield replace(step, from_id=names.get(easier, easier), to_id=names.get(harder, harder))


def _measured_ladder(names: Mapping[str, str], one: MeasuredLadder) -> MeasuredLadder:
    return replace(
        one,
        ladder=_ladder(names, one.ladder),
        rungs=tuple(names.get(id, id) for id in one.rungs),
        steps=tuple(_steps(names, one.steps)),
        demands={names.get(id, id): demand for id, demand in one.demands.items()},
    )


def _ladder(names: Mapping[str, str], ladder: Ladder) -> Ladder:
    entries = {kind: names.get(id, id) for kind, id in ladder.entries.items()}
    return ladder.model_copy(
        update={"goal": names.get(ladder.goal, ladder.goal), "entries": entries}
    )


def _findings(
    names: Mapping[str, str], analysis: Analysis, findings: tuple[Finding, ...]
) -> Iterator[Finding]:
    old = analysis.measured.library.exercises
    files = {
        old[id].file: old[id].file.replace(f"{id}.md", f"{new}.md") for id, new in names.items()
    }
    for one in findings:
        place = replace(one.place, file=files.get(one.place.file, one.place.file))
        yield replace(one, place=place, exercises=tuple(names.get(id, id) for id in one.exercises))
