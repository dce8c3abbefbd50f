"""Which scripts the pages of a kind load, in order, relative to the theme's folder."""

from __future__ import annotations

EVERYWHERE: tuple[str, ...] = ("scripts/due.js",)
SCRIPTS: dict[str, tuple[str, ...]] = {}


def scripts_of(kind: str) -> tuple[str, ...]:
    """The scripts of a kind of page."""
    return (*EVERYWHERE, *SCRIPTS.get(kind, ()))
