"""Seals of reviews: a sum of what an exercise says, so that a later change is noticed.

A seal covers the values and the words of an exercise, what it takes from another included, and
the bytes of its pictures. Not covered are its name, its review, what it accepts, that it is a
draft or a variation, progressions that are still drafts, and whatever is computed. It covers
values as they are written and not what this version makes of them, so a new version breaks no
seal; comments, layout and the order of keys do not count. It is a sum and no signature: who
reviewed what is for version control to say.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from rungbook.model.exercise import Exercise
from rungbook.model.place import SourceMap
from rungbook.reading import limits
from rungbook.reading.places import FilePlaces, VariationPlaces, is_own
from rungbook.reading.raw import read_bytes
from rungbook.reading.variations import merge
from rungbook.reading.yaml_values import read_yaml

_NOT_COVERED = frozenset(
    {"reviewed", "accepts", "draft", "variation-of", "replaced-by", "formerly"}
)
_SCHEME = "rungbook seal 1"


def seal(values: Mapping[str, Any], text: Mapping[str, str], pictures: Mapping[str, str]) -> str:
    """The seal of an exercise's values and words, as reading has them before they are checked.

    `pictures` are paths by the names that exercises use.
    """
    content = {key: value for key, value in values.items() if key not in _NOT_COVERED}
    if isinstance(edges := content.get("progressions"), tuple):
        content["progressions"] = [edge for edge in edges if not _is_draft(edge)]
    if not content.get("progressions"):  # as if there had never been a draft
        content.pop("progressions", None)
    words = {
        heading: "\n".join(line.rstrip() for line in lines.splitlines())
        for heading, lines in text.items()
    }
    named = sorted({file for file in _files(values.get("pictures")) if file in pictures})
    covered = [_SCHEME, content, words, {file: _bytes_sum(pictures[file]) for file in named}]
    plain = json.dumps(covered, sort_keys=True, default=str)
    return hashlib.blake2b(plain.encode(), digest_size=16).hexdigest()


def present_seal(exercise: Exercise, pictures: Mapping[str, str]) -> str:
    """The seal of an exercise as its files say it now."""
    return seal(_values(exercise.source), exercise.text, pictures)


def is_broken(
    values: Mapping[str, Any], text: Mapping[str, str], pictures: Mapping[str, str]
) -> bool:
    """Whether a review has a seal, and it is not that of what stands."""
    review = values.get("reviewed")
    written = review.get("seal") if isinstance(review, dict) else None
    return written is not None and written != seal(values, text, pictures)


def _is_draft(edge: Any) -> bool:
    return isinstance(edge, dict) and bool(edge.get("draft"))


def _files(pictures: Any) -> list[str]:
    """The files that pictures name: the photograph, the video's still."""
    found: list[str] = []
    for picture in pictures if isinstance(pictures, tuple) else ():
        named = picture.values() if isinstance(picture, dict) else ()
        found.extend(value for value in named if isinstance(value, str))
    return found


def _values(places: SourceMap) -> dict[str, Any]:
    """The values of a file with what it takes from those it varies."""
    if isinstance(places, VariationPlaces):
        varied = _values(places.varied)
        base = {key: value for key, value in varied.items() if not is_own(key)}
        return merge(base, _values(places.own))
    assert isinstance(places, FilePlaces), places
    values, _ = read_yaml(places.text, limits.MOST_NODES)
    return values if isinstance(values, dict) else {}


def _bytes_sum(path: str) -> str:
    try:
        about = os.stat(path)
        return _remembered_sum(path, about.st_size, about.st_mtime_ns)
    except OSError:
        return ""


@lru_cache(maxsize=4096)
def _remembered_sum(path: str, size: int, modified_ns: int) -> str:
    data = read_bytes(path, path, limits.MOST_PICTURE_BYTES)
    return hashlib.blake2b(data, digest_size=16).hexdigest() if isinstance(data, bytes) else ""
