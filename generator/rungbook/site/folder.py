"""The folder of a site that is being built: finished files go there from any process."""

from __future__ import annotations

import os


class SiteFolder:
    """Writes files into a folder; folders in it are made as they are needed."""

    def __init__(self, root: str) -> None:
        self._root = root

    def write(self, path: str, content: bytes) -> None:
        """Put a file at `path` (with slashes), in place of any that is there.

        Raises:
            OSError: it cannot be written.
        """
        place = f"{self._root}/{path}"
        try:
            self._put(place, content)
        except FileNotFoundError:
            os.makedirs(os.path.dirname(place), exist_ok=True)
            self._put(place, content)

    def _put(self, place: str, content: bytes) -> None:
        with open(place, "wb") as file:
            file.write(content)
