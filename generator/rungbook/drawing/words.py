"""Words within a drawing: broken into lines that fit, at widths judged on the safe side."""

from __future__ import annotations

import functools
import unicodedata

# Hundredths of the size that letters of DejaVu Sans 2.37 are wide, measured from the font: the
# widest of the sans-serifs that systems bring (Verdana, much used too, is as wide).
_HUNDREDTHS = {
    27: "'",
    28: "ijl",
    29: "IJ",
    32: ",. ",
    34: "/:;\\|",
    35: "f",
    36: "-",
    39: "t()[]",
    40: "!",
    41: "r",
    46: '"',
    50: "*_`",
    52: "sz",
    53: "?",
    55: "c",
    56: "L",
    58: "kF",
    59: "vxy",
    60: "P",
    61: "aoTY",
    62: "e",
    63: "bdghnpquES",
    64: "0123456789${}",
    66: "K",
    68: "AV",
    69: "BRXZ",
    70: "C",
    73: "U",
    75: "HN",
    77: "DG",
    78: "&",
    79: "OQ",
    82: "w",
    84: "#+<=>^~",
    86: "M",
    95: "%",
    97: "m",
    99: "W",
    100: "@",
}
_WIDTH = {letter: width / 100 for width, letters in _HUNDREDTHS.items() for letter in letters}
_BOLD = 1.14  # DejaVu Sans Bold against the regular, at its widest letters in use


def width_px(words: str, size_px: float, bold: bool = False) -> float:
    """How wide the words are in the widest common sans-serif: never less than on screen."""
    return sum(map(_width_em, words)) * size_px * (_BOLD if bold else 1.0)


@functools.lru_cache(maxsize=1 << 12)
def _width_em(letter: str) -> float:
    if letter in _WIDTH:
        return _WIDTH[letter]
    if unicodedata.east_asian_width(letter) in "WF":
        return 1.05
    plain = unicodedata.normalize("NFD", letter)[0]
    return _WIDTH.get(plain, 0.84)


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
