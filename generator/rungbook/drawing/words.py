"""Words within a drawing: broken into lines that fit, at widths judged on the safe side."""

from __future__ import annotations

import functools
import unicodedata

_NARROW = frozenset("iIjl|.,:;'!()[]ft ")
_WIDE_CHARACTERS = frozenset("mwMW@%")


def width_px(words: str, size_px: float) -> float:
    """About how wide the words are in a common sans-serif, a little over rather than under."""
    total = 0.0
    for letter in words:
        total += _width_em(letter)
    return total * size_px


@functools.lru_cache(maxsize=1 << 12)
def _width_em(letter: str) -> float:
    if letter in _NARROW:
        return 0.30
    if letter in _WIDE_CHARACTERS:
        return 0.90
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.05
    return 0.62 if letter.isupper() else 0.57


@functools.lru_cache(maxsize=1 << 14)
def wrap(words: str, size_px: float, room_px: float, most_lines: int = 3) -> tuple[str, ...]:
    """Lines that fit into `room_px`; what does not fit into the last one ends in an ellipsis."""
    lines = [""]
    for word in words.split():
        for piece in _pieces(word, size_px, room_px):
            joined = f"{lines[-1]} {piece}".strip()
            if not lines[-1] or width_px(joined, size_px) <= room_px:
                lines[-1] = joined
            else:
                lines.append(piece)
    if len(lines) <= most_lines:
        return tuple(lines)
    last = lines[most_lines - 1]
    while last and width_px(last + "…", size_px) > room_px:
        last = last[:-1]
    return (*lines[: most_lines - 1], last.rstrip() + "…")


def _pieces(word: str, size_px: float, room_px: float) -> list[str]:
    """The word, cut where it is longer than a line."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_px(pieces[-1] + letter, size_px) > room_px:
            pieces.append("")
        pieces[-1] += letter
    return pieces
