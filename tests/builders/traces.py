"""Traces of loads, as `rungbook load --trace` writes them, and what can be made of one phase."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.compute import traced
from rungbook.load.person import Person
from rungbook.load.trace import trace_values
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library

Array = NDArray[np.float64]
Phase = dict[str, Any]


def trace(exercises: Iterable[Exercise], library: Library, person: Person) -> dict[str, Any]:
    """The trace of exercises, through JSON text and back."""
    some = list(exercises)
    values = trace_values(
        person, traced(some, library, person), {one.id: one.title for one in some}
    )
    found: dict[str, Any] = json.loads(json.dumps(values))
    return found


def phases(values: dict[str, Any]) -> Iterator[tuple[str, Phase]]:
    """Every phase of a trace, with where it is."""
    for exercise in values["exercises"]:
        for way in exercise["ways"]:
            for phase in way["phases"]:
                yield f"{exercise['id']} {way['way']} {phase['phase']}", phase


def forces(phase: Phase) -> list[tuple[str, Array, Array]]:
    """All forces on the body: the segment, where, and newtons."""
    known = [(f["segment"], f["at_m"], f["force_n"]) for f in phase["forces"]]
    found = [
        (corner["segment"], corner["at_m"], corner["force_n"])
        for contact in phase["contacts"]
        for corner in contact["corners"]
    ]
    return [(segment, np.array(at), np.array(force)) for segment, at, force in known + found]
