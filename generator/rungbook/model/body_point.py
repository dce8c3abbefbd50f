"""Points of the body that contacts, loads and assistance name: their names only.

Where each lies on the body is data of the body layer.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

MIDLINE_POINTS: tuple[str, ...] = ("head", "upper-back", "pelvis", "seat")
PLURALS: dict[str, str] = {
    "shoulders": "shoulder",
    "elbows": "elbow",
    "forearms": "forearm",
    "wrists": "wrist",
    "hands": "hand",
    "hips": "hip",
    "thighs": "thigh",
    "knees": "knee",
    "shanks": "shank",
    "ankles": "ankle",
    "heels": "heel",
    "forefeet": "forefoot",
    "feet": "foot",
}
SIDED_POINTS: tuple[str, ...] = tuple(PLURALS.values())
BODY_POINTS: tuple[str, ...] = MIDLINE_POINTS + SIDED_POINTS
POINT_WORDS: tuple[str, ...] = (
    *BODY_POINTS,
    *PLURALS,
    *(f"other-{point}" for point in SIDED_POINTS),
)

# Words for parts of the body that are no point of the format, and the one that is meant.
LAY_POINTS: dict[str, str] = {
    **dict.fromkeys(("forehead", "face", "chin", "neck", "skull"), "head"),
    **dict.fromkeys(("back", "chest", "shoulder-blades", "trunk", "sternum"), "upper-back"),
    **dict.fromkeys(("lower-back", "sacrum", "belly", "stomach", "abdomen", "groin"), "pelvis"),
    **dict.fromkeys(("buttock", "buttocks", "bottom", "sit-bones"), "seat"),
    **dict.fromkeys(("palm", "fist", "finger", "fingers", "thumb", "knuckles"), "hand"),
    "palms": "hands",
    "upper-arm": "elbow",
    "lower-arm": "forearm",
    **dict.fromkeys(("calf", "shin", "lower-leg"), "shank"),
    **dict.fromkeys(("calves", "shins"), "shanks"),
    "kneecap": "knee",
    **dict.fromkeys(("toe", "toes", "ball-of-the-foot"), "forefoot"),
    **dict.fromkeys(("sole", "instep"), "foot"),
    "soles": "feet",
}


# The limb a point belongs to; the others are of the trunk.
LIMB_OF_POINT: dict[str, Literal["leg", "arm"]] = {
    **dict.fromkeys(("elbow", "forearm", "wrist", "hand"), "arm"),
    **dict.fromkeys(("thigh", "knee", "shank", "ankle", "heel", "forefoot", "foot"), "leg"),
}


@dataclass(frozen=True, slots=True)
class BodyPoint:
    """A point of the body and whose side is meant: None on the mid-line."""

    name: str
    side: Literal["working", "other", "both"] | None

    @property
    def sides(self) -> tuple[Literal["working", "other"] | None, ...]:
        """The single sides it stands for: `(None,)` on the mid-line."""
        return ("working", "other") if self.side == "both" else (self.side,)


@cache
def body_point(text: str, both_sides: bool = False) -> BodyPoint:
    """`hand`, `other-hand`, `hands`; with `both_sides` (an exercise of both sides), `hand` is both.

    Raises:
        KeyError: no such point.
    """
    if text in MIDLINE_POINTS:
        return BodyPoint(text, None)
    if text in PLURALS:
        return BodyPoint(PLURALS[text], "both")
    if text in SIDED_POINTS:
        return BodyPoint(text, "both" if both_sides else "working")
    if text.startswith("other-") and text[6:] in SIDED_POINTS:
        return BodyPoint(text[6:], "other")
    raise KeyError(text)
