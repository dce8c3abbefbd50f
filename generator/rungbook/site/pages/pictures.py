"""The clinic's own pictures on pages: never a file from outside the library."""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from urllib.parse import quote

from rungbook.model.exercise import Exercise, Picture
from rungbook.model.library import Library
from rungbook.reading.picture_files import shown_size
from rungbook.reading.pictures import UnusablePicture, is_video

Size = tuple[int, int]


@dataclass(frozen=True, slots=True)
class Photograph:
    """A picture on a page: a photograph, a drawing, or a video with its still.

    Addresses are below the site's top folder; sizes are "" where they are not known.
    """

    href: str
    alt: str
    width: str
    height: str
    video: str = ""


def picture_path(folders: Iterable[pathlib.Path], file: str) -> pathlib.Path | None:
    """The picture on the disk, or None where it is no file inside `pictures/` of a folder.

    `folders` are a library's own, then those of its bases: the first that has it counts.
    """
    for root in folders:
        folder = os.path.realpath(root / "pictures")
        path = os.path.realpath(os.path.join(folder, file))
        if path.startswith(folder + os.sep) and os.path.isfile(path):
            return pathlib.Path(path)
    return None


def shown(folders: Sequence[pathlib.Path], exercise: Exercise) -> Iterator[Photograph]:
    """The pictures of an exercise that the site can show."""
    for picture in exercise.pictures:
        made = _photograph(folders, picture)
        if made is not None:
            yield made


def _photograph(folders: Sequence[pathlib.Path], picture: Picture) -> Photograph | None:
    still = picture.still or picture.file
    size, moving = _size(folders, still), picture.still is not None
    if size is None or (moving and _size(folders, picture.file) is None):
        return None
    width, height = (str(side) if side else "" for side in size)
    video = _address(picture.file) if moving else ""
    return Photograph(_address(still), picture.alt, width, height, video)


def _address(file: str) -> str:
    return f"pictures/{quote(file)}"


def _size(folders: Iterable[pathlib.Path], file: str) -> Size | None:
    """The size of a file that can be shown, zeros where it does not say; None where it cannot."""
    path = picture_path(folders, file)
    if path is None:
        return None
    about = path.stat()
    return _remembered_size(file, str(path), about.st_size, about.st_mtime_ns)


@lru_cache(maxsize=4096)
def _remembered_size(file: str, path: str, size: int, modified_ns: int) -> Size | None:
    try:
        return shown_size(file, path) or (0, 0)
    except UnusablePicture:
        return None


def picture_names(library: Library) -> tuple[str, ...]:
    """The files of all pictures that pages show, stills included, sorted."""
    pictures = [item for exercise in library.exercises.values() for item in exercise.pictures]
    names = {file for item in pictures for file in (item.file, item.still) if file}
    stills = {item.file for item in pictures if is_video(item.file) and not item.still}
    return tuple(
        sorted(file for file in names - stills if _size(library.folders, file) is not None)
    )
