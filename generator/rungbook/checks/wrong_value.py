"""A value that its field cannot have.

A word that is not on the list, a number out of its range or a text where a list belongs would be
read as something the author did not mean.

Mend it as the message says; it names what was expected and the nearest word there is.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    position: standin

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
    position: standing
"""

from rungbook.model.finding import Level

name = "wrong-value"
level: Level = "error"
