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
    """One finding for each progression on which a caution is lost without a change of position."""
    exercises = measured.library.exercises
    for harder in exercises.values():
        for easier_id in sorted(measured.graph.pred[harder.id]):
            easier = exercises[easier_id]
            lost = [one for one in easier.cautions if one not in harder.cautions]
            if not lost or easier.position != harder.position or easier_id == harder.id:
                continue
            yield Finding(
                name,
                level,
                f"{harder.id} lacks what the easier {easier_id} carries: {', '.join(lost)}. "
                "Add it, or accept this with the reason why it no longer applies.",
                harder.place("cautions"),
                exercises=(harder.id, easier_id),
                details={"cautions": lost},
                edge=(easier_id, harder.id),
            )
