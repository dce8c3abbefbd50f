"""A posture in which nobody could stay.

The centre of mass does not stand over what carries the body, or the contacts would have to pull
or would slip. Whoever tried it would fall, and its load cannot be computed.

Mend it by freeing a joint that is written (the trunk or a hip), by another contact, by
`grip: true` where a hand or a foot holds on, as against a wall.

Fails:

    [exercises/leg/lean.md]
    title: Lean back
    works: knee extension
    posture:
      trunk: {forward-lean: -45}
      lumbar: {flexion: 0}
      knee: {flexion: 0}
      ankle: {dorsiflexion: 0}
    contacts: [{at: feet, surface: floor}]

Passes:

    [exercises/leg/lean.md]
    title: Stand
    works: knee extension
    contacts: [{at: feet, surface: floor}]
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.faulted import engine_findings
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "not-in-balance"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise whose contacts cannot hold the body."""
    yield from engine_findings(measured, name, level)
