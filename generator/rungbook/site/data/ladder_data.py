"""A ladder as the scripts measure by it: part of the file `data/library.js`."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from rungbook.ladder.graph import ladder_edges
from rungbook.ladder.measured import MeasuredLadder
from rungbook.model.ladder import IRRITABILITIES
from rungbook.site.data.numbers import limits_record, short
from rungbook.site.pages.catalogue import Catalogue


def ladder_record(catalogue: Catalogue, measured: MeasuredLadder) -> dict[str, Any]:
    """What a ladder's steps are computed from: rungs, limits, scale, what the ways prepare."""
    ladder = measured.ladder
    return {
        "id": ladder.id,
        "title": ladder.title,
        "works": [str(action) for action in ladder.works],
        "goal": ladder.goal,
        "rungs": measured.rungs,
        "aim": _aim(measured),
        "entries": [
            [word, ladder.entries[word]] for word in IRRITABILITIES if word in ladder.entries
        ],
        "restrictions": ladder.restrictions,
        "limits": limits_record(measured.ruler.limits),
        "standards": [[str(action), ladder.standard_of(action)] for action in ladder.works],
        "scale": _scale(measured),
        "prepared": list(_prepared(measured)),
        "steps": list(_ladder_steps(measured)),
        "unmeasured": list(_unmeasured(catalogue, measured)),
    }


def _ladder_steps(measured: MeasuredLadder) -> Iterator[list[float | int]]:
    """[easier, harder, size], the first two as numbers into the rungs."""
    number = {key: rung for rung, key in enumerate(measured.rungs)}
    for step in measured.steps:
        yield [number[step.from_id], number[step.to_id], short(step.size)]


def _unmeasured(catalogue: Catalogue, measured: MeasuredLadder) -> Iterator[list[int]]:
    """The progressions whose step is not known, as numbers into the rungs."""
    number = {key: rung for rung, key in enumerate(measured.rungs)}
    known = {(step.from_id, step.to_id) for step in measured.steps}
    for easier, harder in ladder_edges(catalogue.measured.graph, measured.rungs):
        if (easier, harder) not in known:
            yield [number[easier], number[harder]]


def _aim(measured: MeasuredLadder) -> list[float | int] | None:
    """What floors of easier options are taken from: demand, speed and volume of the goal."""
    aim = measured.ruler.aim
    return None if aim is None else [short(aim.demand), short(aim.speed), short(aim.volume)]


def _scale(measured: MeasuredLadder) -> list[list[Any]] | None:
    """[action, N·m of its standard exercise], of those on the scale; None where it is off."""
    scale = measured.ruler.scale
    return None if scale is None else [[str(a), short(nm)] for a, nm in scale.standards.items()]


def _prepared(measured: MeasuredLadder) -> Iterator[list[Any]]:
    """By rung: [action as a number into the ladder's works, N·m] that the way to it prepares."""
    works = measured.ladder.works
    for rung in measured.rungs:
        moments = measured.prepared.get(rung, {})
        yield [[works.index(action), short(nm)] for action, nm in moments.items()]
