"""Two files, or two keys of one file, with the same name.

An exercise is known by the name of its file. Where two share it, a link leads to either, and the
second value of a key hides the first.

Mend it by giving one of them another name, or by removing it.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    [exercises/foot/raise.md]
    title: Toe raise

Passes:

    [exercises/calf/heel-raise.md]
    title: Heel raise
    [exercises/foot/toe-raise.md]
    title: Toe raise
"""

from rungbook.model.finding import Level

name = "duplicate-id"
level: Level = "error"
