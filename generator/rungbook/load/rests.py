"""Free limbs of a body whose trunk is carried: what helps them and what they rest on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact
from rungbook.body.joints import DOF, SEGMENT, below
from rungbook.body.kinematics import Pose
from rungbook.body.segments import SegmentTable
from rungbook.body.statics import GRAVITY
from rungbook.body.vectors import cross
from rungbook.load.posture import Setup
from rungbook.load.reaction import HEAVIEST_KG, LIGHTEST_KG, PlacedChange, Reaction
from rungbook.load.result import PHASES
from rungbook.load.scene import Scene

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
SHORTEST_LEVER_M = 0.05
MOST_OF_WEIGHT = 2.0
_ALL = np.array([True])


def help_limb(
    pose: Pose,
    table: SegmentTable,
    segments: list[int],
    joint: Array,
    places: list[Array],
    columns: slice,
    stature: float,
) -> tuple[list[Array], bool]:
    """Full vertical support of a limb at some points, as a beam on its joint.

    Args:
        segments: all that hangs beyond the joint at `joint` (3, 11); places: (3, 11) each.

    Returns:
        force per kg of body mass (11,) at each place, and whether a lever was too short.
    """
    levers = [np.linalg.norm((place - joint)[:2], axis=0) for place in places]
    farthest = int(np.argmax([lever.mean() for lever in levers]))
    along = (places[farthest] - joint)[:2] / np.maximum(levers[farthest], 1e-9)
    mass = table.mass[segments]
    turned = np.einsum("sijb,sj->sib", pose.turn[segments][..., columns], table.centre[segments])
    centre = pose.origin[segments][..., columns] + turned
    moment = GRAVITY * np.einsum("s,sib,ib->b", mass, (centre - joint)[:, :2], along)
    reach = np.stack([np.einsum("ib,ib->b", (place - joint)[:2], along) for place in places])
    short = np.abs(reach) * stature < SHORTEST_LEVER_M
    reach = np.where(short, 0.0, reach)
    squared = np.sum(reach**2, axis=0)
    sizes = np.where(squared > 0, reach * moment / np.where(squared > 0, squared, 1.0), 0.0)
    most = MOST_OF_WEIGHT * GRAVITY * float(mass.sum())
    return list(np.clip(sizes, 0.0, most)), bool(short.all())


def rest_limb(load: WayLoad, columns: slice, scene: Scene) -> None:
    """Surfaces under a free limb carry it as a beam that hinges at the hip or the shoulder."""
    rests = load.setup.supports.rests
    for side, limb in dict.fromkeys((c.side, c.body_point.limb) for c in rests):
        mine = [c for c in rests if (c.side, c.body_point.limb) == (side, limb) and not c.touch]
        root = SEGMENT[f"{'thigh' if limb == 'leg' else 'upper_arm'}_{side}"]
        _rest(load, mine, root, columns, scene)


def _rest(load: WayLoad, contacts: list[Contact], root: int, columns: slice, scene: Scene) -> None:
    pose, body, fixed = scene.pose, scene.body, scene.fixed
    joint, segments = pose.origin[root][:, columns], list(below(root))
    about = {name: wrench.about(segments, columns, joint) for name, wrench in body.items()}
    about_fixed = {name: wrench.about(segments, columns, joint) for name, wrench in fixed.items()}
    levers, places, pushes = [], [], []
    for contact in contacts:
        place = patch_centre(contact, pose, columns)
        normal = np.array(contact.normal)[:, None] * np.ones(PHASES)
        lever = cross(place - joint, normal, axis=0)
        usable = np.array(contact.active) & (
            np.linalg.norm(lever, axis=0) * scene.stature >= SHORTEST_LEVER_M
        )
        levers.append(lever * usable)
        places.append(place)
        pushes.append(normal + drag(load.setup, contact, place, normal))
    squared = sum((np.sum(lever**2, axis=0) for lever in levers), np.zeros(PHASES))
    squared = np.where(squared > 0, squared, 1.0)
    for contact, lever, place, push in zip(contacts, levers, places, pushes, strict=True):
        per_kg, rest = {}, {}
        changes: list[PlacedChange] = []
        segment = contact.body_point.segment
        for name in body:
            found_kg = -np.sum(about[name] * lever, axis=0) / squared
            found_rest = -np.sum(about_fixed[name] * lever, axis=0) / squared
            if contact.share is not None:
                found_kg, found_rest = np.full(PHASES, contact.share * GRAVITY), np.zeros(PHASES)
            carries = (found_kg * scene.mass + found_rest) > 0
            for phase, light, heavy, sign in _turns(name, found_kg, found_rest, carries):
                added = sign * push[:, phase]
                change = PlacedChange(
                    name, phase, light, heavy, np.array([segment]), place[None, :, phase],
                    (added * found_kg[phase])[None], (added * found_rest[phase])[None],
                )  # fmt: skip
                changes.append(change)
            per_kg[name], rest[name] = found_kg * carries * push, found_rest * carries * push
            body[name].add_at(segment, columns, place, per_kg[name])
            fixed[name].add_at(segment, columns, place, rest[name])
        load.changes += changes
        load.reactions.append(
            Reaction(contact, per_kg, rest, [c.summed(_ALL) for c in changes], place)
        )


def _turns(
    table: str, per_kg: Array, rest: Array, carries: NDArray[np.bool_]
) -> Iterator[tuple[int, float, float, float]]:
    """Phases at which a limb begins or ceases to rest as body mass grows.

    With each the masses between which that differs from the reference person's, and 1 where the
    contact's force is added there, -1 where it is taken away.
    """
    for phase in np.flatnonzero(per_kg * rest < 0).tolist():
        turn = float(-rest[phase] / per_kg[phase])
        if LIGHTEST_KG < turn < HEAVIEST_KG:
            heavier = bool((per_kg[phase] > 0) != carries[phase])
            between = (turn, HEAVIEST_KG) if heavier else (LIGHTEST_KG, turn)
            yield phase, *between, -1.0 if carries[phase] else 1.0


def corners_on_surface(contact: Contact, pose: Pose, columns: slice) -> Array:
    """Where the corners of a patch lie on its surface, (Q, 3, 11)."""
    patch = contact.body_point.patch
    turned = np.einsum("qijb,qj->qib", pose.turn[patch.segment, :, :, columns], patch.local)
    depth = np.multiply.outer(patch.depth, np.array(contact.normal))[..., None]
    result: Array = pose.origin[patch.segment, :, columns] + turned - depth
    return result


def patch_centre(contact: Contact, pose: Pose, columns: slice) -> Array:
    """Middle of a patch on its surface, (3, 11); of a foot or forefoot, the ball."""
    corners = corners_on_surface(contact, pose, columns)
    middle: Array = (corners[:2] if contact.point == "forefoot" else corners).mean(axis=0)
    return middle


def drag(setup: Setup, contact: Contact, place: Array, normal: Array) -> Array:
    """Friction of a sliding contact per unit of its normal force, against the motion.

    Args:
        place: (Q, 3, 11) of its corners; normal: (3, 1) or (3, 11).
    """
    friction = contact.friction or 0.0
    if not contact.slides or friction == 0:
        return np.zeros_like(place)
    motion = np.gradient(place, axis=-1)
    motion -= np.sum(motion * normal, axis=-2, keepdims=True) * normal
    size = np.linalg.norm(motion, axis=-2, keepdims=True)
    heading = np.where(size > 1e-9, motion / np.maximum(size, 1e-9), 0.0)
    backwards = setup.way == "down" if shortens_first(setup) else setup.way == "up"
    return -friction * heading * (-1.0 if backwards else 1.0)


def shortens_first(setup: Setup) -> bool:
    """Whether the muscles of the first action of `works` shorten from start to end."""
    for action in setup.exercise.works:
        side = "left" if action.other_side else "right"
        side = "mid" if action.joint in ("lumbar", "neck") else side
        angles = setup.posture.angles[DOF[side, action.joint, action.axis]]
        change = (angles[-1] - angles[0]) * action.sign
        if abs(change) > 1e-6:
            return bool(change > 0)
    return True
