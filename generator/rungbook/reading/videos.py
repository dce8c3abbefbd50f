"""Short silent videos of the clinic's own, as they are published: the pictures and no more.

Telephones write place, day and device into their videos. An MP4 file is a tree of boxes and a
WebM file a tree of elements, each with its kind and length; those that a player needs for the
pictures stay byte for byte, and all others are overwritten with nothing, so that nothing moves.
What an encoder puts into the stream of pictures itself is not looked at.

ISO/IEC 14496-12 for the boxes, RFC 8794 and RFC 9559 for the elements (from memory).
"""

from __future__ import annotations

import struct
from collections.abc import Iterator
from dataclasses import dataclass, field

from rungbook.reading import limits
from rungbook.reading.pictures import UnusablePicture

_MOST_PARTS = 100_000
# Boxes that hold others, and those whose content is kept; a moment of creation is overwritten.
_HOLDS = frozenset({b"moov", b"trak", b"edts", b"mdia", b"minf", b"dinf", b"stbl", b"mvex",
                    b"moof", b"traf"})  # fmt: skip
_KEPT = frozenset({
    b"ftyp", b"mdat", b"mvhd", b"tkhd", b"elst", b"mdhd", b"hdlr", b"vmhd", b"nmhd", b"dref",
    b"stsd", b"stts", b"ctts", b"cslg", b"stss", b"stsc", b"stsz", b"stz2", b"stco", b"co64",
    b"sdtp", b"mehd", b"trex", b"mfhd", b"tfhd", b"tfdt", b"trun", b"sidx", b"styp",
})  # fmt: skip
_DATED = frozenset({b"mvhd", b"tkhd", b"mdhd"})
_MASTERS = frozenset({0x18538067, 0x1549A966, 0x1654AE6B, 0xAE, 0xE0, 0x1F43B675, 0xA0, 0x55B0})
_SEGMENT_KEPT = frozenset({
    0x1A45DFA3, 0x2AD7B1, 0x4489, 0xD7, 0x73C5, 0x83, 0xB9, 0x88, 0x55AA, 0x9C, 0x86, 0x63A2,
    0x23E383, 0x56AA, 0x56BB, 0x9A, 0x53B8, 0x53C0, 0xB0, 0xBA, 0x54B0, 0x54BA, 0x54B2, 0x54B3,
    0x55B1, 0x55B2, 0x55B3, 0x55B4, 0x55B5, 0x55B6, 0x55B7, 0x55B8, 0x55B9, 0x55BA, 0x55BB, 0x55BC,
    0xE7, 0xA3, 0xA1, 0xFB, 0x9B, 0xA7, 0xAB, 0x1C53BB6B, 0xEC,
})  # fmt: skip
_DURATION, _SCALE, _TRACK_TYPE, _WIDTH, _HEIGHT = 0x4489, 0x2AD7B1, 0x83, 0xB0, 0xBA
_TIMECODE, _VOID, _UNKNOWN = 0xE7, 0xEC, -1


@dataclass(slots=True)
class _Seen:
    """What the walk through a file came by. Times in seconds, sizes in pixels."""

    pictures: int = 0
    others: int = 0
    seconds: float = 0.0
    scale: int = 0  # units of time a second
    track_scale: int = 0
    ticks: int = 0  # of the track's time, in fragments
    tick: int = 0  # of one picture, where none says its own
    size: tuple[int, int] = (0, 0)
    blanks: list[tuple[int, int]] = field(default_factory=list)  # where to write zeros


@dataclass(frozen=True, slots=True)
class Video:
    """A video fit to be published."""

    content: bytes
    size: tuple[int, int]
    seconds: float


def published(content: bytes, ending: str) -> Video:
    """The video with nothing but its pictures.

    Raises:
        UnusablePicture: it is none, or damaged, has sound, is too long or too large.
    """
    if len(content) > limits.MOST_VIDEO_BYTES:
        most = f"{limits.MOST_VIDEO_BYTES / 1e6:g} MB"
        raise UnusablePicture(f"it is larger than {most}: cut it, or save it smaller")
    data = bytearray(content)
    seen = _Seen()
    try:
        (_mp4 if ending.lower() == ".mp4" else _webm)(data, seen)
    except (struct.error, IndexError, ValueError, OverflowError):
        raise UnusablePicture("it is damaged, or not what its ending says: save it again") from None
    if seen.others:
        raise UnusablePicture("it has a track of sound, text or places: save it without any")
    if seen.pictures != 1:
        raise UnusablePicture("it has no track of pictures, or several: save it again")
    if not 0 < seen.seconds <= limits.MOST_VIDEO_S:
        raise UnusablePicture(
            f"it does not say that it is {limits.MOST_VIDEO_S:g} s or less: cut it"
        )
    if min(seen.size) < 1:
        raise UnusablePicture("it does not say how large its pictures are: save it again")
    for start, end in seen.blanks:
        data[start:end] = bytes(end - start)
    return Video(bytes(data), seen.size, seen.seconds)


def _mp4(data: bytearray, seen: _Seen) -> None:
    if data[4:8] != b"ftyp":
        raise ValueError
    waiting = [(0, len(data))]
    for count, (start, end) in enumerate(waiting):
        if count > _MOST_PARTS:
            raise ValueError
        for kind, at, inside, after in _boxes(data, start, end):
            if kind in _HOLDS:
                waiting.append((inside, after))
            elif kind not in _KEPT:
                data[at + 4 : at + 8] = b"free"
                seen.blanks.append((inside, after))
            else:
                _box(data, kind, inside, after, seen)
    if seen.track_scale:
        seen.seconds = max(seen.seconds, seen.ticks / seen.track_scale)


def _boxes(data: bytearray, start: int, end: int) -> Iterator[tuple[bytes, int, int, int]]:
    """Kind, where it starts, where its content begins and ends, of each box after the other."""
    while start < end:
        size, kind = struct.unpack_from(">I4s", data, start)
        inside = start + 8
        if size == 1:
            (size,) = struct.unpack_from(">Q", data, inside)
            inside += 8
        after = end if size == 0 else start + size
        if not inside <= after <= end:
            raise ValueError
        yield bytes(kind), start, inside, after
        start = after


def _box(data: bytearray, kind: bytes, inside: int, after: int, seen: _Seen) -> None:
    if kind in _DATED:
        wide = data[inside] == 1
        first = inside + 4
        data[first : first + (16 if wide else 8)] = bytes(16 if wide else 8)
        if kind == b"mvhd":
            at = first + (16 if wide else 8)
            scale, length = struct.unpack_from(">IQ" if wide else ">II", data, at)
            seen.scale = scale
            seen.seconds = max(seen.seconds, length / scale) if scale else 0.0
        elif kind == b"mdhd":
            (seen.track_scale,) = struct.unpack_from(">I", data, first + (16 if wide else 8))
        elif kind == b"tkhd":
            width, height = struct.unpack_from(">II", data, after - 8)
            seen.size = max(seen.size, (width >> 16, height >> 16))
    elif kind == b"mehd":
        wide = data[inside] == 1
        (length,) = struct.unpack_from(">Q" if wide else ">I", data, inside + 4)
        seen.seconds = max(seen.seconds, length / seen.scale) if seen.scale else 0.0
    elif kind == b"dref" and not (data[inside + 7] == 1 and data[inside + 19] & 1):
        raise ValueError  # the pictures would lie in another file
    elif kind in (b"trex", b"tfhd", b"trun"):
        seen.ticks += _fragment(data, kind, inside, seen)
    elif kind == b"hdlr":
        if bytes(data[inside + 8 : inside + 12]) == b"vide":
            seen.pictures += 1
        else:
            seen.others += 1
        seen.blanks.append((inside + 24, after))  # the handler's name


def _fragment(data: bytearray, kind: bytes, inside: int, seen: _Seen) -> int:
    """How many units of time the pictures of a fragment last."""
    (flags,) = struct.unpack_from(">I", data, inside)
    if kind == b"trex":
        (seen.tick,) = struct.unpack_from(">I", data, inside + 12)
    elif kind == b"tfhd" and flags & 8:
        at = inside + 8 + (8 if flags & 1 else 0) + (4 if flags & 2 else 0)
        (seen.tick,) = struct.unpack_from(">I", data, at)
    elif kind == b"trun":
        (count,) = struct.unpack_from(">I", data, inside + 4)
        if not flags & 0x100:
            return int(count * seen.tick)
        at = inside + 8 + (4 if flags & 1 else 0) + (4 if flags & 4 else 0)
        step = 4 * bin(flags & 0xF00).count("1")
        return sum(
            struct.unpack_from(">I", data, at + n * step)[0] for n in range(min(count, _MOST_PARTS))
        )
    return 0


def _webm(data: bytearray, seen: _Seen) -> None:
    if data[:4] != b"\x1a\x45\xdf\xa3":
        raise ValueError
    scale, length, last = 1_000_000, 0.0, 0
    for id, start, inside, after in _elements(data):
        if id in _MASTERS:
            continue
        if id not in _SEGMENT_KEPT:
            _make_void(data, start, inside, after)
            continue
        if id == _SCALE:
            scale = int.from_bytes(data[inside:after], "big")
        elif id == _DURATION:
            (length,) = struct.unpack(">d" if after - inside == 8 else ">f", data[inside:after])
        elif id == _TIMECODE:
            last = max(last, int.from_bytes(data[inside:after], "big"))
        elif id == _TRACK_TYPE:
            pictures = int.from_bytes(data[inside:after], "big") == 1
            seen.pictures += pictures
            seen.others += not pictures
        elif id in (_WIDTH, _HEIGHT):
            number = int.from_bytes(data[inside:after], "big")
            seen.size = (number, seen.size[1]) if id == _WIDTH else (seen.size[0], number)
    # What a browser has recorded does not say how long it is; the last cluster's time does.
    seen.seconds = max(length, last + 1) * scale / 1e9


def _elements(data: bytearray) -> Iterator[tuple[int, int, int, int]]:
    """Id, where it starts, where its content begins and ends; masters are entered."""
    at, count = 0, 0
    while at < len(data):
        count += 1
        if count > _MOST_PARTS:
            raise ValueError
        start = at
        id, at = _number(data, at, marker=True)
        size, at = _number(data, at, marker=False)
        after = len(data) if size == _UNKNOWN else at + size
        if after > len(data) or (size == _UNKNOWN and id not in _MASTERS):
            raise ValueError
        yield id, start, at, after
        at = at if id in _MASTERS else after


def _number(data: bytearray, at: int, marker: bool) -> tuple[int, int]:
    """A number of variable length, and where it ends; an id keeps the bit that says its length."""
    first = data[at]
    width = 9 - first.bit_length()
    if width > 8 or at + width > len(data):
        raise ValueError
    value = int.from_bytes(data[at : at + width], "big")
    if marker:
        return value, at + width
    value -= 1 << (7 * width)
    return (_UNKNOWN if value == (1 << (7 * width)) - 1 else value), at + width


def _make_void(data: bytearray, start: int, inside: int, after: int) -> None:
    """An element of the same length that says nothing."""
    width = 8 if after - start >= 9 else 1
    size = after - start - 1 - width
    mark = (1 << (7 * width)) | size
    data[start] = _VOID
    data[start + 1 : start + 1 + width] = mark.to_bytes(width, "big")
    data[start + 1 + width : after] = bytes(size)
