"""Photographs of the clinic's own, as they are published: pixels and nothing else.

A camera writes where and when a picture was taken and by whom; a picture of an exercise is often
a picture of somebody. So a photograph is decoded and encoded anew: turned upright as its metadata
says, in the usual colours, no larger than a page or a sheet shows it. Metadata, comments,
thumbnails within and whatever follows the picture in its file are not taken along.
"""

from __future__ import annotations

import io
import pathlib
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from rungbook.reading import limits
from rungbook.reading.pictures import UnusablePicture

if TYPE_CHECKING:
    from PIL.Image import Image

# By the endings of names: what Pillow calls the format.
FORMATS = {
    ".jpg": "JPEG", ".jpeg": "JPEG", ".png": "PNG", ".webp": "WEBP", ".gif": "GIF", ".avif": "AVIF",
}  # fmt: skip
MOST_SIDE = 1280  # pixels: 320 of a page at four to one, or 102 mm of a sheet at 300 dpi
_QUALITY: dict[str, dict[str, Any]] = {
    "JPEG": {"quality": 85, "optimize": True, "progressive": True},
    "PNG": {"optimize": True},
    "WEBP": {"quality": 85, "method": 4},
    "GIF": {"optimize": True},
    "AVIF": {"quality": 70, "max_threads": 1},  # threads share the work out differently each time
}
_MODES = {"JPEG": ("L", "RGB"), "GIF": ("L", "RGB", "RGBA")}
_ANY_MODE = ("L", "LA", "RGB", "RGBA")
_RESIZED = (*_ANY_MODE, "CMYK", "YCbCr", "LAB")  # modes whose pixels can be averaged


def published(content: bytes, ending: str) -> bytes:
    """The photograph encoded anew in the format of its name's ending, such as `.jpg`.

    The same content gives the same bytes. Of moving pictures, the first is taken.

    Raises:
        UnusablePicture: it cannot be read, or has too many pixels.
    """
    from PIL import Image, ImageOps

    format = FORMATS[ending.lower()]
    with _opened(io.BytesIO(content)) as image:
        small = image if image.mode in _RESIZED else _in_mode(image, _ANY_MODE)
        small.thumbnail((MOST_SIDE, MOST_SIDE), Image.Resampling.LANCZOS, reducing_gap=3.0)
        plain = _in_mode(_in_usual_colours(small), _MODES.get(format, _ANY_MODE))
        upright = ImageOps.exif_transpose(plain)
        pixels = Image.frombytes(upright.mode, upright.size, upright.tobytes())
        out = io.BytesIO()
        pixels.save(out, format, **_QUALITY[format])
    return out.getvalue()


def size_of(path: str | pathlib.Path) -> tuple[int, int]:
    """Width and height in pixels of a photograph as it is published, from its first bytes.

    Raises:
        UnusablePicture: it cannot be read, or has too many pixels.
    """
    with _opened(path) as image:
        width, height = image.size
        if image.getexif().get(0x0112, 1) in (5, 6, 7, 8):  # turned by a quarter
            width, height = height, width
    scale = min(1.0, MOST_SIDE / max(width, height))
    return max(1, round(width * scale)), max(1, round(height * scale))


@contextmanager
def _opened(file: str | pathlib.Path | io.BytesIO) -> Iterator[Image]:
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(file, formats=sorted(set(FORMATS.values()))) as image:
            if image.width * image.height > limits.MOST_PIXELS:
                most = f"{limits.MOST_PIXELS / 1e6:g} million"
                raise UnusablePicture(f"it has more than {most} pixels: save it smaller")
            yield image
    except UnusablePicture:
        raise
    except (UnidentifiedImageError, Image.DecompressionBombError):
        raise UnusablePicture("it is no picture that can be read: save it again") from None
    except Exception:  # decoders raise whatever they meet in damaged files
        raise UnusablePicture("it is damaged: save it again") from None


def _in_usual_colours(image: Image) -> Image:
    """The picture in sRGB, where its own colours are described and can be turned into that."""
    profile = image.info.get("icc_profile")
    if not profile:
        return image
    try:
        from PIL import ImageCms

        own = ImageCms.ImageCmsProfile(io.BytesIO(profile))
        turned = ImageCms.profileToProfile(
            image, own, ImageCms.createProfile("sRGB"), outputMode="RGB"
        )
        return turned if turned is not None else image
    except Exception:  # no colour engine, or a description of no use
        return image


def _in_mode(image: Image, allowed: tuple[str, ...]) -> Image:
    """The picture in a mode that a format can have: on white, where that knows no glass."""
    if image.mode in allowed:
        return image
    if not image.has_transparency_data:
        return image.convert("RGB")
    clear = image.convert("RGBA")
    if "RGBA" in allowed:
        return clear
    from PIL import Image as images

    white = images.new("RGBA", clear.size, "white")
    white.alpha_composite(clear)
    white.info = clear.info
    return white.convert("RGB")
