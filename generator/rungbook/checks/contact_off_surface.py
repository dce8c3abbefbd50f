"""A contact that its own posture cannot reach.

The written angles leave a hand, foot or knee more than 1 cm off what it is said to rest on, so
the body stands on something that is not there and its load cannot be computed.

Mend it by leaving out the angle of a joint that may follow the contact, by another angle, or by
another height or place of the surface.

Fails:

    [exercises/leg/squat.md]
    title: Squat
    works: knee extension
    movement: [{knee: {flexion: [0, 90]}}]
    contacts: [{at: feet, surface: floor}, {at: hands, surface: bar, height: 2.6 m, touch: true}]
    [vocabulary/equipment.yml]
    bar: {title: Bar}

Passes:

    [exercises/leg/squat.md]
    title: Squat
    works: knee extension
    movement: [{knee: {flexion: [0, 90]}}]
    contacts: [{at: feet, surface: floor}, {at: hands, surface: bar, height: 1.1 m, touch: true}]
    [vocabulary/equipment.yml]
    bar: {title: Bar}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.faulted import engine_findings
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "contact-off-surface"
level: Level = "error"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each contact that stays off its surface."""
    yield from engine_findings(measured, name, level)
