"""What is wrong with a settled posture, and what to change."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from rungbook.load.burdens import pressure_moment
from rungbook.load.names import contact_name
from rungbook.load.result import Fault
from rungbook.load.way_load import WayLoad

OFF_SURFACE_M = 0.01
OUT_OF_BALANCE_M = 0.002
BENT_DEG = 25.0


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
            *([] if off else _bent(way)),
        ):
            if all((fault.check, fault.path) != (other.check, other.path) for other in found):
                found.append(fault)
    return found


def _off_surface(way: WayLoad, stature: float) -> list[Fault]:
    found = []
    for number, contact in enumerate(way.setup.posture.contacts):
        distance = way.settled.distance[number] * stature
        if not len(distance) or distance.max() <= OFF_SURFACE_M:
            continue
        phase = int(np.argmax(distance))
        point = contact_name(contact)
        message = (
            f"{point} stays {distance[phase] * 100:.0f} cm off the {contact.surface} "
            f"{_when(phase)}: free a joint that is written, change an angle, or move the contact"
        )
        path = ("contacts", contact.index) if contact.index >= 0 else ("movement",)
        details = {
            "at": point,
            "distance_m": round(float(distance[phase]), 4),
            "phase": phase,
        }
        found.append(Fault("contact-off-surface", message, path, details))
    return sorted(found, key=lambda fault: -float(str(fault.details["distance_m"])))


def _when(phase: int) -> str:
    return {0: "at the start", 10: "at the end"}.get(phase, f"at {phase * 10} % of the movement")


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
                f"the body falls {_when(phase)}: its weight lies {-margin * 100:.0f} cm "
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
        message = (
            f"no forces of the contacts hold the body {_when(phase)}: a contact would have to pull "
            "or would slip; write another contact, grip: true, or more friction"
        )
        return [Fault("not-in-balance", message, ("contacts",), {"phase": phase})]
    return []


def _bent(way: WayLoad) -> list[Fault]:
    """A posture that reached its contacts only by bending where nobody asked it to."""
    change = {name: deg for name, deg in way.gave_way.items() if _is_stiff(name)}
    name = max(change, key=lambda key: abs(change[key]), default="")
    if not name or abs(change[name]) <= BENT_DEG:
        return []
    message = (
        f"to reach its contacts the body bends by {abs(change[name]):.0f}° at {name}, which nobody "
        "wrote: the written angles and the contacts hardly fit, change one of them"
    )
    return [Fault("statics-doubtful", message, ("movement",), {"settled": {name: change[name]}})]


def _is_stiff(name: str) -> bool:
    """Angles that should hardly give way: the spine, the trunk, the hip out of its plane."""
    return name.startswith(("lumbar", "trunk side", "trunk turn")) or name.endswith(
        ("hip abduction", "hip external-rotation", "knee external-rotation")
    )
