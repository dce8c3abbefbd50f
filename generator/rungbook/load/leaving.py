"""The moment in which a surface is left, or only just reached: the rest carries everything.

A seat carries until the body can stand over the feet. In that moment the joints are bent most and
nothing helps any more, so that the load is the greatest of the whole way; between sitting and the
next phase it would be passed over. The load at that end of the movement is therefore of the body
that still touches what it leaves and no longer leans on it; drawings show it leaning on it.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from rungbook.body.contacts import Contact
from rungbook.body.posture import Settled
from rungbook.load.burdens import pressure_moment
from rungbook.load.posture import Setup
from rungbook.load.result import PHASES, Left

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad


def as_left(setup: Setup, settled: Settled) -> tuple[Setup, Settled]:
    """The way with the posture of that moment at the end where it is; itself where nothing is left.

    A hand that pushes with a written share goes on pushing: it lets go only afterwards.
    """
    leaves = any(any(one.leaves) for one in setup.posture.contacts if _carries_trunk(one))
    if not settled.left or not leaves:
        return setup, settled
    angles, bases = settled.angles.copy(), list(settled.bases)
    for phase, (posture, base) in settled.left.items():
        angles[:, phase], bases[phase] = posture, base
    contacts = tuple(_left(contact) for contact in setup.posture.contacts)
    return (
        replace(setup, posture=replace(setup.posture, contacts=contacts)),
        replace(settled, angles=angles, bases=tuple(bases)),
    )


def swings(way: WayLoad) -> bool:
    """Whether nobody can stand over what is stood on in that moment: people swing over it.

    What they do then is no matter of statics, and the load is taken from the phases beside it.
    """
    if way.settled is way.asked[1]:
        return False
    moments, weights = pressure_moment(way, next(iter(way.centre)), way.mass)
    return any(
        base is not None and base.margin(moments[:, phase], float(weights[phase])) < 0
        for phase, (_, base) in way.settled.left.items()
    )


def left_behind(way: WayLoad) -> tuple[Left, ...]:
    """What is left, or reached, where the load is of that moment; one name for both sides."""
    setup, settled = way.asked
    found = [
        Left(contact.point, contact.surface, phase)
        for contact in setup.posture.contacts
        if contact.carries and settled is not way.settled
        for phase, gone in zip((0, PHASES - 1), contact.leaves, strict=True)
        if gone
    ]
    return tuple(dict.fromkeys(found))


def _carries_trunk(contact: Contact) -> bool:
    """A seat, not a foot that steps up: between its phases nothing is passed over."""
    return contact.carries and contact.body_point.limb == "trunk"


def _left(contact: Contact) -> Contact:
    """The contact without the end at which it is left; what touches or is written stays."""
    if not contact.carries:
        return contact
    active = list(contact.active)
    for phase, gone in zip((0, PHASES - 1), contact.leaves, strict=True):
        active[phase] = active[phase] and not gone
    return replace(contact, active=tuple(active))
