"""Published curves of strength, for `scripts/strength.js`."""

from __future__ import annotations

from typing import Any

from rungbook.body.strength_curves import FITTED, GROUPS, SOURCE, YOUNGEST, strength_curves
from rungbook.load.strength import AGE_OF, MEASURED_IN_FLEXION, USUAL_AGE


def strength_record() -> dict[str, Any]:
    """Curves by action, body and group of age, the groups in words, and how angles are said."""
    return {
        "curves": [
            [action, body, age, curve.top, curve.width, curve.best]
            for (action, body, age), curve in strength_curves().items()
        ],
        "groups": list(GROUPS.items()),
        "ages": list(AGE_OF.items()),
        "fitted": FITTED,
        "youngest": YOUNGEST,
        "usual": USUAL_AGE,
        "source": SOURCE,
        "inFlexion": sorted(MEASURED_IN_FLEXION),
    }
