"""Levers that carry part of the load: slings and hands on a limb, hands on a counter, a leg."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from rungbook.filling.setting import LAST_RESORT, Setting, grid, limb_of
from rungbook.model.exercise import Assistance, Contact, Exercise
from rungbook.model.library import Library, Term

FELT = (0.75, 0.5, 0.25)
FAR_POINT = {"arm": "wrist", "leg": "ankle"}
HELPERS = {"arm": "other-arm", "leg": "therapist"}
MOST_HANDS = 0.5
HANDS = ("hands", "hand")
USUAL_COUNTER_M = 0.9


def assistance(base: Exercise, other: Exercise, library: Library, free: bool) -> Iterator[Setting]:
    """Part of a free limb carried, by what either exercise uses or the library has for it."""
    limb = limb_of(base)
    if limb is None or not free or base.ballistic:
        return
    written = [
        one for exercise in (base, other) for one in exercise.assist if one.share is not None
    ]
    at = written[0].at if written else FAR_POINT[limb]
    here = base.assist[0].share if base.assist and base.assist[0].share is not None else 0.0
    for by in _helpers(written, library, HELPERS[limb]):
        for level, share in _shares(_is_felt(by, library)):
            if abs(share - here) > 1e-9:
                yield _assist(base, at, by, share, level, limb, library)


def _helpers(written: list[Assistance], library: Library, usual: str) -> list[str]:
    """What carries: what the two exercises use, then one that can be set, then a hand."""
    known = [one.by for one in written if one.by]
    return list(dict.fromkeys([*known, *_settable(library)[:1], usual]))


def _is_felt(by: str, library: Library) -> bool:
    term = library.vocabulary.equipment.get(by)
    return term is None or term.assists != "set"


def _shares(felt: bool) -> Iterator[tuple[int, float]]:
    """Settable shares: every tenth, then every twentieth; by feel only quarters."""
    if felt:
        yield from ((0, share) for share in FELT)
        return
    yield from ((0, round(0.1 * tenth, 2)) for tenth in range(10, 0, -1))
    yield from ((1, round(0.05 * part, 2)) for part in range(19, 0, -2))


def _assist(
    base: Exercise, at: str, by: str, share: float, level: int, limb: str, library: Library
) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        one = Assistance(at=at, by=by).model_copy(update={"share": share})
        return {"assist": (one,), "equipment": _with(exercise, by, library)}

    words = f"with {100 * share:.0f} % of the {limb} carried by {title_of(by, library)}"
    return Setting("assistance", "assist", f"{by}-{100 * share:.0f}", words, level, apply)


def _with(exercise: Exercise, by: str, library: Library) -> tuple[str, ...]:
    """The equipment, and what helps if it is equipment."""
    if by in library.vocabulary.equipment and by not in exercise.equipment:
        return (*exercise.equipment, by)
    return exercise.equipment


def _settable(library: Library) -> list[str]:
    """Equipment whose help can be set, as that of a pulley."""
    return [key for key, term in library.vocabulary.equipment.items() if term.assists == "set"]


def title_of(key: str, library: Library) -> str:
    """`the pulley`, `the other arm`."""
    if key in ("other-arm", "other-leg"):
        return f"the {key.replace('-', ' ')}"
    if key in ("therapist", "floor", "wall"):
        return f"the {key}"
    term: Term | None = library.vocabulary.equipment.get(key)
    title = term.title if term else key.replace("-", " ")
    return f"the {title[:1].lower()}{title[1:]}"


def hands(base: Exercise, other: Exercise, library: Library, free: bool) -> Iterator[Setting]:
    """Weight on the hands, or a hand for balance, in what is done on the feet."""
    if limb_of(base) == "arm" or base.position not in STANDING or (free and not _steady(base)):
        return
    number = next((n for n, one in enumerate(base.contacts) if one.at in HANDS), None)
    here = base.contacts[number] if number is not None else None
    surface, height = _surface(base, other, library)
    if here is None:
        yield _hands("touch", "with the hands on {} for balance", 0, surface, height, None, base)
    if here is not None and here.during:
        return
    if here is not None and limb_of(base) != "arm":
        yield Setting("assistance", "hands", "no-hands", "without the hands", 0, _without_hands)
    now = (here.share or 0.0) if here else 0.0
    for level, step in ((0, 0.1), (1, 0.05)):
        for share in grid(0.0, MOST_HANDS + step / 2, step):
            if abs(share - now) > 1e-9 and (level == 0 or round(share / 0.1, 6) % 1):
                words = f"with {100 * share:.0f} % of body weight on the hands, on {{}}"
                key = f"hands-{100 * share:.0f}"
                yield _hands(key, words, level, surface, height, share, base)


def _without_hands(exercise: Exercise) -> Mapping[str, Any]:
    rest = tuple(one for one in exercise.contacts if one.at not in HANDS)
    return {"contacts": rest or tuple(default_feet(exercise))}


LYING = frozenset({"supine", "prone", "prone-on-elbows", "side-lying", "side-lying-under"})
LIFTS = (0.1, 0.2, 0.3, 0.4, 0.5, 0.05, 0.15, 0.25, 0.35, 0.45)
MOST_BY_A_THERAPIST = 0.2
GRAVITY = 9.81
STANDING = frozenset({"standing", "split-stance", "single-leg-standing", "bent-forward"})


def _steady(base: Exercise) -> bool:
    """Whether hands on something make standing with a free leg steadier."""
    return base.position in ("single-leg-standing", "split-stance")


def _surface(base: Exercise, other: Exercise, library: Library) -> tuple[str, float | None]:
    """What the hands go on: what either exercise uses, else a counter, else anything fixed."""
    for exercise in (base, other):
        for contact in exercise.contacts:
            if contact.at in HANDS and contact.surface not in (None, "floor", "wall"):
                return str(contact.surface), contact.height or USUAL_COUNTER_M
    known = library.vocabulary.equipment
    for key in ("counter", "handrail", "table"):
        if key in known or not known:
            return key, USUAL_COUNTER_M
    fixed = [key for key, term in known.items() if term.fixed and not term.assists]
    return (fixed[0], USUAL_COUNTER_M) if fixed else ("counter", USUAL_COUNTER_M)


def _hands(
    key: str, words: str, level: int, surface: str, height: float | None, share: float | None,
    base: Exercise,
) -> Setting:  # fmt: skip
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        rest = [one for one in exercise.contacts if one.at not in HANDS]
        if not rest:
            rest = default_feet(exercise)
        found = [one for one in exercise.contacts if one.at in HANDS]
        on = found[0] if found else Contact(at="hands", surface=surface)
        on = on.model_copy(
            update={"share": share, "touch": share is None, "height": on.height or height}
        )
        equipment = exercise.equipment
        if surface not in (*equipment, "floor", "wall"):
            equipment = (*equipment, surface)
        return {"contacts": (*rest, on), "equipment": equipment}

    put = surface.replace("-", " ")
    return Setting("assistance", "hands", key, words.format(f"the {put}"), level, apply)


def default_feet(exercise: Exercise) -> list[Contact]:
    """The feet that a position stands on, written out, so that hands can be added to them."""
    if exercise.position == "single-leg-standing":
        foot = "other-foot" if exercise.stands_on == "other" else "foot"
        return [Contact(at=foot, surface="floor")]
    return [Contact(at="feet", surface="floor")]


def lifted(base: Exercise, other: Exercise, library: Library, free: bool) -> Iterator[Setting]:
    """Part of the body's weight lifted: where nothing else makes a path.

    A therapist lifts little, time after time; more needs a counterweight that can be set.
    """
    if free or base.ballistic or base.passive or base.position in LYING:
        return
    weight = library.settings.person.mass * GRAVITY
    points = ("upper-back", "pelvis") if limb_of(base) in ("arm", None) else ("pelvis",)
    counterweight = next(iter(_settable(library)), None)
    for at in points:
        for share in LIFTS:
            by = "therapist" if share <= MOST_BY_A_THERAPIST else counterweight
            if by is not None:
                yield _lift(at, by, round(share * weight / 10) * 10.0, share, library)


def _lift(at: str, by: str, force: float, share: float, library: Library) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        one = Assistance(at=at, by=by, pulls="up").model_copy(update={"force": force})
        rest = [item for item in exercise.assist if (item.at, item.force) != (at, force)]
        return {"assist": (*rest, one), "equipment": _with(exercise, by, library)}

    where = at.replace("-", " ")
    words = (
        f"with {force:.0f} N ({100 * share:.0f} % of body weight) lifted at the {where} "
        f"by {title_of(by, library)}"
    )
    return Setting("assistance", "lift", f"{where}-lifted-{force:.0f}-n".replace(" ", "-"), words,
                   LAST_RESORT, apply)  # fmt: skip


def other_leg(base: Exercise, other: Exercise, library: Library, free: bool) -> Iterator[Setting]:
    """Part of the weight on the other leg, in what is done on one; also in place of the hands."""
    if base.position != "single-leg-standing" or limb_of(base) == "arm" or base.ballistic:
        return
    if free or any("other-fo" in one.at for one in base.contacts):
        return
    standing = next((one.at for one in base.contacts if one.at in ("forefoot", "foot")), None)
    if standing is None:
        return
    held = any(one.at in HANDS and not one.during for one in base.contacts)
    for level, shares in ((0, (0.1, 0.2, 0.3, 0.4)), (1, (0.05, 0.15, 0.25, 0.35))):
        for share in shares:
            yield _other_leg(f"other-{standing}", share, level)
            if held:
                yield _in_place_of_the_hands(_other_leg(f"other-{standing}", share, level))


def _other_leg(at: str, share: float, level: int) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        foot = Contact(at=at, surface="floor").model_copy(update={"share": share})
        return {"contacts": (*exercise.contacts, foot)}

    words = f"with {100 * share:.0f} % of body weight on the other leg"
    key = f"other-leg-{100 * share:.0f}"
    return Setting("assistance", "other-leg", key, words, level, apply)


def _in_place_of_the_hands(leg: Setting) -> Setting:
    def apply(exercise: Exercise) -> Mapping[str, Any]:
        feet = leg.apply(exercise)["contacts"]
        return {"contacts": tuple(one for one in feet if one.at not in HANDS)}

    words = f"{leg.words}, without the hands"
    return replace(leg, key=f"{leg.key}-no-hands", words=words, apply=apply, excludes=("hands",))
