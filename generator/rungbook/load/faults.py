"""What is wrong with a settled posture, and what to change."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungbook.body.contacts import Contact, Link
from rungbook.body.joints import DOF, JOINT_DOFS
from rungbook.load.burdens import pressure_moment
from rungbook.load.names import angle_name, contact_name, phase_name, point_name
from rungbook.load.result import PHASES, Fault
from rungbook.load.way_load import WayLoad
from rungbook.model.movement import MIDLINE_JOINTS

OFF_SURFACE_M = 0.01
OUT_OF_BALANCE_M = 0.002
BENT_DEG, TURNED_DEG = 25.0, 100.0
CONTRADICTS_DEG = 2.0
LEANS_FAR_DEG = 50.0  # people lean by 30 to 45 degrees; from memory


def posture_faults(ways: Sequence[WayLoad]) -> list[Fault]:
    """Faults of all ways, each once; distances in m for the reference person."""
    found: list[Fault] = []
    for way in ways:
        stature = way.stature
        off = _off_surface(way, stature)
        for fault in (
            *way.faults,
            *off,
            *_out_of_balance(way, stature),
            *([] if off else _contradicting_heights(way)),
            *([] if off else _leaning_far(way)),
            *([] if off else _bent(way)),
        ):
            if all((fault.check, fault.path) != (other.check, other.path) for other in found):
                found.append(fault)
    return found


def _off_surface(way: WayLoad, stature: float) -> list[Fault]:
    found = []
    setup, settled = way.asked
    for number, contact in enumerate(setup.posture.contacts):
        distance = settled.distance[number] * stature
        if not len(distance) or distance.max() <= OFF_SURFACE_M:
            continue
        phase = int(np.argmax(distance))
        point = contact_name(contact)
        message = (
            f"{point} stays {distance[phase] * 100:.0f} cm off the {contact.surface} "
            f"{phase_name(phase)}: {_way_out(way, contact.index, 'move the contact')}"
        )
        path = ("contacts", contact.index) if contact.index >= 0 else ("movement",)
        details = {
            "at": point,
            "distance_m": round(float(distance[phase]), 4),
            "phase": phase,
        }
        details |= _way_out_data(way, contact.index)
        found.append(Fault("contact-off-surface", message, path, details))
    for number, link in enumerate(way.setup.posture.links):
        found += _off_limb(way, number, link)
    return sorted(found, key=lambda fault: -float(str(fault.details["distance_m"])))


def _off_limb(way: WayLoad, number: int, link: Link) -> list[Fault]:
    distance = way.settled.link_distance[number] * way.stature
    if distance.max() <= OFF_SURFACE_M:
        return []
    phase = int(np.argmax(distance))
    at, on = point_name(link.point), point_name(link.on)
    between = f" with {link.thickness * way.stature:.2f} m between" if link.thickness else ""
    message = (
        f"{at} does not come to rest on {on}{between} {phase_name(phase)}: it is "
        f"{distance[phase] * 100:.0f} cm out; "
        f"{_way_out(way, link.index, 'change the thickness' if link.thickness else 'move it')}"
    )
    path = ("contacts", link.index, *(("thickness",) if link.thickness else ()))
    details = {"at": at, "distance_m": round(float(distance[phase]), 4), "phase": phase}
    details |= _way_out_data(way, link.index)
    return [Fault("contact-off-surface", message, path, details)]


def _way_out(way: WayLoad, index: int, else_: str) -> str:
    """What was tried and works; else what may be tried."""
    out = way.setup.ways_out.get(index)
    return out.words if out else f"free a joint that is written, change an angle, or {else_}"


def _way_out_data(way: WayLoad, index: int) -> dict[str, object]:
    out = way.setup.ways_out.get(index)
    return {"way_out": {"kind": out.kind, "by": out.by}} if out else {}


def _out_of_balance(way: WayLoad, stature: float) -> list[Fault]:
    if way.setup.carried:
        return []
    moments, weights = pressure_moment(way, next(iter(way.centre)), way.mass)
    distinct = {id(base): base for base in way.settled.bases if base is not None}
    margins = {key: base.margins(moments, weights) * stature for key, base in distinct.items()}
    for phase, base in enumerate(way.settled.bases):
        if base is None:
            continue
        margin = float(margins[id(base)][phase])
        if margin < -OUT_OF_BALANCE_M:
            message = (
                f"the body falls {phase_name(phase)}: its weight lies {-margin * 100:.0f} cm "
                "outside what it stands on; free the trunk or a hip, or write a further contact"
            )
            return [
                Fault(
                    "not-in-balance",
                    message,
                    ("posture",),
                    {"outside_m": round(-margin, 4), "phase": phase},
                )
            ]
    if way.unbalanced.any():
        phase = int(np.argmax(way.unbalanced))
        dragged = any(c.slides and c.friction for c in way.setup.posture.contacts)
        message = (
            f"no forces of the contacts hold the body {phase_name(phase)}: a contact would have to "
            "pull or would slip; write another contact, or 'grip: true' at the one that holds on"
            f"{', or less friction where it is dragged' if dragged else ''}"
        )
        return [Fault("not-in-balance", message, ("contacts",), {"phase": phase})]
    return []


def _contradicting_heights(way: WayLoad) -> list[Fault]:
    """What stands where it stands has moved a written angle away at an end of the movement."""
    setup, settled = way.asked
    posture = setup.posture
    rows = [JOINT_DOFS.index(dof) for dof in np.flatnonzero(setup.written) if dof in JOINT_DOFS]
    asked = np.degrees(posture.angles[list(JOINT_DOFS)])
    found = np.degrees(settled.angles[list(JOINT_DOFS)])
    for phase in (0, PHASES - 1):
        metric = [c for c in posture.contacts if c.metric and c.active[phase] and not c.touch]
        if not metric or not rows:
            continue
        moved = {row: float(found[row, phase] - asked[row, phase]) for row in rows}
        row = max(rows, key=lambda one: abs(moved[one]))
        if abs(moved[row]) > CONTRADICTS_DEG:
            degrees = float(asked[row, phase]), float(found[row, phase])
            return [_contradiction(way, metric[0], row, phase, degrees)]
    return []


def _contradiction(
    way: WayLoad, contact: Contact, row: int, phase: int, degrees: tuple[float, float]
) -> Fault:
    asked_deg, settled = degrees
    kind, metres = ("distance", contact.distance)
    if metres is None:
        kind, metres = ("height", contact.offset or 0.0)
    joint = angle_name(JOINT_DOFS[row])
    message = (
        f"the {contact.surface}'s {kind} of {metres * way.stature:.2f} m and {joint} of "
        f"{asked_deg:.0f}° {phase_name(phase)} do not fit: with it, it is {settled:.0f}°; write "
        f"that, leave {joint} out so that it follows, or change the {kind}"
    )
    details = {"joint": joint, "written_deg": round(asked_deg, 1),
               "settled_deg": round(settled, 1), "phase": phase}  # fmt: skip
    return Fault("height-contradicts", message, ("contacts", contact.index, kind), details)


def _leaning_far(way: WayLoad) -> list[Fault]:
    """A seat that is left only with the trunk thrown far forward, or with a swing."""
    for angles, _ in way.settled.left.values():
        lean = float(np.degrees(angles[DOF["mid", "root", "pitch"]]))
        there = [c for c in way.asked[0].posture.contacts if c.point in ("seat", "pelvis")]
        seats = [c for c in there if any(c.leaves)]
        swung = way.settled is way.asked[1]
        if seats and (lean > LEANS_FAR_DEG or swung):
            missed = ", and even so takes a swing, whose load is not known" if swung else ""
            message = (
                f"to leave the {seats[0].surface} from these angles the trunk has to lean "
                f"{lean:.0f}° forward{missed}: draw the feet back, with the knees more bent at the "
                "start"
            )
            path = ("contacts", seats[0].index)
            return [Fault("statics-doubtful", message, path, {"lean_deg": round(lean, 1)})]
    return []


def _bent(way: WayLoad) -> list[Fault]:
    """A posture that reached its contacts only by bending where nobody asked it to."""
    follows = _followers(way)
    change = {name: deg for name, deg in way.gave_way.items() if name not in follows}
    upright = way.setup.position.orientation == "upright"
    over = {name: abs(deg) / _most_bent(name, deg, upright) for name, deg in change.items()}
    name = max(over, key=lambda key: over[key], default="")
    if not name or over[name] <= 1:
        return []
    message = (
        f"to reach its contacts the body bends by {abs(change[name]):.0f}° at {name}, which nobody "
        "wrote: the written angles and the contacts hardly fit, change one of them"
    )
    return [Fault("statics-doubtful", message, ("movement",), {"settled": {name: change[name]}})]


def _followers(way: WayLoad) -> frozenset[str]:
    """Joints that are meant to go where the contacts take them."""
    both = way.setup.exercise.sides == "both"
    found = set()
    for action in way.setup.exercise.follows:
        sides = ["other "] if action.other_side else ["working ", "other "][: 1 + both]
        for side in [""] if action.joint in MIDLINE_JOINTS else sides:
            found.add(f"{side}{action.joint} {action.axis}")
    return frozenset(found)


def _most_bent(name: str, degrees: float, upright: bool) -> float:
    """How far an angle that nobody wrote may go from its rest before it is told.

    The spine, the hip out of its plane and a trunk that leans back hardly should; a wrist or an
    elbow goes far before it is not the one that was meant.
    """
    stiff = name.startswith(("lumbar", "trunk side", "trunk turn")) or name.endswith(
        ("hip abduction", "hip external-rotation", "knee external-rotation")
    )
    leans_back = upright and name == "trunk forward-lean" and degrees < 0
    return BENT_DEG if stiff or leans_back else TURNED_DEG
