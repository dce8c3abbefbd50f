"""A quantity without its unit, or with a unit of another kind.

A bare 2 might be kilograms or pounds: the load would be wrong by half, and nobody would see it.

Mend it by writing the number and its unit, such as `2 kg`.

Fails:

    [exercises/arm/raise.md]
    title: Arm raise
    resistance: [{weight: 2, at: hand}]

Passes:

    [exercises/arm/raise.md]
    title: Arm raise
    resistance: [{weight: 2 kg, at: hand}]
"""

from rungbook.model.finding import Level

name = "wrong-unit"
level: Level = "error"
