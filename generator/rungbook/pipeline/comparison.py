"""The difference between two analyses of a library."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping
from dataclasses import asdict, is_dataclass
from typing import Any

import networkx as nx

from rungbook.ladder.measure import judged_steps
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.question import fill_command
from rungbook.ladder.step import Step
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.model.movement import Action
from rungbook.model.place import base_of
from rungbook.model.record import Record, kebab
from rungbook.pipeline.analyse import Analysis
from rungbook.pipeline.changes import (
    Comparison,
    DraftChange,
    FieldChange,
    KindChange,
    LoadChange,
    LostCaution,
    ReviewChange,
    RouteChange,
    StepChange,
)
from rungbook.pipeline.renamed import renames, under

LEAST_LOAD_CHANGE = 0.01  # of the larger of both; less is noise of the written numbers


def compare(
    old: Analysis, new: Analysis, old_name: str = "old", new_name: str = "new"
) -> Comparison:
    """The difference between two analyses of a library, by the ids of its exercises."""
    names = renames(old.measured.library.exercises, new.measured.library.exercises)
    old = under(names, old)
    before, after = old.measured, new.measured
    was, now = before.library.exercises, after.library.exercises
    both = [id for id in now if id in was]
    too_large, repaired = _steps(before, after)
    longer, shorter = _routes(before, after)
    return Comparison(
        old_name,
        new_name,
        added={id: now[id].title for id in now if id not in was},
        removed={id: was[id].title for id in was if id not in now},
        changed={id: fields for id in both if (fields := _fields(was[id], now[id]))},
        loads=tuple(change for id in both for change in _loads(before, after, id)),
        steps_too_large=too_large,
        steps_repaired=repaired,
        routes_longer=longer,
        routes_shorter=shorter,
        cautions_lost=tuple(lost for id in both for lost in _lost(was[id], now[id])),
        reviews=tuple(change for id in both for change in _review(was[id], now[id])),
        findings_new=_without(new.findings, old.findings),
        findings_gone=_without(old.findings, (*new.findings, *new.accepted)),
        newly_accepted=_without(new.accepted, old.accepted),
        renamed=names,
        ladders_added=tuple(id for id in after.library.ladders if id not in before.library.ladders),
        ladders_removed=tuple(
            id for id in before.library.ladders if id not in after.library.ladders
        ),
        kinds=tuple(change for id in both for change in _kinds(before, after, id)),
        drafts=tuple(_drafts(was, now)),
        of_base=frozenset(_of_base(before.library) | _of_base(after.library)),
        replaced_changed=tuple(_replaced(before.library, after.library)),
    )


def _of_base(library: Library) -> set[str]:
    places = {id: one.place() for id, one in library.exercises.items()}
    places |= {id: one.place() for id, one in library.ladders.items()}
    return {id for id, place in places.items() if base_of(place.file)}


def _replaced(before: Library, after: Library) -> Iterator[str]:
    """Files of a base that say something else now, and that files of the library's own replace."""
    for file, digest in sorted(after.replaced.items()):
        if before.replaced.get(file, digest) != digest:
            yield file
    yield from (file for file in sorted(before.replaced) if file not in after.replaced)


def _fields(old: Exercise, new: Exercise) -> tuple[FieldChange, ...]:
    pairs = ((name, getattr(old, name), getattr(new, name)) for name in Exercise.model_fields)
    return tuple(
        FieldChange(kebab(name), _json_ready(was), _json_ready(now))
        for name, was, now in pairs
        if name not in Exercise.NOT_WRITTEN - {"text"} and was != now
    )


def _json_ready(value: Any) -> Any:
    """A field of an exercise as JSON-ready data, in SI units; keys as they are written."""
    if isinstance(value, Record):
        return {kebab(name): _json_ready(part) for name, part in value}
    if isinstance(value, dict):
        return {key: _json_ready(part) for key, part in value.items()}
    if isinstance(value, tuple):
        return [_json_ready(part) for part in value]
    if isinstance(value, Action | datetime.date):
        return str(value)
    if is_dataclass(value) and not isinstance(value, type):
        return asdict(value)
    return value


def _loads(before: MeasuredLibrary, after: MeasuredLibrary, id: str) -> Iterator[LoadChange]:
    old, new = before.loads.get(id), after.loads.get(id)
    if old is None or new is None:
        return
    for works, demand in new.demands.items():
        if works in old.demands:
            a, b = old.demands[works].peak_nm, demand.peak_nm
            if abs(b - a) > LEAST_LOAD_CHANGE * max(a, b):
                yield LoadChange(id, works, a, b)


def _kinds(before: MeasuredLibrary, after: MeasuredLibrary, id: str) -> Iterator[KindChange]:
    old, new = before.loads.get(id), after.loads.get(id)
    if old is None or new is None:
        return
    for action in after.library.exercises[id].works:
        was, now = old.kind(action), new.kind(action)
        if was is not None and now is not None and was.word != now.word:
            yield KindChange(id, str(action), was.word, now.word)


def _judged(measured: MeasuredLibrary) -> dict[tuple[str, str], Step]:
    return {(step.from_id, step.to_id): step for step, _ in judged_steps(measured)}


def _steps(
    before: MeasuredLibrary, after: MeasuredLibrary
) -> tuple[tuple[StepChange, ...], tuple[StepChange, ...]]:
    was, now = _judged(before), _judged(after)
    too_large: list[StepChange] = []
    repaired: list[StepChange] = []
    for edge in sorted({*was, *now}):
        old, new = was.get(edge), now.get(edge)
        broken, breaks = bool(old and old.missing), bool(new and new.missing)
        worst = new if new and breaks else old
        if broken == breaks or worst is None:
            continue
        change = StepChange(
            *edge,
            old.size if old else None,
            new.size if new else None,
            worst.worst,
            worst.missing,
            (fill_command(after, *edge) or "") if breaks else "",
        )
        (too_large if breaks else repaired).append(change)
    return tuple(too_large), tuple(repaired)


def _routes(
    before: MeasuredLibrary, after: MeasuredLibrary
) -> tuple[tuple[RouteChange, ...], tuple[RouteChange, ...]]:
    was, now = _judged(before), _judged(after)
    longer, shorter = [], []
    for id, measured in after.ladders.items():
        if id not in before.ladders:
            continue
        old_goal = before.ladders[id].ladder.goal
        for entry in dict.fromkeys(measured.ladder.entries.values()):
            old = _length(before, was, entry, old_goal)
            new = _length(after, now, entry, measured.ladder.goal)
            if old is not None and (new is None or new > old):
                longer.append(RouteChange(id, entry, old, new))
            elif new is not None and entry in before.graph and (old is None or new < old):
                shorter.append(RouteChange(id, entry, old, new))
    return tuple(longer), tuple(shorter)


def _length(
    measured: MeasuredLibrary, steps: Mapping[tuple[str, str], Step], entry: str, goal: str
) -> int | None:
    """Rungs on the shortest way, those that its steps are missing counted in."""

    def weight(easier: str, harder: str, _: object) -> int:
        step = steps.get((easier, harder))
        return 1 + (step.missing if step else 0)

    try:
        return 1 + int(nx.dijkstra_path_length(measured.graph, entry, goal, weight))
    except (nx.NodeNotFound, nx.NetworkXNoPath):
        return None


def _drafts(was: Mapping[str, Exercise], now: Mapping[str, Exercise]) -> Iterator[DraftChange]:
    old, new = (
        {(one.id, edge.to): edge.draft for one in library.values() for edge in one.progressions}
        for library in (was, now)
    )
    for edge in sorted({*old, *new}):
        if new.get(edge) and not old.get(edge):
            yield DraftChange(*edge, "added")
        elif old.get(edge) and not new.get(edge):
            yield DraftChange(*edge, "taken up" if edge in new else "removed")


def _lost(old: Exercise, new: Exercise) -> Iterator[LostCaution]:
    yield from (LostCaution(new.id, "caution", k) for k in old.cautions if k not in new.cautions)
    yield from (
        LostCaution(new.id, "restriction", key)
        for key in old.restrictions
        if key not in new.restrictions
    )


def _review(old: Exercise, new: Exercise) -> Iterator[ReviewChange]:
    was, now = (one.reviewed.date.isoformat() if one.reviewed else None for one in (old, new))
    if (was, old.standing) != (now, new.standing):
        yield ReviewChange(new.id, was, now, old.standing, new.standing)


def _identity(finding: Finding) -> tuple[object, ...]:
    """The same fault, wherever its line has moved to."""
    return (finding.check, finding.level, finding.place.file, finding.exercises, finding.ladder)


def _without(these: tuple[Finding, ...], others: tuple[Finding, ...]) -> tuple[Finding, ...]:
    """Those of `these` that are not among `others`; of several alike, as many as there are more."""
    left: dict[tuple[object, ...], int] = {}
    for finding in others:
        left[_identity(finding)] = left.get(_identity(finding), 0) + 1
    fresh = []
    for finding in these:
        if left.get(_identity(finding), 0):
            left[_identity(finding)] -= 1
        else:
            fresh.append(finding)
    return tuple(fresh)
