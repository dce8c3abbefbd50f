"""What a patient cannot or may not do today: equipment, positions, cautions, angles, orders."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Set
from dataclasses import dataclass, field

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.restrictions import Never, angle_verdict, judged
from rungbook.ladder.row_limits import BEARS
from rungbook.ladder.verdict import FITS, Verdict, against, strictest
from rungbook.load.result import ExerciseLoad, KindsOfWork
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KIND_WORDS, KindWord
from rungbook.model.movement import split_side
from rungbook.model.restriction import Restriction

UNKNOWN = "load not known"


@dataclass(frozen=True, slots=True)
class Filters:
    """What to leave out.

    `without` is equipment that is not there, `not_in` positions, `avoid` cautions, `never`
    limits on joint angles as in a restriction, `bearing` the largest share of body weight
    through the working limb, `restrictions` what the surgeon or protocol ordered, by key, so many
    `weeks` after the operation (not said: the strictest rows hold), `lifted` the keys of those of
    which the surgeon or a criterion has ended what only they end. `kinds` are the only kinds of
    work allowed, where any are: of what the exercise works, and of whatever works at a joint that
    `never` limits; `areas` the only areas.
    """

    without: frozenset[str] = frozenset()
    not_in: frozenset[str] = frozenset()
    avoid: frozenset[str] = frozenset()
    never: tuple[Never, ...] = ()
    bearing: float | None = None
    restrictions: tuple[tuple[str, Restriction], ...] = field(default=())
    kinds: frozenset[KindWord] = frozenset()
    areas: frozenset[str] = frozenset()
    weeks: float | None = None
    lifted: frozenset[str] = frozenset()

    @property
    def about_load(self) -> bool:
        """Whether anything is limited that only the load of an exercise tells."""
        return bool(self.never or self.restrictions or self.kinds or self.bearing is not None)

    def objection(self, exercise: Exercise, load: ExerciseLoad | None) -> str | None:
        """Why an exercise is left out, in words that follow its name, or None."""
        verdicts = (verdict for _, verdict in self.verdicts(exercise, load))
        return next((verdict.words for verdict in verdicts if not verdict.fits), None)

    def verdicts(
        self, exercise: Exercise, load: ExerciseLoad | None
    ) -> Iterator[tuple[str, Verdict]]:
        """What every limit says of an exercise, each with what the limit is called."""
        yield from self._sorts(exercise)
        for never in self.never:
            yield limit_title(never), angle_verdict(exercise, load, never)
        if self.bearing is not None:
            yield f"bearing over {100 * self.bearing:g} %", self._bearing(load, self.bearing)
        if self.kinds:
            words = self._kind(exercise, load)
            title = f"only {_in_order(self.kinds)} work"
            yield title, against(words) if words else FITS
        for key, restriction in self.restrictions:
            verdict = judged(exercise, load, restriction, self.weeks, key in self.lifted)
            words = "" if verdict.fits else f"breaks {key}: {verdict.words}"
            yield f"restriction {key}", Verdict(words, verdict.until)

    def _sorts(self, exercise: Exercise) -> Iterator[tuple[str, Verdict]]:
        """Limits that need no load."""
        if self.areas:
            found = FITS if exercise.area in self.areas else against("is of another area")
            yield f"only {', '.join(sorted(self.areas))}", found
        needs = equipment_of(exercise)
        for item in sorted(self.without):
            yield f"without {item}", against(f"needs {item}") if item in needs else FITS
        for position in sorted(self.not_in):
            there = exercise.position == position
            yield f"not in {position}", against(f"is done in {position}") if there else FITS
        for caution in sorted(self.avoid):
            carried = caution in exercise.cautions
            words = f"carries the caution {caution}"
            yield f"avoiding {caution}", against(words) if carried else FITS

    def _bearing(self, load: ExerciseLoad | None, most: float) -> Verdict:
        if load is None or load.bearing <= most + BEARS:
            return FITS
        return against(f"bears {100 * load.bearing:.0f} % of body weight")

    def _kind(self, exercise: Exercise, load: ExerciseLoad | None) -> str | None:
        """The first action whose kind of work is another than those allowed, in words."""
        if load is None or load.kinds is None:
            return "its kind of work is not known"
        works = set(map(str, exercise.works))
        there = works_at(load.kinds, works, {joint for never in self.never for joint in never})
        for action, kind in there.items():
            if kind.word not in self.kinds:
                return f"its {action} is {kind.word}"
        if "none" not in self.kinds and not works & there.keys():
            return "nothing that it names has to act"
        return None

    def verdict_on(self, exercise: Exercise, load: ExerciseLoad | None) -> Verdict:
        """All limits at once: how far the movement may go to keep them.

        What is not known never fits where anything is limited that only the load tells.
        """
        return self.together((one for _, one in self.verdicts(exercise, load)), load)

    def together(self, verdicts: Iterable[Verdict], load: ExerciseLoad | None) -> Verdict:
        """All limits together, where what each says is known."""
        found = strictest(verdicts)
        unknown = self.about_load and found.fits and not is_known(load)
        return against(UNKNOWN) if unknown else found


def is_known(load: ExerciseLoad | None) -> bool:
    """Whether limits can be held against an exercise: its posture and its load are known."""
    return load is not None and load.kinds is not None and bool(load.demands or not load.withheld)


def _in_order(kinds: Set[KindWord]) -> str:
    return ", ".join(word for word in KIND_WORDS if word in kinds)


def limit_title(never: Never) -> str:
    """`hip flexion over 90°`: what is left out."""
    return " with ".join(
        f"{joint} {movement} {limit}°"
        for joint, movements in never.items()
        for movement, limit in movements.items()
    )


def works_at(kinds: KindsOfWork, works: Set[str], joints: Set[str]) -> KindsOfWork:
    """What works of the actions named, and of all at some joints of either side; named first."""
    there = {
        action: kind
        for action, kind in kinds.items()
        if kind.kind != "none"
        and (action in works or split_side(action.split(" ")[0])[0] in joints)
    }
    return dict(sorted(there.items(), key=lambda item: item[0] not in works))


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
