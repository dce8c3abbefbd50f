"""Published photographs say nothing but what they show."""

from __future__ import annotations

import io
import os
import pathlib
import struct
import zlib
from typing import Any

import exifread
import pytest
from PIL import Image, ImageCms, ImageDraw, PngImagePlugin

from rungbook.reading import limits
from rungbook.reading.photographs import FORMATS, MOST_SIDE, published, size_of
from rungbook.reading.pictures import UnusablePicture

SAMPLES = os.environ.get("RUNGBOOK_SAMPLES", "")
SECRET = b"Erika Mustermann"
MAKER, ORIENTATION, ARTIST, GPS, COMMENT = 0x010F, 0x0112, 0x013B, 0x8825, 0x9286


def drawn(size: tuple[int, int] = (64, 48)) -> Image.Image:
    """Red above, blue below, a white corner at the top left."""
    image = Image.new("RGB", size, "red")
    draw = ImageDraw.Draw(image)
    draw.rectangle((0, size[1] // 2, size[0], size[1]), fill="blue")
    draw.rectangle((0, 0, size[0] // 4, size[1] // 4), fill="white")
    return image


def told(orientation: int = 1) -> Image.Exif:
    """EXIF with a name, a place and a device."""
    exif = Image.Exif()
    exif[MAKER], exif[ORIENTATION], exif[ARTIST] = "Camera", orientation, SECRET.decode()
    exif.get_ifd(0x8769)[COMMENT] = b"ASCII\0\0\0" + SECRET
    exif.get_ifd(GPS).update({1: "N", 2: (48.0, 8.0, 1.0), 3: "E", 4: (11.0, 34.0, 1.0)})
    return exif


def saved(image: Image.Image, format: str, **more: Any) -> bytes:
    out = io.BytesIO()
    image.save(out, format, **more)
    return out.getvalue()


def with_everything(format: str) -> bytes:
    """A picture with all the metadata that its format can hold."""
    xmp = b"<x:xmpmeta xmlns:x='adobe:ns:meta/'>" + SECRET + b"</x:xmpmeta>"
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    more: dict[str, Any] = {"exif": told()}
    if format in ("JPEG", "WEBP", "AVIF"):
        more["xmp"] = xmp
    if format != "GIF":
        more["icc_profile"] = profile
    if format in ("JPEG", "GIF"):
        more["comment"] = SECRET
    if format == "GIF":
        del more["exif"]
    if format == "PNG":
        text = PngImagePlugin.PngInfo()
        text.add_text("Author", SECRET.decode())
        text.add_itxt("XML:com.adobe.xmp", xmp.decode())
        more["pnginfo"] = text
    return saved(drawn(), format, **more) + SECRET  # and something behind its end


def chunks(png: bytes) -> list[str]:
    """The kinds of a PNG's parts, read by hand (W3C PNG, third edition, section 5, from memory)."""
    found, at = [], 8
    while at < len(png):
        (length,) = struct.unpack_from(">I", png, at)
        found.append(png[at + 4 : at + 8].decode())
        at += length + 12
    return found


@pytest.mark.parametrize("ending", sorted(FORMATS))
@pytest.mark.parametrize("format", sorted(set(FORMATS.values())))
def test_nothing_that_was_written_beside_the_pixels_is_published(format: str, ending: str) -> None:
    content = with_everything(format)
    assert SECRET in content
    made = published(content, ending)
    assert SECRET not in made
    # Read by another program: ExifRead 3.
    assert dict(exifread.process_file(io.BytesIO(made), details=True)) == {}
    with Image.open(io.BytesIO(made)) as image:
        assert image.format == FORMATS[ending]
        assert dict(image.getexif()) == {} and image.getxmp() == {}
        assert not {"icc_profile", "comment", "exif", "xmp", "Author"} & image.info.keys()
    if ending == ".png":
        assert set(chunks(made)) <= {"IHDR", "PLTE", "IDAT", "IEND"}


def test_the_other_reader_sees_what_is_to_go() -> None:
    tags = exifread.process_file(io.BytesIO(with_everything("JPEG")), details=True)
    assert str(tags["Image Artist"]) == SECRET.decode() and "GPS GPSLatitude" in tags


# Photographs of the test suite of the npm package exif 0.6.0: cameras, odd and evil metadata.
@pytest.mark.skipif(not SAMPLES, reason="RUNGBOOK_SAMPLES names no folder with exif")
def test_photographs_of_cameras_say_nothing_more() -> None:
    files = sorted((pathlib.Path(SAMPLES) / "exif/test").glob("*.jpg"))
    assert len(files) >= 10
    spoke = 0
    for file in files:
        spoke += bool(exifread.process_file(io.BytesIO(file.read_bytes()), details=False))
        made = published(file.read_bytes(), ".jpg")
        assert dict(exifread.process_file(io.BytesIO(made), details=True)) == {}, file.name
        with Image.open(io.BytesIO(made)) as image:
            assert image.size == size_of(file) and max(image.size) <= MOST_SIDE
    assert spoke >= 8


def corners(image: Image.Image) -> tuple[str, ...]:
    """What is nearest in each corner, from the top left clockwise."""
    wide, high = image.size
    places = ((2, 2), (wide - 3, 2), (wide - 3, high - 3), (2, high - 3))
    names = {"white": (255, 255, 255), "red": (255, 0, 0), "blue": (0, 0, 255)}
    found = []
    for place in places:
        pixel: Any = image.convert("RGB").getpixel(place)
        found.append(
            min(
                names,
                key=lambda name: sum(abs(a - b) for a, b in zip(names[name], pixel, strict=True)),
            )
        )
    return tuple(found)


# Exif 2.32, tag 274 (from memory): where the first row and the first column of the pixels are.
TURNS = {
    1: ("white", "red", "blue", "blue"),
    2: ("red", "white", "blue", "blue"),
    3: ("blue", "blue", "white", "red"),
    4: ("blue", "blue", "red", "white"),
    5: ("white", "blue", "blue", "red"),
    6: ("blue", "white", "red", "blue"),
    7: ("blue", "red", "white", "blue"),
    8: ("red", "blue", "blue", "white"),
}


@pytest.mark.parametrize("orientation", TURNS)
@pytest.mark.parametrize("format", ["JPEG", "PNG", "WEBP"])
def test_a_picture_stands_as_its_metadata_said(
    tmp_path: pathlib.Path, format: str, orientation: int
) -> None:
    content = saved(drawn(), format, exif=told(orientation))
    made = Image.open(io.BytesIO(published(content, f".{format.lower()}")))
    assert corners(made) == TURNS[orientation]
    (tmp_path / "a").write_bytes(content)
    assert made.size == size_of(tmp_path / "a")


@pytest.mark.parametrize("size", [(4000, 3000), (1281, 5), (5, 1281), (20, 10)])
def test_a_picture_is_no_larger_than_it_is_shown(
    tmp_path: pathlib.Path, size: tuple[int, int]
) -> None:
    (tmp_path / "a").write_bytes(saved(drawn(size), "JPEG"))
    made = Image.open(io.BytesIO(published((tmp_path / "a").read_bytes(), ".jpg")))
    assert max(made.size) == min(max(size), MOST_SIDE)
    assert made.size == pytest.approx(size_of(tmp_path / "a"), abs=1)


def test_colours_of_another_space_become_the_usual_ones() -> None:
    """Swapped channels: what the profile calls red is stored as something else."""
    lab = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB"))
    srgb = ImageCms.createProfile("sRGB")
    image = drawn()
    in_lab = ImageCms.profileToProfile(image, srgb, lab, outputMode="LAB")
    assert in_lab is not None
    content = saved(in_lab, "TIFF", icc_profile=lab.tobytes())
    assert content  # no browser shows TIFF, and neither do we
    with pytest.raises(UnusablePicture):
        published(content, ".jpg")
    profile = ImageCms.ImageCmsProfile(srgb).tobytes()
    made = Image.open(io.BytesIO(published(saved(image, "JPEG", icc_profile=profile), ".jpg")))
    assert corners(made) == TURNS[1]


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "I;16", "CMYK", "F"])
@pytest.mark.parametrize("ending", sorted(FORMATS))
def test_every_kind_of_pixel_is_published(mode: str, ending: str) -> None:
    format = {"CMYK": "JPEG", "F": "TIFF"}.get(mode, "PNG")
    content = saved(Image.new(mode, (8, 8)), format)
    if format == "TIFF":
        with pytest.raises(UnusablePicture, match="no picture that can be read"):
            published(content, ending)
    else:
        assert Image.open(io.BytesIO(published(content, ending))).size == (8, 8)


def test_what_shines_through_stands_on_white_where_the_format_knows_no_glass() -> None:
    content = saved(Image.new("RGBA", (8, 8), (0, 0, 0, 0)), "PNG")
    made = Image.open(io.BytesIO(published(content, ".jpg")))
    assert made.getpixel((4, 4)) == (255, 255, 255)
    kept = Image.open(io.BytesIO(published(content, ".png")))
    assert kept.convert("RGBA").getpixel((4, 4)) == (0, 0, 0, 0)


def test_of_moving_pictures_the_first_is_taken() -> None:
    frames = [Image.new("RGB", (8, 8), colour) for colour in ("red", "blue")]
    content = saved(frames[0], "GIF", save_all=True, append_images=frames[1:])
    made = Image.open(io.BytesIO(published(content, ".gif")))
    assert getattr(made, "n_frames", 1) == 1 and made.convert("RGB").getpixel((4, 4))[0] > 200  # type: ignore[index]


def bomb(pixels: int) -> bytes:
    """A PNG that says it has very many pixels, in a few hundred bytes."""

    def part(kind: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))
        )

    head = struct.pack(">IIBBBBB", pixels, pixels, 8, 2, 0, 0, 0)
    return (
        b"\x89PNG\r\n\x1a\n"
        + part(b"IHDR", head)
        + part(b"IDAT", zlib.compress(b"\0" * 999))
        + part(b"IEND", b"")
    )


BAD = {
    "nothing": b"",
    "words": b"a picture",
    "HTML": b"<html><script>alert(1)</script></html>",
    "a drawing": b"<svg xmlns='http://www.w3.org/2000/svg'/>",
    "cut off": saved(drawn((400, 300)), "JPEG")[:2000],
    "a head and no more": saved(drawn(), "PNG")[:40],
    "too many pixels": bomb(7000),
    "far too many pixels": bomb(60_000),
    "zero bytes": bytes(1000),
}


@pytest.mark.parametrize("what", BAD)
@pytest.mark.parametrize("ending", [".jpg", ".png", ".webp"])
def test_what_cannot_be_read_is_said(what: str, ending: str) -> None:
    with pytest.raises(UnusablePicture, match=r": save it (again|smaller)"):
        published(BAD[what], ending)


def test_pixels_are_counted_before_they_are_read(tmp_path: pathlib.Path) -> None:
    (tmp_path / "a.png").write_bytes(bomb(7000))
    with pytest.raises(UnusablePicture, match=f"{limits.MOST_PIXELS / 1e6:g} million pixels"):
        size_of(tmp_path / "a.png")


def test_the_same_photograph_gives_the_same_bytes() -> None:
    for ending, format in FORMATS.items():
        content = saved(drawn((300, 200)), format)
        assert published(content, ending) == published(content, ending)
