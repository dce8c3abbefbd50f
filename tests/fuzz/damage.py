"""Seeded damage: to text by words that mean something to some reader, to bytes anywhere."""

from __future__ import annotations

import random

from builders.mutations import NASTY

LONG = [
    "<a " * 15_000, "[" * 20_000, "- x\n" * 5_000, "&a [*a, *a]\n", "a\n===\n" * 3_000, "*" * 9_000,
    "x: {" * 300, "> " * 9_000, "9" * 5_000, "\u0301" * 3_000, "{at: hand, surface: wall}, " * 400,
]  # fmt: skip
HOSTILE = [
    "<script>window.trapped=1</script>", '"><img src=x onerror=window.trapped=1>', "=1+1", "@SUM(A1)",
    "' onfocus='window.trapped=1", "javascript:window.trapped=1", "../../../outside", "..\\outside",
    "/etc/passwd", "%2e%2e%2foutside", "</script>", "-->", "]]>", "{{ 7*7 }}", "{% raw %}", "${x}",
    "constructor", "__proto__", "con", "a" * 251, "\ud7ff", "\U0001f9b5", "\u202e", "1e308", "-1e308",
    "NaN", "Infinity", "0 kg", "-5 kg", "1e9 m", "100 %", "101 %", "99999-99999", "2026-02-30", "°",
]  # fmt: skip


def text(dice: random.Random, whole: str) -> str:
    """The text with one to four pieces cut, doubled, moved or replaced."""
    words = [*NASTY, *HOSTILE, *HOSTILE]
    for _ in range(dice.choice((1, 1, 2, 4))):
        at = dice.randrange(len(whole) + 1)
        end = min(len(whole), at + dice.choice((0, 1, 2, 5, 20, 80)))
        piece = whole[at:end]
        elsewhere = whole[(other := dice.randrange(len(whole) + 1)) : other + 40]
        new = dice.choice(("", piece * 2, elsewhere, dice.choice(words), dice.choice(words)))
        if dice.random() < 0.04:
            new = dice.choice(LONG)
        whole = whole[:at] + new + whole[end:]
    return whole


def value(dice: random.Random, whole: str) -> str:
    """YAML with the value of one key replaced."""
    lines = whole.split("\n")
    keyed = [n for n, line in enumerate(lines) if ":" in line]
    if not keyed:
        return text(dice, whole)
    at = dice.choice(keyed)
    key, _, old = lines[at].partition(":")
    new = dice.choice((*HOSTILE, *NASTY, f"[{old}]", f"{{x: {old}}}", old + old, ""))
    lines[at] = f"{key}: {new}"
    return "\n".join(lines)


def content(dice: random.Random, whole: bytes) -> bytes:
    """Bytes with some flipped, cut, doubled or put in."""
    made = bytearray(whole)
    for _ in range(dice.choice((1, 2, 8, 40))):
        at = dice.randrange(len(made) + 1)
        how = dice.randrange(4)
        if how == 0 and at < len(made):
            made[at] = dice.randrange(256)
        elif how == 1:
            del made[at : at + dice.choice((1, 4, 64))]
        elif how == 2:
            made[at:at] = made[at : at + dice.choice((1, 4, 64))]
        else:
            made[at:at] = dice.randbytes(dice.choice((1, 4, 16)))
    return bytes(made)
