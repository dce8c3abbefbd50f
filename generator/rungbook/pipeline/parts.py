"""The parts of a library that have nothing to do with each other.

Two files belong to the same part where a progression, a variation or a ladder joins them, where
both exercises have a published figure for the same action, or an area that no vocabulary has: then
one may bear on the findings about the other. Findings never reach across parts.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator

from rungbook.model.library import Library
from rungbook.reading.folder import Found

_VARIATION = re.compile(r"^variation-of:\s*([\w-]+)", re.M)


def node_of(found: Found) -> str:
    """What a file stands for; two files with the same id are one."""
    return f"ladder {found.stem}" if found.file.startswith("ladders/") else found.stem


def _joined(library: Library) -> Iterator[tuple[str, str]]:
    areas = library.vocabulary.areas
    for exercise in library.exercises.values():
        yield from ((exercise.id, progression.to) for progression in exercise.progressions)
        if exercise.variation_of is not None:
            yield exercise.id, exercise.variation_of
        if (
            areas and exercise.area and exercise.area not in areas
        ):  # told once for all that share it
            yield exercise.id, f"area {exercise.area}"
        for figure in exercise.measured:
            yield from ((exercise.id, f"figure {works}") for works in figure.works)
    for ladder in library.ladders.values():
        node = f"ladder {ladder.id}"
        yield node, ladder.goal
        yield from ((node, entry) for entry in ladder.entries.values())


def _joined_in_text(found: Iterable[Found]) -> Iterator[tuple[str, str]]:
    """Variations of files that could not be read further, as far as the text shows them."""
    for one in found:
        try:
            with open(one.path, encoding="utf-8", errors="replace") as file:
                yield from ((node_of(one), to) for to in _VARIATION.findall(file.read()))
        except OSError:
            continue


def unsound(library: Library, records: Iterable[Found]) -> list[Found]:
    """The files that did not become an exercise or ladder; of those with one id the first may."""
    sound = {*library.exercises, *(f"ladder {id}" for id in library.ladders)}
    left_out = []
    for one in records:
        node = node_of(one)
        if node in sound:
            sound.remove(node)
        else:
            left_out.append(one)
    return left_out


def parts(library: Library, records: Collection[Found]) -> dict[str, str]:
    """The part of every node, named by one of its nodes; `records` are the files that were read."""
    above: dict[str, str] = {}

    def top(node: str) -> str:
        while (up := above.setdefault(node, node)) != node:
            above[node] = node = above.setdefault(up, up)
        return node

    for one, other in [*_joined(library), *_joined_in_text(unsound(library, records))]:
        a, b = top(one), top(other)
        if a != b:
            above[max(a, b)] = min(a, b)
    return {node: top(node) for node in [*map(node_of, records), *above]}
