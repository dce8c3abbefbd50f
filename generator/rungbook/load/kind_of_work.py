"""The kind of work of every joint action, computed from its moment.

The moment M that the muscles must produce is held against O, what the limb beyond the joint asks
of them by its own weight alone in the same posture:

- resisted: body weight goes through the limb, or a weight, band or push makes M exceed O;
- active: the limb alone;
- assisted: M is less than O, since help or a surface carries part of the limb;
- passive: the joint moves and a helper carries it all;
- none: nothing has to act.

`held` beside the kinds in which muscles act: the joint turns by less than `HELD_DEG`. Common
practice, no source; which kind of work an order means is for who gave it to say.

Decisions that a moment alone does not give:
- An arm through which body weight goes is resisted in every direction: arms are not built to
  stand, and net moments do not show what steadies them. A leg is resisted where its muscles act;
  an order on weight through it is one on bearing.
- A patient who moves a joint where gravity asks for nothing works actively all the same.
- A limb that slides over a surface which carries it all is assisted: the patient moves it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from rungbook.body.effort import BEYOND
from rungbook.body.joints import DOFS, JOINT_DOFS, LIMB_OF, ROTATIONS, below
from rungbook.body.points import BodyPoint
from rungbook.body.relative_strength import relative_strengths
from rungbook.body.statics import REPORTED, REPORTED_SEGMENT
from rungbook.load.demand import row_of
from rungbook.load.person import Person
from rungbook.load.result import KindsOfWork
from rungbook.load.solved import solved_rows
from rungbook.load.way_load import WayLoad
from rungbook.model.exercise import Exercise, WrittenKind
from rungbook.model.kind_of_work import KindOfWork
from rungbook.model.movement import MOVEMENTS, Action

Array = NDArray[np.float64]
Bools = NDArray[np.bool_]
LITTLE = 0.05  # of what the muscles can do: less is nothing that has to act
NAMED_NM = 1e-3  # but at the actions of `works`, whatever is not the noise of rounding
SAME = 1e-3  # of the limb's own moment: a smaller difference is none
HELD_DEG = 5.0  # a joint that turns by less is held
BEARS_N_KG = 0.05  # N per kg of body mass: a smaller force through a limb is no weight
BEARS_N = 1.0  # nor is a smaller one of outer loads


@dataclass(frozen=True, slots=True)
class Situation:
    """One direction of one joint axis over the whole movement. Moments in N·m.

    `acts`, `opposes`: whether the muscles of this direction, of the opposite one, have to act.
    `peak` is their greatest moment, `own` what the limb alone would ask for, `excess` by how much
    the moment is greater than that. `moved`: by the exercise's own movement. `bears`: body weight
    goes through it; `loaded`: resistance; `helped`: it is carried by a helper; `rests`: by a
    surface.
    """

    acts: bool
    opposes: bool
    peak: float
    own: float
    excess: float
    moved: bool
    held: bool
    arm: bool
    bears: bool
    loaded: bool
    helped: bool
    rests: bool


def kind_of_work(at: Situation) -> KindOfWork:
    """The kind of work of one direction of one joint axis."""
    if at.bears and (at.acts or at.arm):
        return KindOfWork("resisted", at.held)
    if not at.acts:
        return _unasked(at)
    if at.loaded and at.excess > SAME * max(at.own, at.peak):
        return KindOfWork("resisted", at.held)
    if at.helped or at.rests:
        carried = 1 - at.peak / at.own if at.own > 0 else 0.0
        if carried > SAME:
            return KindOfWork("assisted", at.held, carried)
        if at.helped and not at.moved:  # what is left is what the help itself asks for
            return KindOfWork("assisted", at.held)
    return KindOfWork("active", at.held)


def nothing_nm(person: Person, action: Action, named: bool) -> float:
    """The moment up to which the muscles of an action have nothing to do, N·m."""
    if named:
        return NAMED_NM
    strongest = relative_strengths()[row_of(action), 0 if action.sign > 0 else 1]
    return LITTLE * float(strongest) * person.mass_kg * person.stature_m


def _unasked(at: Situation) -> KindOfWork:
    """Where no moment is left: who moves the joint, if it moves."""
    if not at.moved or at.opposes:
        return KindOfWork("none")
    if at.helped:
        return KindOfWork("passive", carried=1.0)
    return KindOfWork("assisted", carried=1.0) if at.rests else KindOfWork("active")


def kinds_of_work(
    exercise: Exercise, ways: Sequence[WayLoad], moments: Mapping[str, Array], person: Person
) -> KindsOfWork:
    """The kind of work of every action of an exercise; those of which nothing is asked left out.

    Args:
        moments: (34, 11) N·m by way.

    Returns:
        by the action's text. In an exercise of both sides an action is that of either side, and
        the harder kind counts.
    """
    found: dict[str, KindOfWork] = {}
    for action, situation in _situations(exercise, ways, moments, person):
        kind = _written_kind(exercise, ways, action) or kind_of_work(situation)
        known = found.get(str(action))
        if kind.kind != "none" and (known is None or kind.rank > known.rank):
            found[str(action)] = kind
    return found | {str(one.action): _overridden(one) for one in exercise.kind_of_work}


def _overridden(written: WrittenKind) -> KindOfWork:
    """What a file says instead of what is computed; what is only called held is resisted."""
    if written.kind == "held":
        return KindOfWork("resisted", True, None, written.because)
    return KindOfWork(written.kind, False, None, written.because)


def _written_kind(exercise: Exercise, ways: Sequence[WayLoad], action: Action) -> KindOfWork | None:
    """What the exercise says of itself, and no moment shows."""
    if exercise.passive:
        row = row_of(action)
        if any(row_of(named) == row for named in exercise.works):
            return KindOfWork("passive")
        if any(way.setup.moving[JOINT_DOFS[row]] for way in ways):
            return KindOfWork("passive")
    effort = exercise.ballistic or any(way.forces.effort for way in ways)
    if effort and action in exercise.works:
        return KindOfWork("resisted", not exercise.ballistic and not exercise.movement)
    return None


def _situations(
    exercise: Exercise, ways: Sequence[WayLoad], moments: Mapping[str, Array], person: Person
) -> Iterator[tuple[Action, Situation]]:
    scale = person.mass_kg * person.stature_m
    muscles = np.stack([moments[way.setup.way] for way in ways])  # (ways, 34, 11)
    own = np.stack([way.own[person.body] for way in ways]) * scale
    both, alone = np.stack([muscles, -muscles]), np.maximum(np.stack([own, -own]), 0.0)
    peak = both.max(axis=(1, 3))
    excess = np.where(both > NAMED_NM, both - alone, 0.0).max(axis=(1, 3))
    little = LITTLE * scale * relative_strengths().T
    acts = peak > little
    named = np.zeros_like(acts)
    for action in exercise.works:
        named[0 if action.sign > 0 else 1, row_of(action)] = True
    acts = np.where(named, peak > NAMED_NM, acts)
    asked = alone.max(axis=(1, 3))
    asked = np.where(asked > little, asked, _about_the_joint(own))
    held = np.ptp(np.concatenate([way.angles for way in ways], axis=1), axis=1) < HELD_DEG
    moving = [way.setup.moving[list(JOINT_DOFS)] for way in ways]
    moved = ~held & np.any(moving, axis=0)
    bears, loaded, helped, rests = (
        np.any([mask(way) for way in ways], axis=0)
        for mask in (_bearing, _loaded, _helped, _resting)
    )
    telling = named | ((acts | moved | (bears & _ARM)) & ~_TOES)
    for sign, row in np.argwhere(telling).tolist():
        yield _action(row, sign, exercise.sides == "both"), Situation(
            acts=acts[sign, row], opposes=acts[1 - sign, row], peak=float(peak[sign, row]),
            own=float(asked[sign, row]), excess=float(excess[sign, row]), moved=moved[row],
            held=bool(held[row]), arm=_ARM[row], bears=bears[row], loaded=loaded[row],
            helped=helped[row], rests=rests[row],
        )  # fmt: skip


_JOINTS = [DOFS[dof][:2] for dof in JOINT_DOFS]
_LIMB = [LIMB_OF[dof] for dof in JOINT_DOFS]
_ARM = np.array([limb == "arm" for _, limb in _LIMB])
_SPINE = np.array([side == "mid" for side, _ in _LIMB])
_TOES = np.array([joint == "toes" for _, joint in _JOINTS])  # a hinge, not muscles
_SAME_JOINT = np.array([[one == other for other in _JOINTS] for one in _JOINTS])
_NOWHERE = np.zeros(len(JOINT_DOFS), dtype=bool)


def _about_the_joint(own: Array) -> Array:
    """(34,) The limb's own moment about all axes of its joint: where none is about the one."""
    result: Array = np.sqrt(np.einsum("rj,wjp->wrp", _SAME_JOINT, own**2)).max(axis=(0, 2))
    return result


@cache
def _before(segment: int) -> Bools:
    """The joint axes (34,) between the trunk and a segment of a limb."""
    return np.array(
        [
            not spine and segment in below(ROTATIONS[number].segment)
            for number, spine in zip(REPORTED, _SPINE.tolist(), strict=True)
        ]
    )


def _joined(segments: Iterable[int]) -> Bools:
    found: Bools = np.any([_NOWHERE, *map(_before, segments)], axis=0)
    return found


def _bearing(way: WayLoad) -> Bools:
    """Joint axes through which body weight goes: a foot or a hand stands beyond them."""
    if way.setup.carried:
        return _NOWHERE
    table = next(iter(way.body))
    return _joined(
        one.contact.body_point.segment
        for one in way.reactions
        if np.abs(one.per_kg[table]).max() > BEARS_N_KG or np.abs(one.fixed[table]).max() > BEARS_N
    )


def _resting(way: WayLoad) -> Bools:
    if not way.setup.carried:
        return _NOWHERE
    return _joined(one.contact.body_point.segment for one in way.reactions) | _midline(
        way, (one.contact.body_point for one in way.reactions)
    )


def _midline(way: WayLoad, points: Iterable[BodyPoint]) -> Bools:
    """The free axes of spine and neck that some of these points lie beyond."""
    segments = {point.segment for point in points if point.limb == "trunk"}
    beyond = BEYOND[REPORTED_SEGMENT][:, list(segments)].any(axis=1)
    found: Bools = _SPINE & beyond & (solved_rows(way.setup.supports.free) > 0)
    return found


def _loaded(way: WayLoad) -> Bools:
    """Joint axes that resistance acts beyond; the spine's too where a whole body stands."""
    points = [
        point
        for force in way.forces.outer
        for point in (force.point, force.toward)
        if point is not None and force.kind != "assistance"
    ]
    limbs = {(point.side, point.limb) for point in points}
    # On a limb that rests, a weight goes on to what it rests on, through the joints between.
    through = (
        contact.body_point.segment
        for contact in (one.contact for one in way.reactions)
        if (contact.side, contact.body_point.limb) in limbs
    )
    found = _joined((*(point.segment for point in points), *through))
    return found | _SPINE if points or not way.setup.carried else found


def _helped(way: WayLoad) -> Bools:
    outer = (force.point for force in way.forces.outer if force.kind == "assistance")
    points = [*(point for _, point, *_ in way.assistance), *outer]
    found = _joined(point.segment for point in points)
    return found | _SPINE if any(point.limb == "trunk" for point in points) else found


@cache
def _action(row: int, sign: int, either_side: bool) -> Action:
    """The action of a joint axis, 0 about it and 1 against it, under the name it has."""
    side, joint, axis = DOFS[JOINT_DOFS[row]]
    wanted = (axis, 1 if sign == 0 else -1)
    names = (name for name, found in MOVEMENTS[joint].items() if found == wanted)
    return Action(joint, next(names, axis), side == "left" and not either_side)
