"""By what a question about two exercises is measured: one scale, the same from end to end.

That of the ladder asked for, else of the first ladder by id that holds both, else the library's
limits and what the harder end itself demands.
"""

from __future__ import annotations

from dataclasses import dataclass

from rungbook.ladder.graph import draft_way, reached_from
from rungbook.ladder.limits import limits_for
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.profile import Profile
from rungbook.ladder.ruler import Ruler
from rungbook.ladder.scale import Moments, scale_for
from rungbook.ladder.step import Step
from rungbook.ladder.steps import step_between
from rungbook.model.movement import Action


@dataclass(frozen=True, slots=True)
class Question:
    """The ladder that measures, if one does, and by what."""

    ladder: MeasuredLadder | None
    ruler: Ruler

    @classmethod
    def of(
        cls, measured: MeasuredLibrary, from_id: str, to_id: str, ladder: str | None = None
    ) -> Question:
        """The question of two known exercises; `ladder` is one that holds both, if it is named."""
        one = measured.ladders[ladder] if ladder else ladder_of(measured, from_id, to_id)
        if one is not None:
            return cls(one, one.ruler)
        limits = limits_for(measured.library.settings)
        ratio, harder = limits.of("demand"), measured.profiles.get(to_id)
        if ratio is None or harder is None:
            return cls(None, Ruler(limits))
        return cls(None, Ruler(limits, scale=scale_for(harder, ratio)))

    def start(self, exercise: str) -> Moments | None:
        """What the ladder's way to a rung has prepared, N·m by action; None off the ladder."""
        return self.ladder.prepared.get(exercise) if self.ladder else None

    def step(self, easier: Profile, harder: Profile) -> Step:
        """The step between two exercises."""
        return step_between(easier, harder, self.ruler, self.start(easier.id))


def ladder_of(measured: MeasuredLibrary, *exercises: str) -> MeasuredLadder | None:
    """The first ladder, by id, that has all of the exercises on it."""
    return next(iter(ladders_of(measured, *exercises)), None)


def ladders_of(measured: MeasuredLibrary, *exercises: str) -> tuple[MeasuredLadder, ...]:
    """Every ladder, by id, that has all of the exercises on it."""
    return tuple(
        ladder
        for _, ladder in sorted(measured.ladders.items())
        if set(exercises) <= set(ladder.rungs)
    )


def apart(measured: MeasuredLibrary, from_id: str, to_id: str) -> str:
    """That two exercises stand on different ladders, in a sentence; nothing where one has both."""
    if ladder_of(measured, from_id, to_id) is not None:
        return ""
    from_on, to_on = (
        " and ".join(one.ladder.title for one in ladders_of(measured, id)) or "no ladder"
        for id in (from_id, to_id)
    )
    return f"No ladder holds both: {from_id} is on {from_on}, {to_id} on {to_on}."


def common_works(
    measured: MeasuredLibrary, from_id: str, to_id: str, ladder: str | None = None
) -> set[Action]:
    """The actions two exercises with a load share; on a ladder, its own that are known of both."""
    one = measured.ladders[ladder] if ladder else ladder_of(measured, from_id, to_id)
    ends = [measured.profiles[id] for id in (from_id, to_id)]
    known = {
        action
        for action in (one.ladder.works if one else ())
        if all(end.moment(action) is not None for end in ends)
    }
    return known or set(ends[0].works) & set(ends[1].works)


def fill_command(
    measured: MeasuredLibrary, from_id: str, to_id: str, ladder: str | None = None
) -> str | None:
    """The command that looks for exercises between two, where it has something to try.

    Both loads have to be known and some action common to both, and nothing may lead back, drafts
    included. `ladder` is the one whose limits are meant.
    """
    if not {from_id, to_id} <= measured.profiles.keys():
        return None
    if from_id in reached_from(measured.with_drafts, [to_id]):
        return None
    if not common_works(measured, from_id, to_id, ladder):
        return None
    first = ladder_of(measured, from_id, to_id)
    one = measured.ladders[ladder] if ladder else first
    other = one is not None and first is not None and one is not first
    return f"rungbook fill {from_id} {to_id}" + (f" --ladder {ladder}" if other else "")


def put_between(measured: MeasuredLibrary, step: Step, ladder: str | None) -> tuple[str, str]:
    """What to do about a step that is too large, in a sentence, and the command it names."""
    waiting = draft_way(measured.with_drafts, step.from_id, step.to_id)
    if waiting:
        return f"Drafts between wait for criteria and a review: {', '.join(waiting)}.", ""
    command = fill_command(measured, step.from_id, step.to_id, ladder)
    if command:
        return f"See what would fill it: {command}", command
    return "Write an exercise that lies between, or give the reason why it may stand.", ""
