"""What files that could not be read would have led to, as far as their text tells."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping

from rungbook.model.library import LeftOut
from rungbook.reading.folder import Found
from rungbook.reading.raw import read_bytes

_ID = rb"[ \t\"']*([a-z0-9][a-z0-9-]*)"
_TO = re.compile(rb"\bto:" + _ID)
_NAMED = re.compile(rb":" + _ID)  # a ladder's goal, entries, standard exercises


def left_out_exercises(
    files: Mapping[str, Found], sound: Collection[str], varied: Mapping[str, str]
) -> dict[str, LeftOut]:
    """By id; of a variation the file to mend is that of what it varies, if that is left out too."""
    found = {}
    for id in files:
        if id not in sound:
            first, seen = id, {""}
            while first in files and first not in sound and first not in seen:
                seen.add(first)
                last, first = first, varied.get(first, "")
            found[id] = LeftOut(files[last].file, tuple(_named(files[id], _TO)))
    return found


def left_out_ladders(
    files: Mapping[str, Found], sound: Collection[str], exercises: Collection[str]
) -> dict[str, LeftOut]:
    """By id, with every exercise that a value in the file names."""
    return {
        id: LeftOut(found.file, tuple(_named(found, _NAMED, exercises)))
        for id, found in files.items()
        if id not in sound
    }


def _named(
    found: Found, pattern: re.Pattern[bytes], known: Collection[str] | None = None
) -> Iterator[str]:
    data = read_bytes(found.path, found.file)
    if isinstance(data, bytes):
        ids = dict.fromkeys(one.decode() for one in pattern.findall(data))
        yield from (id for id in ids if known is None or id in known)
