"""The order in which answers are given: three first, by the size of the relief; then the rest.

What a reason itself asks for comes before what is merely less (the next day: fewer; a stretched
position: a shorter arc), then what the ladder gives, the same exercise with less, the library,
what is computed and not reviewed. High irritability starts at about half, else at a little less:
common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from typing import Any, get_args

from rungbook.ladder.certainty import ABOUT_THE_SAME
from rungbook.ladder.option import Nothing, Option, Slot
from rungbook.ladder.reasons import Eased
from rungbook.model.ladder import Irritability

Keys = tuple[Any, ...]
SLOTS: tuple[Slot, ...] = get_args(Slot)
FIRST: Mapping[Irritability, tuple[Slot, ...]] = {
    "high": ("about half", "gentlest", "a little less"),
    "moderate": SLOTS,
    "low": SLOTS,
}
LEAST_HALF, MOST_HALF = 0.35, 0.65
LEAST_OF_STANDARD = 0.1
# What is changed where the reason itself is met, and not something that goes along with it.
ASKED_FOR: Mapping[str, str] = {
    "next day": "dose", "volume": "dose", "speed": "tempo", "range": "movement",
    "lengthening": "movement",
}  # fmt: skip
CONTRACTING = frozenset({"lifting", "lowering", "holding"})
PLACES = ("neighbour", "same", "library", "solved")
FAR = 10**6


def asked_for(
    eased: Mapping[str, Eased], changes: Mapping[str, str], shortened: bool, both_down: bool
) -> bool:
    """Whether the change is the one that a reason asks for, or nothing of it is left.

    `both_down`: what one leg lowered both lower now.
    """
    wanted = {ASKED_FOR[reason] for reason in eased if reason in ASKED_FOR}
    if wanted & changes.keys() or (shortened and "movement" in wanted):
        return True
    gone = any(eased[reason].now <= 0 for reason in CONTRACTING & eased.keys())
    return gone or (both_down and "lowering" in eased)


def in_order(
    options: Sequence[Option], irritability: Irritability, least_nm: float, passive: bool
) -> list[tuple[Option, Slot | None]]:
    """Every option once, the three first ones with their slots.

    Args:
        least_nm: what the gentlest has to ask for at least, unless nothing has to act by order
            (`passive`).
    """
    slots = _three(options, least_nm, passive)
    first = [(slots[slot], slot) for slot in FIRST[irritability] if slot in slots]
    first.sort(key=lambda one: _place(one[0]))
    taken = {one.exercise.id for one, _ in first}
    rest = sorted(
        (one for one in options if one.exercise.id not in taken),
        key=lambda one: _among_the_rest(one, irritability),
    )
    return [*first, *((one, None) for one in rest)]


def _three(options: Sequence[Option], least_nm: float, passive: bool) -> dict[Slot, Option]:
    pool = [one for one in options if one.may_lead and _less(one)]
    found: dict[Slot, Option] = {}

    def pick(
        slot: Slot, some: Iterable[Option], nearest: Callable[[Option], tuple[Any, ...]]
    ) -> None:
        best = min(some, default=None, key=lambda one: (*_place(one), *nearest(one)))
        if best is not None:
            found[slot] = best

    little = [one for one in pool if _share(one) > MOST_HALF]
    pick(
        "a little less",
        little,
        lambda one: (_below(one), "volume" in one.rises, -_share(one), one.exercise.id),
    )
    half = [one for one in pool if LEAST_HALF <= _share(one) <= MOST_HALF]
    pick(
        "about half",
        half,
        lambda one: (
            *(_from_half(one, 1_000), len(one.rises), _from_half(one, 500)),
            *(_share(one), one.exercise.id),
        ),
    )
    least = min((_share(one) for one in found.values()), default=1.0)
    gentle = [
        one
        for one in pool
        if _share(one) < least and ((one.demand_nm or 0.0) >= least_nm or (passive and _moved(one)))
    ]
    pick("gentlest", gentle, lambda one: (_share(one), _below(one), one.exercise.id))
    return found


def _less(one: Option) -> bool:
    return one.share is not None and one.share <= ABOUT_THE_SAME


def _share(one: Option) -> float:
    return 1.0 if one.share is None else one.share


def _from_half(one: Option, unit: int = 1) -> int:
    """How far from half in so many ten thousandths: of two that are as near the lighter wins."""
    return (abs(round(10_000 * _share(one)) - 5_000) + unit // 2) // unit


def _below(one: Option) -> int:
    return FAR if one.back_up is None else one.back_up


def _moved(one: Option) -> bool:
    return one.kind_of_work in ("none", "passive")


def _place(one: Option) -> tuple[int, int, int]:
    return int(not one.asked_for), PLACES.index(one.kind), one.not_loaded


def _among_the_rest(one: Option, irritability: Irritability) -> Keys:
    near = _from_half(one) if irritability == "high" else -_share(one)
    return (not _less(one), *_place(one), near, one.exercise.id)


def nothing_first(options: Sequence[Option], left_out: int) -> Nothing | None:
    """Why none of the three first answers is there; None where one is."""
    if any(one.slot for one in options):
        return None
    if not options:
        return "left out" if left_out else "none"
    same = [one for one in options if one.may_lead]
    if any(_less(one) for one in same):
        return "too little"
    if any(one.share is not None for one in same):
        return "about the same"
    return "not known" if same else "none"
