"""What the load engine found wrong with exercises, as findings."""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level


def engine_findings(measured: MeasuredLibrary, name: str, level: Level) -> Iterator[Finding]:
    """The faults of one check's name in every load, at the place they point to."""
    for id, exercise in measured.library.exercises.items():
        load = measured.loads.get(id)
        for fault in load.faults if load else ():
            if fault.check == name:
                yield Finding(
                    name,
                    level,
                    f"{exercise.title}: {fault.message}",
                    exercise.place(*fault.path),
                    exercises=(id,),
                    details=dict(fault.details),
                )
