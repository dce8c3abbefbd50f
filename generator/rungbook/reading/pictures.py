"""The clinic's own photographs: a picture named in an exercise is a file in pictures/."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping

from rungbook.model.place import Path
from rungbook.reading import limits
from rungbook.reading.shape import Problem
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

KINDS = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".avif", ".svg")


class Pictures:
    """The files of pictures/, by their name below it."""

    def __init__(self, files: Mapping[str, str]) -> None:
        self.files = files

    def problems(self, name: str, path: Path) -> Iterator[Problem]:
        """What is wrong with a picture's name."""
        if leaves_folder(name):
            message = (
                f"'{shown(name)}' leads out of pictures/: put the file there and write its name"
            )
            yield Problem("unsafe-path", path, message)
        elif name not in self.files:
            hint = did_you_mean(name, self.files, "put the file there, or mend its name")
            message = f"there is no picture '{shown(name)}' in pictures/: {hint}"
            yield Problem("unknown-reference", path, message)
        elif not name.lower().endswith(KINDS):
            message = (
                f"'{shown(name)}' is no picture a browser shows: save it as {', '.join(KINDS)}"
            )
            yield Problem("wrong-value", path, message)
        elif _size(self.files[name]) > limits.MOST_PICTURE_BYTES:
            most = f"{limits.MOST_PICTURE_BYTES / 1e6:g} MB"
            message = f"'{shown(name)}' is larger than {most}: save it smaller"
            yield Problem("wrong-value", path, message)


def leaves_folder(name: str) -> bool:
    """Whether a relative path may lead out of its folder, on any system."""
    return (
        name.startswith(("/", "\\", "~"))
        or re.match(r"[a-zA-Z][a-zA-Z0-9+.-]*:", name) is not None
        or "\\" in name
        or ".." in name.split("/")
    )


def _size(path: str) -> int:
    try:
        return os.path.getsize(path)
    except OSError:
        return 0
