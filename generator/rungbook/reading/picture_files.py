"""A clinic's pictures as they are published: photographs, drawings and short silent videos.

Each kind is made anew from what is known to be harmless in it: see `photographs`, `svg`, `videos`.
"""

from __future__ import annotations

import os
import pathlib

from rungbook.model.finding import Finding
from rungbook.reading import limits, photographs, svg, videos
from rungbook.reading.pictures import DRAWING, UnusablePicture, ending_of, is_video
from rungbook.reading.raw import read_bytes


def published(name: str, content: bytes) -> bytes:
    """What of a picture goes into the site; the same content gives the same bytes.

    Raises:
        UnusablePicture: nothing does; the message says why and what to do.
    """
    ending = ending_of(name)
    if ending == DRAWING:
        return svg.clean_svg(content)
    if is_video(name):
        return videos.published(content, ending).content
    return photographs.published(content, ending)


def shown_size(name: str, path: str | pathlib.Path) -> tuple[int, int] | None:
    """Width and height in pixels as it is shown; None where a drawing does not say.

    Raises:
        UnusablePicture: it cannot be shown; the message says why and what to do.
    """
    try:
        if os.path.getsize(path) > limits.MOST_PICTURE_BYTES:
            most = f"{limits.MOST_PICTURE_BYTES / 1e6:g} MB"
            raise UnusablePicture(f"it is larger than {most}: save it smaller")
        if ending_of(name) in photographs.FORMATS:
            return photographs.size_of(path)
        content = read_bytes(str(path), name, limits.MOST_PICTURE_BYTES)
        if isinstance(content, Finding):
            raise UnusablePicture("it is no plain file, or cannot be read: save it again")
    except OSError as error:
        raise UnusablePicture(f"it cannot be read ({error.strerror}): save it again") from None
    if is_video(name):
        return videos.published(content, ending_of(name)).size
    return svg.size_of(svg.clean_svg(content))
