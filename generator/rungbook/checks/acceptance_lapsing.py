"""An accepted finding whose acceptance lapses soon.

Thirty days before its day it is said here. From that day on the finding stands again: for sixty
days as a warning even where it is an error, so that nothing else has to wait for it, and from then
on as what it is.

Mend it by mending what was accepted, or by accepting it anew with a reason that still holds.

Fails:

    [exercises/arm/raise.md]
    title: Raise the arm
    accepts: [{check: stranded-exercise, because: kept for the class, until: 2026-06-15}]

Passes:

    [exercises/arm/raise.md]
    title: Raise the arm
    accepts: [{check: stranded-exercise, because: kept for the class, until: 2036-06-15}]
"""

from __future__ import annotations

from rungbook.model.finding import Level

name = "acceptance-lapsing"
level: Level = "note"
