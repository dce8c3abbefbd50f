"""Profiles of exercises for the browser, in one file an action.

A row is short: names of joint axes are numbers into the file's own list.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from rungbook.ladder.profile import Profile, profile
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.site.data.numbers import brief
from rungbook.site.pages.catalogue import Catalogue

WEIGHT = "weight on"
Row = dict[str, Any]


@dataclass
class ProfileRows:
    """Rows of one file, with the names they share."""

    axes: dict[str, int] = field(default_factory=dict)

    def _number(self, name: str) -> int:
        return self.axes.setdefault(name, len(self.axes))

    def row(self, exercise: Exercise, one: Profile) -> Row:
        """A profile as `scripts/easier.js` reads it; what is usual is left out."""
        joints = [
            [self._number(name), brief(up), brief(down), *map(brief, one.extremes[name])]
            for name, (up, down) in one.directed.items()
        ]
        others = [name for name in one.others if not name.startswith(WEIGHT)]
        record: dict[str, Any] = {
            "id": one.id,
            "sides": exercise.sides,
            "works": [str(action) for action in one.works],
            "unknown": not one.statics,
            "moments": [[str(action), brief(peak)] for action, peak in one.moments.items()],
            "contracting": [
                [str(action), list(map(brief, peaks))] for action, peaks in one.contracting.items()
            ],
            "joints": joints,
            "others": [self._number(_joint(name)) for name in others],
            "hard": [self._number(_joint(name)) for name in others if name in one.hard],
            "weights": [
                [name, brief(value)]
                for name, value in one.others.items()
                if name.startswith(WEIGHT)
            ],
            "bearing": brief(one.bearing),
            "limb": one.limb,
            "impact": one.impact,
            "leads": one.leads,
            "range": brief(one.range_deg),
            "lengthening": brief(one.lengthening_deg),
            "narrow": [one.range_narrow, one.lengthening_narrow, one.lengthening_is_range],
            "speed": brief(one.speed_deg_s),
            "stability": one.stability,
            "volume": None if one.volume_s is None else brief(one.volume_s),
            "session": None if one.session_nms is None else brief(one.session_nms),
        }
        return {key: value for key, value in record.items() if value not in (None, [], 0)}

    def one(self, exercise: Exercise, load: ExerciseLoad) -> Row:
        """The row of an exercise that is not in the library: a variation made in memory."""
        return self.row(exercise, profile(exercise, load))


def _joint(name: str) -> str:
    """`knee flexion` -> the joint axis it is the peak of, `working knee flexion`."""
    return name if name.split(" ")[0] in ("other", "lumbar", "neck") else f"working {name}"


def actions_of(catalogue: Catalogue) -> tuple[str, ...]:
    """Every action that some exercise with a load works, sorted; its number names its file."""
    loads = catalogue.measured.loads
    return tuple(
        sorted(
            {
                str(action)
                for exercise in catalogue.library.exercises.values()
                if exercise.id in loads
                for action in exercise.works
            }
        )
    )


def profiles_record(catalogue: Catalogue, action: str) -> dict[str, Any]:
    """The profiles of all exercises that work one action."""
    rows, loads = ProfileRows(), catalogue.measured.loads
    made = [
        rows.row(exercise, catalogue.profile(key))
        for key, exercise in catalogue.library.exercises.items()
        if action in map(str, exercise.works) and key in loads
    ]
    return {"action": action, "axes": list(rows.axes), "rows": made}
