"""The clinic's own pictures as files of the site: made anew without what a camera writes.

Making a photograph anew takes a good part of a second: what an earlier build made is kept.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence

from rungbook.model.library import Library
from rungbook.pipeline import store
from rungbook.reading.picture_files import published
from rungbook.reading.pictures import UnusablePicture, ending_of
from rungbook.site.pages.pictures import picture_path

AT_ONCE = 20  # pictures in memory


def picture_files(library: Library, names: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    """Place in the site and bytes of each picture; one that proves damaged is left out."""
    for at in range(0, len(names), AT_ONCE):
        yield from _some(library, names[at : at + AT_ONCE])


def _some(library: Library, names: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    contents = {}
    for name in names:
        path = picture_path(library.folders, name)
        if path is not None:
            contents[name] = path.read_bytes()
    keys = {
        name: store.key_of("picture", ending_of(name), hashlib.blake2b(content).hexdigest())
        for name, content in contents.items()
    }
    kept = store.find(keys.values())
    fresh: dict[str, bytes] = {}
    for name, content in contents.items():
        made = kept.get(keys[name])
        if made is None:
            try:
                made = fresh[keys[name]] = published(name, content)
            except UnusablePicture:
                continue
        yield f"pictures/{name}", made
    store.keep(fresh)
