"""Graphs ready to be drawn, and drawn: our frame and classes around an engine's pictures."""

from __future__ import annotations

import os
import re
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass

from rungbook.drawing import svg
from rungbook.drawing.engine import DEFAULT_ENGINE, NoEngine, render

BATCH = 100  # graphs for one engine process, at least


@dataclass(frozen=True, slots=True)
class Diagram:
    """A graph ready to be drawn, and the same in words; without `dot` it is too dense for that."""

    dot: str | None
    prefix: str
    title: str
    sentences: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Drawn:
    """The drawings in the order of their diagrams, or None and the reason."""

    drawings: tuple[str, ...] | None
    reason: str = ""


def draw(diagrams: Sequence[Diagram], engine: str = DEFAULT_ENGINE) -> Drawn:
    """All diagrams as `<svg>` text, by one engine process a processor; never raises.

    One that is too dense is an empty text.

    While one process draws, the pictures of another get our frame.
    """
    workers = max(1, min(os.cpu_count() or 1, len(diagrams) // BATCH))
    size = max(BATCH, -(-len(diagrams) // (2 * workers)))
    batches = [diagrams[i : i + size] for i in range(0, len(diagrams), size)]
    try:
        with ThreadPoolExecutor(workers) as pool:
            drawn = list(pool.map(lambda batch: _draw_batch(batch, engine), batches))
    except NoEngine as reason:
        return Drawn(None, str(reason))
    return Drawn(tuple(picture for batch in drawn for picture in batch))


def _draw_batch(batch: Sequence[Diagram], engine: str) -> list[str]:
    pictures = iter(render([diagram.dot for diagram in batch if diagram.dot is not None], engine))
    return [own_svg(next(pictures), d) if d.dot is not None else "" for d in batch]


# An engine writes every quotation mark within words as an entity, so these match tags only.
_LOOKS = re.compile(
    r" (?:fill|fill-opacity|stroke|stroke-width|stroke-dasharray|font-family|font-size|font-weight"
    r'|font-style|style|xml:space|target|xlink:title|xmlns:xlink|xmlns)="[^"]*"'
)
_OPEN = re.compile(r'<svg\b[^>]*?viewBox="([-0-9. ]+)"[^>]*>', re.DOTALL)
_DROPPED = re.compile(r"<(?:title>[^<]*</title>|!--.*?-->)", re.DOTALL)
_PAPER = re.compile(r'(<g [^>]*class="graph"[^>]*>)<polygon[^>]*/>')


def own_svg(picture: str, diagram: Diagram) -> str:
    """The engine's picture with our frame, classes in place of looks, and prefixed ids."""
    key = svg.safe_prefix(diagram.prefix)
    opening = _OPEN.search(picture)
    if opening is None:
        raise NoEngine("diagrams: the engine wrote a picture without a viewBox")
    x, y, width, height = (float(value) for value in opening.group(1).split())
    inner = _DROPPED.sub("", picture[opening.end() : picture.rindex("</svg>")]).replace("\n", "")
    inner = _LOOKS.sub("", _PAPER.sub(r"\1", inner, count=1))
    inner = inner.replace(' id="', f' id="{key}-')
    return svg.frame(
        [inner.replace(' xlink:href="', ' href="').replace("&#45;", "-")],
        css="drawn-map",
        prefix=diagram.prefix,
        box=(x, y, width, height),
        title=diagram.title,
        desc=" ".join(diagram.sentences),
    )
