"""The folder of a site that is being built: finished files go there from any process.

A file that stands unchanged in the site as it is now is not written again: it gets another name
(a hard link). One that is not exactly as a build left it (size, time and number on the disk) is
made anew; so is everything where the disk knows no links.
"""

from __future__ import annotations

import os
import pathlib
from collections.abc import Callable, Iterator, Sequence
from functools import partial

from rungbook.site.publishing.inside import inside

Left = tuple[str, int, int, int]  # a file's path, and its size, time and number on the disk


class SiteFolder:
    """Puts files into `root`; `now` is the site that this one will replace."""

    def __init__(self, root: pathlib.Path, now: pathlib.Path | None = None) -> None:
        self._root, self.now = str(root), now and str(now)

    def write(self, path: str, content: bytes) -> None:
        """Put a new file at `path` (with slashes).

        Raises:
            OSError: it cannot be written.
            LeavesTheSite: `path` is no place in a site.
        """

        def put(place: str) -> None:
            with open(place, "wb") as file:
                file.write(content)

        self._in_its_folder(path, put)

    def link(self, files: Sequence[Left]) -> bool:
        """Whether all these files stand in the site as they were left, and so are here now."""
        if self.now is None:
            return False
        linked: list[str] = []
        try:
            for path, *about in files:
                source = f"{self.now}/{path}"
                if _about(source) != about:
                    raise FileNotFoundError(source)
                self._in_its_folder(path, partial(os.link, source))
                linked.append(path)
        except OSError:
            for path in linked:  # to write into it would change the site as it is
                os.unlink(f"{self._root}/{path}")
            return False
        return True

    def left(self, path: str) -> Left:
        """The file at `path` as it is on the disk."""
        size, time, number = _about(f"{self._root}/{path}")
        return path, size, time, number

    def _in_its_folder(self, path: str, put: Callable[[str], None]) -> None:
        place = f"{self._root}/{inside(path)}"
        try:
            put(place)
        except FileNotFoundError:
            os.makedirs(os.path.dirname(place), exist_ok=True)
            put(place)


def paths_below(root: pathlib.Path) -> Iterator[str]:
    """The path of every file below a folder, in a stable order."""
    for folder, folders, names in os.walk(root):
        folders.sort()
        inside = os.path.relpath(folder, root).replace(os.sep, "/")
        yield from (name if inside == "." else f"{inside}/{name}" for name in sorted(names))


def _about(place: str) -> list[int]:
    found = os.stat(place)
    return [found.st_size, found.st_mtime_ns, found.st_ino]
