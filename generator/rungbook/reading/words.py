"""The nearest valid word to one that was mistyped."""

from __future__ import annotations

from collections.abc import Collection
from functools import lru_cache

CLOSE_ENOUGH = 0.6  # share of the letters that agree, a swap of neighbours counting once


def nearest(word: str, choices: Collection[str]) -> str | None:
    """The closest of the choices, or None where none is close."""
    return _nearest(word, choices if isinstance(choices, frozenset) else frozenset(choices))


@lru_cache(maxsize=1024)
def _nearest(word: str, choices: frozenset[str]) -> str | None:
    # Imported where it is needed: most libraries have no typing error.
    from rapidfuzz import process
    from rapidfuzz.distance import DamerauLevenshtein

    if len(word) > 100:
        return None
    best = process.extractOne(
        word,
        sorted(choices),
        processor=_folded,
        scorer=DamerauLevenshtein.normalized_similarity,
        score_cutoff=CLOSE_ENOUGH,
    )
    return best[0] if best else None


def _folded(word: str) -> str:
    return word.lower().replace("_", "-").replace(" ", "-")


def did_you_mean(word: str, choices: Collection[str], otherwise: str) -> str:
    """`did you mean 'x'?`, or what to do where nothing is near."""
    near = nearest(word, choices)
    return f"did you mean '{near}'?" if near else otherwise
