"""What a library has to carry, hold and weigh with: its helpers, surfaces and weights.

Read off the exercises it has, and off its vocabulary of equipment. What it lacks is offered as a
setting too, marked with what would have to be added: nothing is proposed with it, and a search
that fails knows what would have helped.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from rungbook.filling.setting import limb_of
from rungbook.model.acting import BUILT_IN_SURFACES, HELPERS, Resistance
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library

FAR_POINT = {"arm": "wrist", "leg": "ankle"}
MOST_HELPERS = 3
HANDS = ("hands", "hand")
UPRIGHT = frozenset({"standing", "split-stance", "single-leg-standing", "bent-forward"})
USUAL_COUNTER_M = 0.9


@dataclass(frozen=True, slots=True)
class Helper:
    """What carries a limb at a point; `felt` where only quarters can be told apart."""

    by: str
    at: str
    felt: bool
    needs: str = ""


def helpers(base: Exercise, other: Exercise, library: Library) -> tuple[Helper, ...]:
    """What may carry the working limb, the likeliest first, and what the library lacks for it.

    What the two exercises use; what exercises of the same action use, then those of the same limb;
    the other arm; equipment whose help can be set, then what is felt.
    """
    limb = limb_of(base)
    if limb is None:
        return ()
    used = [(one.by, one.at) for each in _likeliest(base, other, library)
            for one in each.assist if one.by and one.share is not None]  # fmt: skip
    at = dict(reversed(used)) | dict(reversed([pair for pair in used if pair[1] == _point(base)]))
    known = [by for by, _ in used if by in HELPERS or by in library.vocabulary.equipment]
    if limb == "arm" and base.sides == "one" and _is_free("other-hand", base):
        known.append("other-arm")
    terms = library.vocabulary.equipment.items()
    known += [key for key, term in terms if term.assists == "set"]
    known += [key for key, term in terms if term.assists == "felt"]
    point = used[0][1] if used else FAR_POINT[limb]
    found = [Helper(by, at.get(by, point), _is_felt(by, library)) for by in dict.fromkeys(known)]
    kept = found[:MOST_HELPERS]
    if not any(one.felt is False for one in kept):
        settable = next((one for one in found if not one.felt), None)
        kept.append(settable or Helper("sling", point, False, "a helper whose help can be set"))
    return tuple(kept)


def _likeliest(base: Exercise, other: Exercise, library: Library) -> Iterator[Exercise]:
    """The two exercises, then those of the same action, then those of the same limb."""
    yield from (base, other)
    others = library.exercises.values()
    yield from (one for one in others if set(one.works) & set(base.works))
    yield from (one for one in others if limb_of(one) == limb_of(base))


def _point(base: Exercise) -> str | None:
    return base.assist[0].at if base.assist else None


def _is_felt(by: str, library: Library) -> bool:
    term = library.vocabulary.equipment.get(by)
    return term is None or term.assists != "set"


def _is_free(point: str, exercise: Exercise) -> bool:
    """Whether a hand has nothing to do: it rests on nothing and holds nothing."""
    busy = {one.at for one in exercise.contacts} | {one.at for one in exercise.resistance}
    return not busy & {point, "hands", "forearms", point.replace("hand", "forearm")}


@dataclass(frozen=True, slots=True)
class Hold:
    """Something fixed for the hands; no height for a wall."""

    surface: str
    height_m: float | None
    needs: str = ""


def hold_for_the_hands(base: Exercise, other: Exercise, library: Library) -> Hold:
    """What the hands go on in standing: what the two exercises use, or others of their kind."""
    for exercise in _likeliest(base, other, library):
        for contact in exercise.contacts if exercise.position in UPRIGHT else ():
            if contact.at in HANDS and contact.surface and contact.surface != "floor":
                usual = None if contact.surface == "wall" else USUAL_COUNTER_M
                return Hold(contact.surface, contact.height or usual)
    known = library.vocabulary.equipment
    for key in ("counter", "handrail", "table"):
        if key in known:
            return Hold(key, USUAL_COUNTER_M)
    return Hold("counter", USUAL_COUNTER_M, "something fixed to lean on")


def heights_of(points: Iterable[str], library: Library) -> tuple[tuple[float, str], ...]:
    """How high the library's own surfaces for some body points are: (metres, what it is)."""
    wanted = set(points)
    found = {
        (one.height, one.surface)
        for exercise in library.exercises.values()
        for one in exercise.contacts
        if one.at in wanted and one.height and one.surface not in (None, *BUILT_IN_SURFACES)
    }
    return tuple(sorted((height, str(surface)) for height, surface in found))


def weight_for(base: Exercise, library: Library) -> tuple[Resistance, tuple[str, ...]] | None:
    """The heaviest weight that exercises of the same action hold, and the equipment it takes."""
    found = [
        (item.weight, exercise.id, item, what_holds(exercise, base))
        for exercise in library.exercises.values()
        if set(exercise.works) & set(base.works) and exercise.sides == base.sides
        for item in exercise.resistance
        if item.weight is not None
    ]
    return max(found, key=lambda one: one[:2])[2:] if found else None


def what_holds(weighted: Exercise, base: Exercise) -> tuple[str, ...]:
    """The equipment of an exercise with a weight that another needs for the same weight."""
    resting = {one.surface for one in weighted.contacts}
    return tuple(one for one in weighted.equipment if one not in {*resting, *base.equipment})
