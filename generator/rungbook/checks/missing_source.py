"""An exercise or a rule that names no source.

A reader should be able to see whether a thing comes from a paper, a protocol or common practice;
"common practice" is a source too.

Mend it by naming one or more keys of `vocabulary/sources.yml`.

Fails:

    [exercises/leg/squat.md]
    title: Squat

Passes:

    [exercises/leg/squat.md]
    title: Squat
    sources: [practice]
    [vocabulary/sources.yml]
    practice: {title: Common practice, kind: common-practice}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "missing-source"
level: Level = "note"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise, flare-up rule or pain rule without a source."""
    settings = measured.library.settings
    for index, rule in enumerate(settings.flare_up):
        if not rule.source:
            yield Finding(
                name,
                level,
                f"the flare-up rule '{rule.lasts}' names no source.",
                settings.place("flare-up", index),
            )
    if settings.pain_rule is not None and not settings.pain_rule.source:
        yield Finding(
            name, level, "the library's pain rule names no source.", settings.place("pain-rule")
        )
    for exercise in measured.library.exercises.values():
        if not exercise.sources:
            yield Finding(
                name,
                level,
                f"{exercise.id} names no source: write `sources`.",
                exercise.place("title"),
                exercises=(exercise.id,),
            )
