"""The folder of a site that is being built: finished files go there from any process.

A file that stands unchanged in the site as it is now is not written again: it gets another name
(a hard link). Which files those are is kept with the cache, by the keys of the pieces that they
belong to; a file that is not exactly as it was left (size, time and number on the disk) is made
anew. So is everything where nothing is kept or the disk knows no links.
"""

from __future__ import annotations

import json
import os
import pathlib
from collections.abc import Iterable, Mapping
from typing import Any

from rungbook.pipeline import store
from rungbook.site.publishing.inside import inside


class SiteFolder:
    """Writes files into a folder; folders in it are made as they are needed."""

    def __init__(self, root: str, now: pathlib.Path | None = None) -> None:
        """`now` is the site that this one will replace."""
        self._root = root
        self._now = now
        self._left: dict[str, Any] | None = None

    def write(self, path: str, content: bytes) -> None:
        """Put a new file at `path` (with slashes).

        Raises:
            OSError: it cannot be written.
            LeavesTheSite: `path` is no place in a site.
        """
        place = f"{self._root}/{inside(path)}"
        try:
            self._put(place, content)
        except FileNotFoundError:
            os.makedirs(os.path.dirname(place), exist_ok=True)
            self._put(place, content)

    def _put(self, place: str, content: bytes) -> None:
        with open(place, "wb") as file:
            file.write(content)

    def link(self, key: str, page: str) -> list[str] | None:
        """The files around `page`, if all stand in the site as the piece with that key left them.

        They are in this folder then as well; None where they have to be written.
        """
        if self._now is None:
            return None
        if self._left is None:
            kept = store.find([store.key_of("site", str(self._now))])
            self._left = next(map(json.loads, kept.values()), {})
        known = self._left.get(page)
        if not known or known[0] != key:
            return None
        linked: list[str] = []
        try:
            for path, *about in known[1]:
                self._link(path, about)
                linked.append(path)
        except OSError:
            for path in linked:  # to write into it would change the site as it is
                os.unlink(f"{self._root}/{path}")
            return None
        return linked

    def _link(self, path: str, about: list[int]) -> None:
        source, place = f"{self._now}/{path}", f"{self._root}/{inside(path)}"
        if _about(source) != about:
            raise FileNotFoundError(source)
        try:
            os.link(source, place)
        except FileNotFoundError:
            os.makedirs(os.path.dirname(place), exist_ok=True)
            os.link(source, place)

    def keep(self, keys: Mapping[str, str], files: Mapping[str, Iterable[str]]) -> None:
        """Remember the files around each page, with the key of their piece, for the next build."""
        if self._now is None:
            return
        left = {
            page: [key, [[path, *_about(f"{self._root}/{path}")] for path in files[page]]]
            for page, key in keys.items()
        }
        store.keep({store.key_of("site", str(self._now)): json.dumps(left).encode()})


def _about(place: str) -> list[int]:
    found = os.stat(place)
    return [found.st_size, found.st_mtime_ns, found.st_ino]
