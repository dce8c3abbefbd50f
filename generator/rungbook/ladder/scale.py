"""The scale of demand: how many steps high a load is, and what the way to a rung has prepared.

A ladder names a standard exercise for each action it works, the one usually given. One step may add
half the load it starts from (r = 1.5), counted from half the standard exercise's load G where it
starts lower: never less than a quarter of G. Quarters are how the trade grades partial loading
(common practice, no source). The height of a load x is

    φ(x) = x / ((r - 1) G/2)                up to G/2
         = 1/(r - 1) + ln(2x/G) / ln r      above

so that heights add up along a ladder. A step from a to b is φ(b) less the height of what the way to
a has prepared, for each action, at least 0; the greatest counts. What is prepared on a rung is the
larger of its own load and the least that the rungs below it have prepared, nothing at an entry.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from rungbook.ladder.profile import Profile
from rungbook.model.ladder import Ladder
from rungbook.model.movement import Action

SMALLEST_STANDARD_NM = 1.0  # below it there is no load to measure by
Moments = Mapping[Action, float]  # N·m by action


@dataclass(frozen=True)
class Scale:
    """The standard exercise's load G of each action, N·m, and r, how much a step multiplies.

    An action whose standard exercise has no load to measure by is not on the scale.
    """

    standards: Moments
    ratio: float

    def height(self, action: Action, demand_nm: float | None) -> float | None:
        """φ of a load about an action of the scale, in steps; None where the load is unknown."""
        standard = self.standards.get(action)
        if standard is None or demand_nm is None:
            return None
        half = standard / 2
        if demand_nm <= half:
            return demand_nm / ((self.ratio - 1) * half)
        return 1 / (self.ratio - 1) + math.log(demand_nm / half) / math.log(self.ratio)

    def load_at(self, action: Action, height: float) -> float:
        """The load about an action at a height, N·m: φ read the other way."""
        half, linear = self.standards[action] / 2, 1 / (self.ratio - 1)
        if height <= linear:
            return height * (self.ratio - 1) * half
        return float(half * self.ratio ** (height - linear))

    def rises(self, action: Action, from_nm: float, to_nm: float, little: float) -> bool:
        """Whether a load rises by more than a share `little` of where a step is counted from."""
        return to_nm - from_nm > little * max(from_nm, self.standards[action] / 2) + 1e-6

    def moments(self, one: Profile) -> Moments:
        """What is known of an exercise's load about the actions of the scale."""
        known = {action: one.moment(action) for action in self.standards}
        return {action: nm for action, nm in known.items() if nm is not None}


def scale_of(ladder: Ladder, profiles: Mapping[str, Profile], ratio: float) -> Scale:
    """A ladder's scale, from its standard exercises."""
    standards = {}
    for action in dict.fromkeys(ladder.works):
        standard = profiles.get(ladder.standard_of(action) or "")
        demand = standard.moment(action) if standard is not None else None
        if demand is not None and demand >= SMALLEST_STANDARD_NM:
            standards[action] = demand
    return Scale(standards, ratio)


def scale_between(easier: Profile, harder: Profile, ratio: float) -> Scale:
    """The scale of two exercises off every ladder: what the harder end itself demands.

    About what the harder one works, else about what the easier one does; by the easier one's
    demand where the harder has none. Without an action known of both, a scale of nothing.
    """
    for actions in (harder.works, easier.works):
        standards = {}
        for action in actions:
            pair = (harder.moment(action), easier.moment(action))
            known = [nm for nm in pair if nm is not None]
            usable = [nm for nm in known if nm >= SMALLEST_STANDARD_NM]
            if len(known) == len(pair) and usable:
                standards[action] = usable[0]
        if standards:
            return Scale(standards, ratio)
    return Scale({}, ratio)


def scale_for(goal: Profile, ratio: float) -> Scale:
    """The scale of a question off every ladder: the harder end's own demand, fixed throughout."""
    known = {action: goal.moment(action) or 0.0 for action in goal.works}
    return Scale({a: nm for a, nm in known.items() if nm >= SMALLEST_STANDARD_NM}, ratio)


def prepared(
    rungs: Iterable[str],
    below: Mapping[str, Collection[str]],
    entries: Collection[str],
    moments: Mapping[str, Moments],
) -> dict[str, Moments]:
    """What the way to each rung has prepared, N·m by action.

    Args:
        rungs: easiest first; on a cycle, what comes later is not counted.
        below: the rungs a step leads from, by rung. entries: where a patient may start.
        moments: each rung's own load, as far as it is known.

    A rung whose load is not known has what the rungs below it have prepared.
    """
    found: dict[str, Moments] = {}
    for rung in rungs:
        before = [] if rung in entries else [found[one] for one in below[rung] if one in found]
        own = moments.get(rung, {})
        actions = {**own, **{action: 0.0 for one in before for action in one}}
        found[rung] = {
            action: max(
                own.get(action, 0.0),
                min((one[action] for one in before if action in one), default=0.0),
            )
            for action in actions
        }
    return found
