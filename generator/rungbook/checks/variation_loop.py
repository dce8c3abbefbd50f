"""An exercise that is a variation of itself.

What a variation does not restate it takes from the exercise it names; in a loop nothing is ever
stated.

Mend it by writing one of the exercises of the loop in full, without `variation-of`.

Fails:

    [exercises/calf/high.md]
    title: Heel raise, high
    variation-of: low
    [exercises/calf/low.md]
    title: Heel raise, low
    variation-of: high

Passes:

    [exercises/calf/high.md]
    title: Heel raise, high
    variation-of: low
    [exercises/calf/low.md]
    title: Heel raise, low
"""

from rungbook.model.finding import Level

name = "variation-loop"
level: Level = "error"
