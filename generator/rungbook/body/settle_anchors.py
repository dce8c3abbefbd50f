"""Where contacts stay: planes and places that the settled start of a movement has fixed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.kinematics import Pose
from rungbook.body.settle_stack import Stack

Array = NDArray[np.float64]
Numbers = NDArray[np.intp]


@dataclass(frozen=True)
class Anchors:
    """Of N settled starts: the planes and places that all other times keep to.

    `offset` (N, C) of each corner's plane, `place` (N, C, 3) of each corner inside the body;
    `link_place` (N, L, 3): where each link's point lies on the segment that it rests on.
    """

    offset: Array
    place: Array
    link_place: Array


def anchored(stack: Stack, who: Numbers, scale: Array, pose: Pose) -> Anchors:
    """Fixes what the start posture has settled.

    Args:
        who: (N,) which posture of the stack each is; scale (N,): what it multiplies written
            lengths by.
    """
    place = places(pose, stack.segment[who], stack.local[who])
    offset = stack.offsets(who, scale)
    above = np.sum(stack.normal[who] * place, axis=-1)
    for p in range(max(len(posture.contacts) for posture in stack.postures)):
        mine = stack.contact[who] == p
        firm = mine & ~stack.soft[who]
        through = np.sum(firm * (above - stack.depth[who]), axis=1)
        through /= np.maximum(firm.sum(axis=1), 1)
        away = _distances(stack, p)[who] * scale
        soles = np.min(np.where(stack.sole[who], _along(stack, who, p, place), np.inf), axis=1)
        through = np.where(np.isnan(away) | np.isinf(soles), through, soles - away)
        offset = np.where(mine & np.isnan(offset), through[:, None], offset)
    resting = places(pose, stack.link_segment[who, :, 0], stack.link_local[who, :, 0])
    return Anchors(offset, place, _in_frame(pose, stack.link_segment[who, :, 1], resting))


def _distances(stack: Stack, p: int) -> Array:
    """The written distance of each posture's contact p, nan where none, (U,)."""
    found = [posture.contacts[p : p + 1] for posture in stack.postures]
    return np.array(
        [np.nan if not one or one[0].distance is None else one[0].distance for one in found]
    )


def _along(stack: Stack, who: Numbers, p: int, place: Array) -> Array:
    """How far corners lie along the normal of contact p, (N, C)."""
    normals = np.array(
        [posture.contacts[p].normal if p < len(posture.contacts) else (0.0, 0.0, 0.0)
         for posture in stack.postures]
    )  # fmt: skip
    result: Array = np.sum(place * normals[who][:, None], axis=-1)
    return result


def places(pose: Pose, segment: Numbers, local: Array) -> Array:
    """Points (N, C, 3) of segments (N, C), one row for each of the N postures of `pose`."""
    n = np.arange(len(segment))[:, None]
    result: Array = pose.origin[segment, :, n]
    turn = pose.turn[segment, :, :, n]
    for j in range(3):
        result += turn[..., j] * local[..., j, None]
    return result


def _in_frame(pose: Pose, segment: Numbers, where: Array) -> Array:
    """Points of the room (N, C, 3) in the frames of segments (N, C)."""
    n = np.arange(len(segment))[:, None]
    away = where - pose.origin[segment, :, n]
    turn = pose.turn[segment, :, :, n]
    return np.stack([np.sum(turn[..., j] * away, axis=-1) for j in range(3)], axis=-1)


def distances(
    stack: Stack, who: Numbers, times: Numbers, pose: Pose, anchors: Anchors
) -> tuple[Array, Array]:
    """How far contacts and links lie off their surface or place, of stature: (N, P), (N, L).

    Args:
        who, times: (N,) which posture at which time; pose and anchors of the same.
    """
    where = places(pose, stack.segment[who], stack.local[who])
    normal = stack.normal[who]
    off = np.sum(normal * where, axis=-1) - anchors.offset - stack.depth[who]
    moved = where - anchors.place
    moved -= np.sum(normal * moved, axis=-1, keepdims=True) * normal
    stays = stack.first[who] & ~stack.slides[who]
    worst = np.maximum(np.abs(off), np.sqrt(np.sum(moved**2, axis=-1)) * stays)
    worst *= stack.hard[who, :, times]
    most = max(len(posture.contacts) for posture in stack.postures)
    contact = stack.contact[who]
    found = [np.max(worst * (contact == p), axis=1, initial=0.0) for p in range(most)]
    return np.stack(found, axis=1) if found else np.zeros((len(who), 0)), _link_distances(
        stack, who, times, pose, anchors
    )


def _link_distances(
    stack: Stack, who: Numbers, times: Numbers, pose: Pose, anchors: Anchors
) -> Array:
    segment, local = stack.link_segment[who], stack.link_local[who]
    resting = places(pose, segment[..., 0], local[..., 0, :])
    away = resting - places(pose, segment[..., 1], local[..., 1, :])
    off = np.abs(np.sqrt(np.sum(away**2, axis=-1)) - stack.link_reach[who])
    strayed = resting - places(pose, segment[..., 1], anchors.link_place)
    stray = np.sqrt(np.sum(strayed**2, axis=-1)) * ~stack.link_slides[who]
    result: Array = np.maximum(off, stray) * (stack.link_weight[who, :, times] > 0)
    return result
