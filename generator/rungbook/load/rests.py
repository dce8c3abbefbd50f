"""Free limbs of a body whose trunk is carried: what they rest on."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.body.contacts import Contact, Link
from rungbook.body.joints import DOF, SEGMENT, below
from rungbook.body.kinematics import Pose
from rungbook.body.points import BodyPoint
from rungbook.body.statics import GRAVITY
from rungbook.body.vectors import cross
from rungbook.load.names import point_name
from rungbook.load.posture import Setup
from rungbook.load.reaction import HEAVIEST_KG, LIGHTEST_KG, PlacedChange, Reaction
from rungbook.load.resting import NECK, Limb, limb_of
from rungbook.load.result import PHASES
from rungbook.load.scene import Scene

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
SHORTEST_LEVER_M = 0.05
ROOT = {
    NECK: SEGMENT["head"],
    **{(side, "leg"): SEGMENT[f"thigh_{side}"] for side in ("right", "left")},
    **{(side, "arm"): SEGMENT[f"upper_arm_{side}"] for side in ("right", "left")},
}


def rest_limb(load: WayLoad, columns: slice, scene: Scene) -> None:
    """Surfaces under a free limb carry it as a beam that hinges at hip, shoulder or neck."""
    on_limbs = [limb_of(link.point) for link in _links(load)]  # first: they press what they lie on
    on_surfaces = [limb_of(contact.body_point) for contact in load.setup.supports.rests]
    for limb in dict.fromkeys([*on_limbs, *on_surfaces]):
        _rest(load, resting_on(load, limb), ROOT[limb], columns, scene)


def resting_on(load: WayLoad, limb: Limb) -> list[Contact | Link]:
    """The surfaces, and the other limbs, that a free limb rests on."""
    supports = load.setup.supports
    contacts = [c for c in supports.rests if limb_of(c.body_point) == limb and not c.touch]
    links = [n for n in _links(load) if limb_of(n.point) == limb and not n.touch]
    return [*contacts, *links]


def _links(load: WayLoad) -> list[Link]:
    """Free limbs that rest on limbs, of a body whose trunk is carried."""
    setup = load.setup
    some = setup.posture.links if setup.carried else ()
    return [link for link in some if limb_of(link.point) in setup.supports.free]


@dataclass(frozen=True)
class Under:
    """A surface under a limb: `answers` (3, 11) times a torque about the limb's root is the size
    of its force, `push` (3, 11) a unit of it at `place` (3, 11). Of another limb, `back` is what
    is pushed back."""

    contact: Contact
    answers: Array
    place: Array
    push: Array
    back: Contact | None = None

    def size(self, torque: Array) -> Array:
        """Of its force (11,), negative where it would have to pull."""
        result: Array = np.sum(self.answers * torque, axis=0)
        return result


def under(
    load: WayLoad, contacts: Sequence[Contact | Link], root: int, at: slice, scene: Scene
) -> list[Under]:
    """The surfaces under a limb: a beam that hinges where the segment `root` turns."""
    joint, found = scene.pose.origin[root][:, at], []
    for one in contacts:
        contact, back = (one, None) if isinstance(one, Contact) else _as_contacts(one)
        if isinstance(one, Link):
            place, normal = _where_they_meet(one, scene.pose, at)
        else:
            place = patch_centre(one, scene.pose, at)
            normal = np.array(one.normal)[:, None] * np.ones(PHASES)
        lever = cross(place - joint, normal, axis=0)
        usable = np.array(contact.active) & (
            np.linalg.norm(lever, axis=0) * load.stature >= SHORTEST_LEVER_M
        )
        push = normal + drag(load.setup, contact, place, normal)
        found.append(Under(contact, -lever * usable, place, push, back))
    squared = sum((np.sum(one.answers**2, axis=0) for one in found), np.zeros(PHASES))
    squared = np.where(squared > 0, squared, 1.0)
    return [replace(one, answers=one.answers / squared) for one in found]


def _as_contacts(link: Link) -> tuple[Contact, Contact]:
    """A limb on a limb as two contacts: of what rests, and of what is pushed back."""

    def contact(point: BodyPoint, surface: BodyPoint) -> Contact:
        return Contact(
            point.name, point.side, point_name(surface), (0.0, 0.0, 1.0), None,
            slides=link.slides, active=link.active, index=link.index,
        )  # fmt: skip

    return contact(link.point, link.on), contact(link.on, link.point)


def _where_they_meet(link: Link, pose: Pose, at: slice) -> tuple[Array, Array]:
    """On the skin of what rests (3, 11), and the direction in which the other limb pushes it."""

    def core(point: BodyPoint) -> Array:
        turned = np.einsum("ijb,j->ib", pose.turn[point.segment][..., at], np.array(point.core))
        result: Array = pose.origin[point.segment][:, at] + turned
        return result

    middle = core(link.point)
    away = middle - core(link.on)
    normal = away / np.maximum(np.linalg.norm(away, axis=0), 1e-9)
    return middle - link.point.girth * normal, normal


def _rest(
    load: WayLoad, contacts: Sequence[Contact | Link], root: int, columns: slice, scene: Scene
) -> None:
    pose, body, fixed = scene.pose, scene.body, scene.fixed
    joint, segments = pose.origin[root][:, columns], list(below(root))
    about = {name: wrench.about(segments, columns, joint) for name, wrench in body.items()}
    about_fixed = {name: wrench.about(segments, columns, joint) for name, wrench in fixed.items()}
    for one in under(load, contacts, root, columns, scene):
        contact, place = one.contact, one.place
        sides = [(contact, one.push)] + ([(one.back, -one.push)] if one.back else [])
        per_kg: list[dict[str, Array]] = [{} for _ in sides]
        rest: list[dict[str, Array]] = [{} for _ in sides]
        segments_pushed = np.array([each.body_point.segment for each, _ in sides])
        pushes = np.stack([push for _, push in sides])
        changes: list[PlacedChange] = []
        for name in body:
            found_kg, found_rest = one.size(about[name]), one.size(about_fixed[name])
            if contact.share is not None:
                found_kg, found_rest = np.full(PHASES, contact.share * GRAVITY), np.zeros(PHASES)
            carries = (found_kg * scene.mass + found_rest) > 0
            for phase, light, heavy, sign in _turns(name, found_kg, found_rest, carries):
                added = sign * pushes[:, :, phase]
                places = np.repeat(place[None, :, phase], len(sides), axis=0)
                change = PlacedChange(
                    name, phase, light, heavy, segments_pushed, places,
                    added * found_kg[phase], added * found_rest[phase],
                )  # fmt: skip
                changes.append(change)
            for n, (each, push) in enumerate(sides):
                segment = each.body_point.segment
                per_kg[n][name], rest[n][name] = (
                    found * carries * push for found in (found_kg, found_rest)
                )
                body[name].add_at(segment, columns, place, per_kg[n][name])
                fixed[name].add_at(segment, columns, place, rest[n][name])
        load.changes += changes
        for n, (each, _) in enumerate(sides):
            mine = np.arange(len(sides)) == n
            told = [change.summed(mine) for change in changes]
            load.reactions.append(Reaction(each, per_kg[n], rest[n], told, place))


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
