"""Levers that carry part of the load: what helps a limb, hands on a counter, the other foot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from rungbook.filling.means import HANDS, UPRIGHT, Helper, helpers, hold_for_the_hands
from rungbook.filling.setting import Setting, graded, limb_of
from rungbook.filling.titles import part_of, thing
from rungbook.model.acting import Assistance, Contact
from rungbook.model.exercise import Exercise
from rungbook.model.library import Axis, Library

FELT, SET = (0.25,), (0.25, 0.1, 0.05)
MOST_ON_THE_HANDS = 0.5
BORNE: frozenset[Axis] = frozenset({"demand", "bearing", "stability"})
BODY_WEIGHT = "the body weight"


def assistance(base: Exercise, other: Exercise, library: Library, free: bool) -> Iterator[Setting]:
    """Part of a free limb carried, by what the library has for it."""
    if limb_of(base) is None or not free or base.ballistic or base.passive:
        return
    here = base.assist[0] if base.assist else None
    if here is not None and here.share is None:
        return
    for rank, helper in enumerate(helpers(base, other, library)):
        least = (here.share or 0.0) if here and here.by == helper.by else 0.0
        for fine, share in graded(1.0, least, FELT if helper.felt else SET):
            yield _carried(base, helper, share, fine + rank, library)


def _carried(base: Exercise, helper: Helper, share: float, fine: int, library: Library) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        one = Assistance(at=helper.at, by=helper.by).model_copy(update={"share": share})
        return {"assist": (one,), "equipment": _with(exercise, helper.by, library)}

    words = f"{thing(helper.by, library)} carrying {part_of(share, f'the {limb_of(base)}')}"
    if helper.by == "other-arm":
        words = f"the other hand carrying {part_of(share, 'the arm')}"
    key = f"{helper.by}-{100 * share:.0f}"
    return Setting("assistance", "assist", key, words, apply, fine=fine, by=helper.by,
                   needs=helper.needs)  # fmt: skip


def _with(exercise: Exercise, by: str, library: Library) -> tuple[str, ...]:
    """The equipment, and what helps if it is equipment."""
    if by in library.vocabulary.equipment and by not in exercise.equipment:
        return (*exercise.equipment, by)
    return exercise.equipment


def hands(
    base: Exercise, other: Exercise, library: Library, free: bool, harder: bool
) -> Iterator[Setting]:
    """Weight on the hands, or fingertips for balance, in what is done on the feet; or no hands."""
    steady = base.position in ("single-leg-standing", "split-stance")
    if limb_of(base) == "arm" or base.position not in UPRIGHT or (free and not steady):
        return
    here = next((one for one in base.contacts if one.at in HANDS), None)
    if here is not None and (here.during or here.surface == "floor"):
        return
    hold = hold_for_the_hands(base, other, library)
    on = thing(hold.surface, library)
    if here is None:
        touch = Contact(at="hands", surface=hold.surface, touch=True)
        touch = touch.model_copy(update={"height": hold.height_m})
        yield _hands(touch, f"with the fingertips on {on}", "fingertips", 0, hold.needs)
    elif not harder:
        yield _no_hands()
    now = (here.share or 0.0) if here else 0.0
    for fine, share in graded(MOST_ON_THE_HANDS, now, (0.25, 0.1, 0.05)):
        on_them = Contact(at="hands", surface=hold.surface).model_copy(
            update={"height": (here.height if here else None) or hold.height_m, "share": share}
        )
        words = f"with {part_of(share, BODY_WEIGHT)} on {on}"
        yield _hands(on_them, words, f"hands-{100 * share:.0f}", fine, hold.needs)


def _hands(on: Contact, words: str, key: str, fine: int, needs: str) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        rest = [one for one in exercise.contacts if one.at not in HANDS] or default_feet(exercise)
        surface = on.surface or ""
        known = surface in (*exercise.equipment, "floor", "wall")
        equipment = exercise.equipment if known else (*exercise.equipment, surface)
        return {"contacts": (*rest, on), "equipment": equipment}

    return Setting("assistance", "hands", key, words, apply, BORNE, fine, on.surface or "", needs)


def _no_hands() -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        rest = tuple(one for one in exercise.contacts if one.at not in HANDS)
        return {"contacts": rest or tuple(default_feet(exercise))}

    return Setting("assistance", "hands", "no-hands", "without the hands", apply, BORNE)


def default_feet(exercise: Exercise) -> list[Contact]:
    """The feet that a position stands on, written out, so that hands can be added to them."""
    if exercise.position == "single-leg-standing":
        foot = "other-foot" if exercise.stands_on == "other" else "foot"
        return [Contact(at=foot, surface="floor")]
    return [Contact(at="feet", surface="floor")]


SINGULAR = {"feet": "foot", "forefeet": "forefoot", "heels": "heel"}


def other_foot(base: Exercise, other: Exercise) -> Iterator[Setting]:
    """On the way from both legs to one: the other foot carries less and less.

    Laid on what is done on both feet where the harder exercise is done on one, and on what is
    done on one foot in standing.
    """
    if limb_of(base) == "arm" or base.ballistic:
        return
    feet = next((one for one in base.contacts if one.at in (*SINGULAR, *SINGULAR.values())), None)
    if feet is None or any(one.at.startswith("other-") for one in base.contacts):
        return
    from_both = base.sides == "both" and other.sides == "one" and feet.at in SINGULAR
    on_one = base.position == "single-leg-standing" and feet.at in SINGULAR.values()
    if from_both or on_one:
        for fine, share in graded(0.4, 0.0, (0.1, 0.05)):
            yield _other_foot(feet, share, fine)


def _other_foot(feet: Contact, share: float, fine: int) -> Setting:
    foot = SINGULAR.get(feet.at, feet.at)
    beside = feet.model_copy(update={"at": f"other-{foot}", "share": share})

    def apply(exercise: Exercise) -> Mapping[str, Any]:
        rest = tuple(one for one in exercise.contacts if one.at != feet.at)
        working = feet.model_copy(update={"at": foot, "share": None})
        return {"sides": "one", "contacts": (*rest, working, beside)}

    words = f"with {part_of(share, BODY_WEIGHT)} on the other foot"
    key = f"other-foot-{100 * share:.0f}"
    return Setting("assistance", "other-foot", key, words, apply, BORNE, fine)
