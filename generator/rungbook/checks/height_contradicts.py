"""A surface whose height or distance and the written angles cannot both be.

What stands where it stands: with a seat of 0.30 m a thigh is not level. The height wins, and
where it moves a written angle by more than 2 degrees, the angle in the file is not the one that
is computed, shown and handed out.

Mend it by writing the angle that the finding names, by leaving the joint out so that it follows
the surface, or by another height.

Fails:

    [exercises/leg/stand-up.md]
    title: Stand up
    works: knee extension
    movement: [{knee: {flexion: [90, 0]}, hip: {flexion: [90, 0]}}]
    contacts:
      - {at: feet, surface: floor}
      - {at: seat, surface: chair, height: 0.30 m, during: start}
    [vocabulary/equipment.yml]
    chair: {title: Chair}

Passes:

    [exercises/leg/stand-up.md]
    title: Stand up
    works: knee extension
    movement: [{knee: {flexion: [97, 0]}, hip: {flexion: [90, 0]}}]
    contacts:
      - {at: feet, surface: floor}
      - {at: seat, surface: chair, height: 0.48 m, during: start}
    [vocabulary/equipment.yml]
    chair: {title: Chair}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.checks.faulted import engine_findings
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "height-contradicts"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise whose surfaces move its written angles."""
    yield from engine_findings(measured, name, level)
