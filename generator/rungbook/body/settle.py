"""Settling: postures give way until their contacts lie on the surfaces and the body balances.

Damped Gauss-Newton on all postures of a shape at once, with the geometric Jacobian. Written
angles are exact; the others give way by their stiffness. The start is settled first: it fixes
where contacts stay; then the middle, the end, and all other phases at once from between. Other
persons' postures are settled from the first one's.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.body.posture import Fit, Posture, Settled
from rungbook.body.settle_cases import Cases
from rungbook.body.settle_stack import Shape, Stack

Array = NDArray[np.float64]
AT_ONCE = 256  # postures: more of them bring nothing but memory


@dataclass(frozen=True)
class Wanted:
    """A posture for several persons; the first one's is the nearest to what was written."""

    posture: Posture
    fits: tuple[Fit, ...]


def settle(wanted: Sequence[Wanted]) -> list[tuple[Settled, ...]]:
    """Settles all postures, equal ones once: an answer for each fit of each."""
    parts = [one.posture.touching() for one in wanted]
    turned = [_arrives(part) for part in parts]
    keys: list[tuple[object, ...]] = []
    by_shape: dict[Shape, dict[tuple[object, ...], Wanted]] = defaultdict(dict)
    for one, part, back in zip(wanted, parts, turned, strict=True):
        posture = part.turned_back() if back else part
        keys.append((posture.key(), one.fits))
        by_shape[Shape.of(posture)].setdefault(keys[-1], Wanted(posture, one.fits))
    answers: dict[tuple[object, ...], tuple[Settled, ...]] = {}
    for shape, some in by_shape.items():
        chosen = list(some)
        for start in range(0, len(chosen), AT_ONCE):
            here = chosen[start : start + AT_ONCE]
            solved = _settle_shape(shape, [some[key] for key in here])
            answers.update(zip(here, solved, strict=True))
    return [
        _answer(one.posture, part, answers[key], back)
        for one, part, key, back in zip(wanted, parts, keys, turned, strict=True)
    ]


def _answer(
    posture: Posture, part: Posture, found: tuple[Settled, ...], back: bool
) -> tuple[Settled, ...]:
    if back:
        found = tuple(one.turned_back() for one in found)
    if part is posture:
        return found
    return tuple(one.with_free_limbs(posture, part) for one in found)


def _arrives(posture: Posture) -> bool:
    """Whether the end has every contact of the start and a seat that is reached.

    It is settled from its end then, since the first phase places all contacts.
    """
    reached = any(
        c.point in ("seat", "pelvis") and c.active[-1] and not c.active[0] for c in posture.contacts
    )
    return reached and all(c.active[-1] for c in posture.contacts if c.active[0])


def _settle_shape(shape: Shape, wanted: list[Wanted]) -> list[tuple[Settled, ...]]:
    stack = Stack.build(shape, [one.posture for one in wanted])
    first = Cases.of(stack, [(n, one.fits[0]) for n, one in enumerate(wanted)])
    first.settle()
    found = [[answer] for answer in first.answers()]
    more = [(n, fit) for n, one in enumerate(wanted) for fit in one.fits[1:]]
    for start in range(0, len(more), AT_ONCE):
        some = more[start : start + AT_ONCE]
        others = Cases.of(stack, some)
        others.settle(near=first.settled[[n for n, _ in some]])
        for (n, _), answer in zip(some, others.answers(), strict=True):
            found[n].append(answer)
    return [tuple(each) for each in found]
