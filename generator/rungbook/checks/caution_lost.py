"""A caution of an easier exercise that the harder one lacks.

What calls for care in the easier exercise calls for it in the harder one too, as long as the
position is the same. A caution that stops on the way up was probably forgotten.

Mend it by adding the caution, or accept it with the reason why it no longer applies.

Fails:

    [exercises/leg/half.md]
    title: Half squat
    cautions: [painful-knee]
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
    [vocabulary/cautions.yml]
    painful-knee: {title: Painful knee}

Passes:

    [exercises/leg/half.md]
    title: Half squat
    cautions: [painful-knee]
    progressions: [{to: squat, when: [3 sets of 15]}]
    [exercises/leg/squat.md]
    title: Squat
    cautions: [painful-knee]
    [vocabulary/cautions.yml]
    painful-knee: {title: Painful knee}
"""

from __future__ import annotations

from collections.abc import Iterator

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.finding import Finding, Level

name = "caution-lost"
level: Level = "warning"


def check(measured: MeasuredLibrary) -> Iterator[Finding]:
    """One finding for each exercise that lacks cautions of easier ones in the same position."""
    exercises = measured.library.exercises
    for harder in exercises.values():
        own = set(harder.cautions)
        lost: dict[str, str] = {}
        for easier_id in sorted(measured.graph.pred[harder.id]):
            easier = exercises[easier_id]
            if easier.position == harder.position and easier_id != harder.id:
                for caution in easier.cautions:
                    if caution not in own:
                        lost.setdefault(caution, easier_id)
        if lost:
            told = ", ".join(f"{caution} (of {easier})" for caution, easier in lost.items())
            yield Finding(
                name,
                level,
                f"{harder.id} lacks a caution that an easier exercise carries: {told}. "
                "Add it, or accept this with the reason why it no longer applies.",
                harder.place("cautions"),
                exercises=(harder.id, *dict.fromkeys(lost.values())),
                details={"cautions": list(lost)},
            )
