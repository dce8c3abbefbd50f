"""The clinic's own photographs: a picture named in an exercise is a file in pictures/."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Mapping

from rungbook.model.exercise import Picture
from rungbook.model.place import Path
from rungbook.reading import limits
from rungbook.reading.shape import Problem
from rungbook.reading.wording import shown
from rungbook.reading.words import did_you_mean

DRAWING = ".svg"
STILL = (".jpg", ".jpeg", ".png", ".webp", ".gif", ".avif", DRAWING)
VIDEOS = (".mp4", ".webm")
KINDS = (*STILL, *VIDEOS)


class UnusablePicture(Exception):
    """A picture that is not shown; the message says why and what to do, of "it"."""


def ending_of(name: str) -> str:
    """The ending of a picture's name in small letters, with its dot."""
    return os.path.splitext(name)[1].lower()


def is_video(name: str) -> bool:
    """Whether a picture moves, by its name."""
    return ending_of(name) in VIDEOS


class Pictures:
    """The files of pictures/, by their name below it."""

    def __init__(self, files: Mapping[str, str]) -> None:
        self.files = files

    def problems(self, picture: Picture, path: Path) -> Iterator[Problem]:
        """What is wrong with the names in a picture, which stands at `path`."""
        yield from self._file(picture.file, (*path, "file"), KINDS)
        if picture.still is not None:
            yield from self._file(picture.still, (*path, "still"), STILL)
            if not is_video(picture.file):
                message = "only a video has a 'still': remove it, or write a picture of its own"
                yield Problem("wrong-value", (*path, "still"), message)
        elif is_video(picture.file):
            message = "a video needs a 'still', the picture for paper: add {still: name.jpg}"
            yield Problem("missing-field", path, message)

    def _file(self, name: str, path: Path, kinds: tuple[str, ...]) -> Iterator[Problem]:
        if leaves_folder(name):
            message = (
                f"'{shown(name)}' leads out of pictures/: put the file there and write its name"
            )
            yield Problem("unsafe-path", path, message)
        elif name not in self.files:
            hint = did_you_mean(name, self.files, "put the file there, or mend its name")
            message = f"there is no picture '{shown(name)}' in pictures/: {hint}"
            yield Problem("unknown-reference", path, message)
        elif ending_of(name) not in kinds:
            message = (
                f"'{shown(name)}' is no picture a browser shows: save it as {', '.join(kinds)}"
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
