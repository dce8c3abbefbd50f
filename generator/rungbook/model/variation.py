"""What a variation does not take over, and variations made in memory."""

from __future__ import annotations

from typing import Any

from rungbook.model.exercise import Exercise
from rungbook.model.record import kebab

COMPUTED = "computed, not reviewed"  # what a draft says that no person wrote
# What is an exercise's own, with the value that says nothing.
NOT_TAKEN_OVER: dict[str, Any] = {
    "reviewed": None,
    "measured": (),
    "also_called": (),
    "progressions": (),
    "accepts": (),
}
NAMED = ("id", "title", "variation_of", "draft")  # what names a variation, and its base
# Keys of a file that a variation never has from the file that it varies.
OWN_KEYS = frozenset(
    {kebab(name) for name in (*NOT_TAKEN_OVER, *NAMED)}
    | {"words-checked", "replaced-by", "formerly"}
) - {"id"}


def variation(base: Exercise, id: str, title: str, **fields: Any) -> Exercise:
    """A draft in memory that varies `base` in `fields` and takes over all but what is its own."""
    named = {"id": id, "title": title, "variation_of": base.id, "draft": COMPUTED}
    return base.model_copy(update={**NOT_TAKEN_OVER, **named, **fields})
