"""What a patient cannot do today: equipment, positions, cautions, angles, weight borne."""

from __future__ import annotations

from collections.abc import Set
from dataclasses import dataclass, field

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.restrictions import BEARING_TOLERANCE, Never, breaches, passes
from rungbook.load.result import ExerciseLoad, KindsOfWork
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindWord
from rungbook.model.library import Restriction
from rungbook.model.movement import split_side


@dataclass(frozen=True, slots=True)
class Filters:
    """What to leave out.

    `without` is equipment that is not there, `not_in` positions, `avoid` cautions, `never`
    limits on joint angles as in a restriction, `bearing` the largest share of body weight
    through the working limb, `restrictions` what the surgeon or protocol ordered, by key.
    `kinds` are the only kinds of work allowed, where any are: of what the exercise works, and of
    whatever works at a joint that `never` limits.
    """

    without: frozenset[str] = frozenset()
    not_in: frozenset[str] = frozenset()
    avoid: frozenset[str] = frozenset()
    never: tuple[Never, ...] = ()
    bearing: float | None = None
    restrictions: tuple[tuple[str, Restriction], ...] = field(default=())
    kinds: frozenset[KindWord] = frozenset()

    def objection(self, exercise: Exercise, load: ExerciseLoad | None) -> str | None:
        """Why an exercise is left out, in words that follow its name, or None."""
        for needed in sorted(equipment_of(exercise) & self.without):
            return f"needs {needed}"
        if exercise.position in self.not_in:
            return f"is done in {exercise.position}"
        for caution in sorted(self.avoid.intersection(exercise.cautions)):
            return f"carries the caution {caution}"
        for never in self.never:
            breach = passes(exercise, load, never)
            if breach:
                return f"goes to {breach.what} {breach.value:.0f}° ({breach.limit} is left out)"
        most = self.bearing
        if most is not None and load is not None and load.bearing > most + BEARING_TOLERANCE:
            return f"bears {100 * load.bearing:.0f} % of body weight"
        kind = self._kind(exercise, load)
        if kind:
            return kind
        for key, restriction in self.restrictions:
            for breach in breaches(exercise, load, restriction):
                unit = " %" if breach.what == "weight borne" else "°"
                value = breach.value * (100 if unit == " %" else 1)
                return f"breaks {key}: {breach.what} {value:.0f}{unit}, {breach.limit} is forbidden"
        return None

    def _kind(self, exercise: Exercise, load: ExerciseLoad | None) -> str | None:
        """The first action whose kind of work is another than those allowed, in words."""
        if not self.kinds:
            return None
        if load is None or load.kinds is None:
            return "its kind of work is not known"
        works = set(map(str, exercise.works))
        judged = works_at(load.kinds, works, {joint for never in self.never for joint in never})
        for action, kind in judged.items():
            if kind.word not in self.kinds:
                return f"its {action} is {kind.word}"
        if "none" not in self.kinds and not works & judged.keys():
            return "nothing that it names has to act"
        return None


def works_at(kinds: KindsOfWork, works: Set[str], joints: Set[str]) -> KindsOfWork:
    """What works of the actions named, and of all at some joints of either side; named first."""
    judged = {
        action: kind
        for action, kind in kinds.items()
        if kind.kind != "none"
        and (action in works or split_side(action.split(" ")[0])[0] in joints)
    }
    return dict(sorted(judged.items(), key=lambda item: item[0] not in works))


def equipment_of(exercise: Exercise) -> set[str]:
    """Everything an exercise needs: what it lists, and what it rests on or is helped by."""
    people = {"other-arm", "other-leg", "therapist", "floor", "wall"}
    used = {contact.surface for contact in exercise.contacts}
    used |= {assistance.by for assistance in exercise.assist}
    return {*exercise.equipment, *(one for one in used if one is not None and one not in people)}


def ordered_for(measured: MeasuredLibrary, *exercises: str) -> tuple[tuple[str, Restriction], ...]:
    """The restrictions of every ladder that one of the exercises is a rung of, by key."""
    known = measured.library.vocabulary.restrictions
    keys = {
        key
        for one in measured.ladders.values()
        if set(exercises) & set(one.rungs)
        for key in one.ladder.restrictions
    }
    return tuple((key, known[key]) for key in sorted(keys) if key in known)
