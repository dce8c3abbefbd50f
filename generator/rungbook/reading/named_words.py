"""Which words of the vocabulary any file of a library names, seen in the bytes of all files.

A check may see a part of a library only; what nothing names is known from the whole alone. Files
with faults count as well: what stands in them is named.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from rungbook.reading.folder import Found, Listing
from rungbook.reading.raw import read_bytes

# A whole value, alone or in a list: after a colon, a comma, a bracket or a dash.
_VALUE = re.compile(rb"""[:,\[\-]\s*["']?([a-z0-9][a-z0-9-]*)["']?[ \t]*(?=[,\]}\r\n#]|\Z)""")
_FRONT = re.compile(rb"\A\s*---[ \t]*\r?\n(.*?)^---", re.DOTALL | re.MULTILINE)


def named_words(listing: Listing) -> dict[str, frozenset[str]]:
    """By vocabulary, every value that may be a key of it.

    Sources are named by settings and by entries of vocabularies, too; an area also by a folder.
    """
    records = (*listing.exercises, *listing.ladders)
    settings = [listing.settings, *(base.settings for base in listing.bases)]
    plain = [*listing.vocabulary, *(one for one in settings if one is not None)]
    values = frozenset(_values(records))
    folders = {one.folder for one in listing.exercises if one.folder is not None}
    return {
        **dict.fromkeys(("cautions", "restrictions", "equipment"), values),
        "areas": values | folders,
        "sources": values | frozenset(_values(plain)),
    }


def _values(files: Iterable[Found]) -> Iterator[str]:
    for one in files:
        data = read_bytes(one.path, one.file)
        if isinstance(data, bytes):
            front = _FRONT.match(data)
            yield from (key.decode() for key in _VALUE.findall(front[1] if front else data))
