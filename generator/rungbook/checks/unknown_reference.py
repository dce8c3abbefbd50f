"""A name that nothing in the library has.

A progression to an exercise that does not exist ends in the air; a caution that no vocabulary
explains says nothing to whoever reads it. Checks that are named where they are switched or
accepted must exist as well, and an acceptance that covers no finding is out of date (a warning).

Mend the spelling, or write the exercise or the vocabulary entry.

Fails:

    [exercises/calf/seated.md]
    title: Seated heel raise
    progressions: [{to: standin, when: [3 sets of 15]}]
    [exercises/calf/standing.md]
    title: Standing heel raise

Passes:

    [exercises/calf/seated.md]
    title: Seated heel raise
    progressions: [{to: standing, when: [3 sets of 15]}]
    [exercises/calf/standing.md]
    title: Standing heel raise
"""

from rungbook.model.finding import Level

name = "unknown-reference"
level: Level = "error"
