"""The parts of a library that have nothing to do with each other.

Two files belong to the same part where a progression, a variation or a ladder joins them, where
both exercises have figures of one source, or lie in the same folder that is no area: then one may
bear on the findings about the other. Findings never reach across parts.

`parts` tells them for files that were read. `likely_parts` guesses them from the bytes, before
anything is read, and may be wrong either way.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Iterator, Mapping
from typing import TypeVar

from rungbook.model.library import Library
from rungbook.model.place import inside
from rungbook.reading.folder import Found
from rungbook.reading.raw import read_bytes
from rungbook.reading.read import Ground

_ID = rb"[\s\"']*([a-z0-9][a-z0-9-]*)"
# The colon comes first since it is rare: then most of the text is passed over at once.
_EXERCISE = re.compile(rb":(?:(?<=\bto:)|(?<=\bvariation-of:))" + _ID)
_LADDER = re.compile(rb":(?:(?<=goal:)|(?<=high:)|(?<=moderate:)|(?<=low:)|(?<=standard:))" + _ID)
_FIGURES = re.compile(rb"^measured:(.*(?:\n[ \-#].*|\n)*)", re.MULTILINE)
_SOURCE = re.compile(rb"\bsource:" + _ID)
Pair = tuple[str, str]
N = TypeVar("N", str, tuple[int, str])


def node_of(found: Found) -> str:
    """What a file stands for; two files with the same id are one."""
    is_ladder = inside(found.file).startswith("ladders/")
    return f"ladder {found.stem}" if is_ladder else found.stem


def joined(pairs: Iterable[tuple[N, N]], nodes: Iterable[N]) -> dict[N, N]:
    """Every node's part, named by one of its nodes; each pair lies in one part."""
    above: dict[N, N] = {}

    def top(node: N) -> N:
        while (up := above.setdefault(node, node)) != node:
            above[node] = node = above.setdefault(up, up)
        return node

    for one, other in pairs:
        a, b = top(one), top(other)
        if a != b:
            above[max(a, b)] = min(a, b)
    for node in nodes:
        top(node)
    return {node: top(node) for node in list(above)}


def parts(
    library: Library, records: Collection[Found], varied: Mapping[str, str] | None = None
) -> dict[str, str]:
    """The part of every node of a library that was read from the files `records`.

    `varied` is what each exercise file says it varies, those included that are not sound.
    """
    pairs = [
        *_written(library),
        *(varied or {}).items(),
        *_in_no_area(records, library.vocabulary.areas),
    ]
    return joined(pairs, map(node_of, records))


def _written(library: Library) -> Iterator[Pair]:
    for exercise in library.exercises.values():
        yield from ((exercise.id, progression.to) for progression in exercise.progressions)
        if exercise.variation_of is not None:
            yield exercise.id, exercise.variation_of
        yield from ((exercise.id, f"figures {figure.source}") for figure in exercise.figures)
    for ladder in library.ladders.values():
        node = f"ladder {ladder.id}"
        yield node, ladder.goal
        yield from ((node, entry) for entry in ladder.entries.values())
        standards = map(ladder.standard_of, ladder.works)
        yield from ((node, standard) for standard in standards if standard is not None)
    for id, left_out in library.left_out.items():
        yield from ((id, name) for name in left_out.names)
    for id, left_out in library.left_out_ladders.items():
        yield from ((f"ladder {id}", name) for name in left_out.names)


def _in_no_area(records: Iterable[Found], areas: Collection[str]) -> Iterator[Pair]:
    """That a folder is no area is told once for all exercises in it."""
    for one in records:
        if areas and one.folder is not None and one.folder not in areas:
            yield node_of(one), f"area {one.folder}"


def likely_parts(records: Collection[Found], ground: Ground) -> dict[str, str]:
    """The part of every node, as far as a look at the files' bytes can tell."""
    pairs = [*_in_no_area(records, ground.vocabulary.areas)]
    for one in records:
        pairs.extend(_in_bytes(one))
    return joined(pairs, map(node_of, records))


def _in_bytes(found: Found) -> Iterator[Pair]:
    data = read_bytes(found.path, found.file)
    if not isinstance(data, bytes):
        return
    node = node_of(found)
    pattern = _LADDER if node != found.stem else _EXERCISE
    yield from ((node, id.decode()) for id in pattern.findall(data))
    if b"measured:" in data:
        for figures in _FIGURES.findall(data):
            yield from ((node, f"figures {key.decode()}") for key in _SOURCE.findall(figures))


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
