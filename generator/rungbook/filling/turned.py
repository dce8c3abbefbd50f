"""What works the other way where a candidate turns the body: gravity may pull past the upright."""

from __future__ import annotations

from rungbook.filling.setting import Candidate
from rungbook.ladder.profile import Profile
from rungbook.load.compute import groups
from rungbook.model.movement import Action, opposite_movement

WORTH_SAYING = 0.1  # of the exercise's own load


def opposite_of(candidate: Candidate, one: Profile) -> tuple[str, float] | None:
    """The muscles that have to act the other way, in words, and their greatest moment in N·m.

    Only where a lever turned the body; None where they never act to speak of.
    """
    if not any(setting.handle == "set-up" for setting in candidate.settings):
        return None
    found = [
        (groups().get(f"{action.joint} {name}", f"{action.joint} {name}"), moment)
        for action in candidate.exercise.works
        if (name := opposite_movement(action.joint, action.movement))
        and (moment := _moment(one, action)) is not None
    ]
    most = max(found, key=lambda pair: pair[1], default=("", 0.0))
    return most if most[1] > WORTH_SAYING * max(one.moments.values(), default=0.0) else None


def _moment(one: Profile, action: Action) -> float | None:
    side = (
        ""
        if action.joint in ("lumbar", "neck")
        else ("other " if action.other_side else "working ")
    )
    both = one.directed.get(f"{side}{action.joint} {action.axis}")
    return None if both is None else both[1 if action.sign > 0 else 0]
