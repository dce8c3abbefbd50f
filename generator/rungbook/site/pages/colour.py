"""The library's accent colour, made readable on both papers.

Contrast is that of WCAG 2.2 (relative luminance of sRGB); 4.5 is its least for text.
"""

from __future__ import annotations

import re

# The tinted papers of base.css: what is readable on them is so on the plain ones too.
PAPERS = {"light": (0xF1, 0xEF, 0xE6), "dark": (0x1A, 0x22, 0x27)}
# The dark scheme wants more: a colour that only just passes there looks dull.
LEAST_CONTRAST = {"light": 4.6, "dark": 7.0}
_BLACK, _WHITE = (0, 0, 0), (255, 255, 255)
RGB = tuple[int, int, int]


def parse(colour: str) -> RGB | None:
    """`#0b5563` or `#abc`; None for anything else."""
    match = re.fullmatch(r"#([0-9a-fA-F]{3}|[0-9a-fA-F]{6})", colour.strip())
    if match is None:
        return None
    digits = match[1] if len(match[1]) == 6 else "".join(digit * 2 for digit in match[1])
    return int(digits[:2], 16), int(digits[2:4], 16), int(digits[4:], 16)


def luminance(colour: RGB) -> float:
    """Relative luminance, 0 to 1."""
    linear = [
        part / 255 / 12.92 if part / 255 <= 0.04045 else ((part / 255 + 0.055) / 1.055) ** 2.4
        for part in colour
    ]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: RGB, other: RGB) -> float:
    """Contrast ratio, 1 to 21."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def readable(colour: RGB, scheme: str) -> RGB:
    """The colour, mixed toward black or white until it can be read on the scheme's paper."""
    paper = PAPERS[scheme]
    toward = _BLACK if luminance(paper) > 0.5 else _WHITE
    for share in range(101):
        mixed = tuple(
            round(part + (end - part) * share / 100)
            for part, end in zip(colour, toward, strict=True)
        )
        if contrast(mixed, paper) >= LEAST_CONTRAST[scheme]:  # type: ignore[arg-type]
            return mixed  # type: ignore[return-value]
    return toward


def stylesheet(colour: str | None) -> str:
    """Rules that set the colour of what can be pressed; none for the theme's own."""
    wanted = parse(colour) if colour else None
    if wanted is None:
        return "/* The library sets no colour of its own. */\n"
    light, dark = ("#{:02x}{:02x}{:02x}".format(*readable(wanted, scheme)) for scheme in PAPERS)
    return (
        f"@media screen {{ :root {{ --press: {light}; }} }}\n"
        "@media screen and (prefers-color-scheme: dark) "
        f"{{ :root {{ --press: {dark}; }} }}\n"
    )
