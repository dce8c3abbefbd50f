"""A field that the format does not have.

A misspelt field would otherwise be ignored in silence, and its caution or its dose with it.

Mend the spelling; the message names the nearest field there is.

Fails:

    [exercises/calf/raise.md]
    title: Heel raise
    caution: [recent-tendon-repair]

Passes:

    [exercises/calf/raise.md]
    title: Heel raise
    cautions: [recent-tendon-repair]
    [vocabulary/cautions.yml]
    recent-tendon-repair: {title: Recent tendon repair}
"""

from rungbook.model.finding import Level

name = "unknown-field"
level: Level = "error"
