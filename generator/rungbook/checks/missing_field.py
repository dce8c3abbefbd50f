"""A field that must be there is not.

An exercise without a title cannot be shown, and a ladder without a goal leads nowhere.

Mend it by writing the field.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    [ladders/calf.md]
    title: Calf loading
    entries: {high: raise}

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
    [ladders/calf.md]
    title: Calf loading
    goal: raise
    entries: {high: raise}
"""

from rungbook.model.finding import Level

name = "missing-field"
level: Level = "error"
