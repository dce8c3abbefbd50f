"""Pieces of SVG text: escaped words, compact paths, the frame around a drawing.

A drawing has classes only: no style attributes, no scripts, no references to other files.
Its ids all begin with the drawing's own prefix, so that many fit into one page.
"""

from __future__ import annotations

import importlib.resources
import math
import re
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Say = Callable[[str], str]  # turns an English phrase into the library's language

FORBIDDEN = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NOT_IN_IDS = re.compile(r"[^A-Za-z0-9_-]+")


def as_written(phrase: str) -> str:
    """The phrase itself: a library in English."""
    return phrase


def escape(text: str) -> str:
    """Text for element content or a quoted attribute; characters XML forbids are dropped."""
    text = FORBIDDEN.sub("", text)
    for raw, safe in (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&quot;")):
        text = text.replace(raw, safe)
    return text.replace("'", "&#39;")


def safe_prefix(prefix: str) -> str:
    """A prefix that may begin an XML id."""
    return "d-" + _NOT_IN_IDS.sub("-", prefix)


def number(value: float) -> str:
    """One decimal, none where it is zero."""
    text = f"{value:.1f}"
    return "0" if text == "-0.0" else text.removesuffix(".0")


def degrees(value: float) -> str:
    """`-5°` with a real minus sign."""
    return f"{value:.0f}°".replace("-0°", "0°").replace("-", "\N{MINUS SIGN}")


# Texts of the numbers of tenths a drawing has, by number: negative ones count from the end.
_MOST = 20_000
_TENTHS = np.array(
    [f"{tenths / 10:g}" for tenths in (*range(_MOST + 1), *range(-_MOST, 0))], dtype=object
)


def texts(values: Array) -> list[str]:
    """Any array of numbers as texts of one decimal at most, in one row."""
    tenths = np.rint(values * 10).ravel()
    if tenths.size and np.abs(tenths).max() > _MOST:
        return [f"{value:g}" for value in (tenths / 10 + 0.0).tolist()]
    found: list[str] = _TENTHS[tenths.astype(np.intp)].tolist()
    return found


def polygon(points: Array) -> str:
    """A closed path through `points` (n, 2)."""
    return polyline(points) + "Z"


def polyline(points: Array) -> str:
    """An open path through `points` (n, 2)."""
    flat = texts(points)
    return "M" + " ".join(map("%s,%s".__mod__, zip(flat[::2], flat[1::2], strict=True)))


def points_attribute(points: Array) -> str:
    """`x,y x,y`, as the `points` of a polyline."""
    return polyline(points)[1:]


def path(d: str, css: str) -> str:
    """A path with a class, nothing where there is nothing to draw."""
    return f'<path class="{css}" d="{d}"/>' if d else ""


def text(x: float, y: float, words: str, css: str, anchor: str = "start") -> str:
    """A line of words; `anchor` is start, middle or end."""
    return (
        f'<text class="{css}" x="{number(x)}" y="{number(y)}" text-anchor="{anchor}">'
        f"{escape(words)}</text>"
    )


def arrow_head(tip: Array, direction: Array, size: float = 9.0) -> str:
    """A filled triangle at `tip` (2,) that points along `direction` (2,)."""
    (x, y), (dx, dy) = tip.tolist(), direction.tolist()
    length = math.hypot(dx, dy)
    dx, dy = (dx / length, dy / length) if length > 1e-9 else (1.0, 0.0)
    back_x, back_y, half = x - size * dx, y - size * dy, 0.42 * size
    left = back_x - half * dy, back_y + half * dx
    right = back_x + half * dy, back_y - half * dx
    return polygon(np.array([(x, y), left, right]))


def frame(
    body: Sequence[str],
    *,
    css: str,
    prefix: str,
    box: tuple[float, float, float, float],
    title: str,
    desc: str,
    attributes: str = "",
) -> str:
    """The `<svg>` around a drawing: `box` is x, y, width, height in pixels."""
    key = safe_prefix(prefix)
    x, y, width, height = (number(value) for value in box)
    # Links inside an image cannot be reached by a screen reader: then it is a group of links.
    role = "group" if any("<a " in part for part in body) else "img"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{css}" width="{width}" '
        f'height="{height}" viewBox="{x} {y} {width} {height}" role="{role}" '
        f'aria-labelledby="{key}-title" aria-describedby="{key}-desc"{attributes}>'
        f'<title id="{key}-title">{escape(title)}</title>'
        f'<desc id="{key}-desc">{escape(desc)}</desc>' + "".join(body) + "</svg>"
    )


def style_sheet() -> str:
    """The rules for drawings, from the theme; with the paper colours of the light scheme."""
    theme = importlib.resources.files("rungbook_theme")
    return (theme / "styles" / "drawing.css").read_text(encoding="utf-8")


_LIGHT = (
    "svg{--paper:#fbfaf6;--ink:#1d2a33;--press:#0b5563;--work:#a63f17;--quiet:#56626b;"
    "--rule:#8a8574;background:#fbfaf6}"
)


def standalone(drawing: str, rules: str | None = None) -> str:
    """The drawing as a file of its own: the style sheet is inside, in the light scheme."""
    rules = style_sheet() if rules is None else rules
    end_of_tag = drawing.index(">") + 1
    inner = f"<style>{_LIGHT}{rules.replace('<', '').replace(']]>', '')}</style>"
    head = drawing[:end_of_tag]
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + head + inner + drawing[end_of_tag:]
