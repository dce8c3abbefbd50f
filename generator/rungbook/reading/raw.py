"""One text file of a library, read but not yet checked against the schema."""

from __future__ import annotations

import errno
import os
import stat
from dataclasses import dataclass, field
from typing import Any

from rungbook.model.finding import Finding
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.folder import Found
from rungbook.reading.front_matter import decode, sections, split, unreadable
from rungbook.reading.markup import unsafe_markup
from rungbook.reading.places import FilePlaces
from rungbook.reading.wording import shown
from rungbook.reading.yaml_values import Read, read_yaml

_NO_WAITING = getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)


@dataclass(slots=True)
class RawFile:
    """Keys and values as written. `sound` is false where something was already reported."""

    id: str
    file: str
    folder: str | None
    values: dict[str, Any]
    places: FilePlaces
    text: dict[str, str] = field(default_factory=dict)
    body: str = ""
    body_line: int = 1
    sound: bool = True


def read_bytes(path: str, file: str, most: int = limits.MOST_BYTES) -> bytes | Finding:
    """A plain file's bytes; devices, pipes and very large files are refused."""
    try:
        # Without O_NONBLOCK, opening a pipe that nobody writes to would wait for ever.
        handle = os.open(path, os.O_RDONLY | _NO_WAITING)
        try:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode):
                return unreadable(file, "this is not a plain file: put a text file here")
            if about.st_size > most:
                size = f"{about.st_size / 1e6:.1f} MB, more than {most / 1e6:g} MB"
                return unreadable(file, f"the file is too large ({size}): split it")
            return os.read(handle, about.st_size + 1)[:most]
        finally:
            os.close(handle)
    except OSError as error:
        if error.errno == errno.ENXIO:  # a socket
            return unreadable(file, "this is not a plain file: put a text file here")
        return unreadable(
            file, f"the file cannot be read ({error.strerror}): check its permissions"
        )


def read_front_matter(
    found: Found,
    findings: list[Finding],
    exercise: str | None = None,
    ladder: str | None = None,
    read: Read = read_yaml,
) -> RawFile | None:
    """An exercise or ladder file; what is wrong with it goes to `findings`."""
    text = _text(found, limits.MOST_BYTES, findings)
    if text is None:
        return None
    findings.extend(unsafe_markup(text, found.file, exercise, ladder))
    parts = split(text, found.file)
    if isinstance(parts, Finding):
        findings.append(parts)
        return None
    body = parts.body[: limits.MOST_LETTERS]
    texts, headings, twice = sections(body, parts.body_line)
    places = FilePlaces(found.file, parts.yaml, parts.first_line, headings)
    raw = _raw(found, parts.yaml, places, limits.MOST_NODES, findings, read)
    if raw is None:
        return None
    raw.text, raw.body, raw.body_line = texts, body.strip(), parts.body_line
    if len(parts.body) > len(body):
        message = (
            f"{len(parts.body):,} letters below the keys, more than {limits.MOST_LETTERS:,}: "
            "shorten the text, or link to a longer one"
        )
        findings.append(unreadable(found.file, message, parts.body_line))
        raw.sound = False
    for heading, line in twice:
        message = f"the section '{shown(heading)}' is written twice: make one of the two"
        findings.append(Finding("wrong-value", "error", message, Place(found.file, line)))
    return raw


def read_plain(
    found: Found, most_bytes: int, most_nodes: int, findings: list[Finding]
) -> RawFile | None:
    """A file that is YAML from beginning to end."""
    text = _text(found, most_bytes, findings)
    if text is None:
        return None
    findings.extend(unsafe_markup(text, found.file, None, None))
    return _raw(found, text, FilePlaces(found.file, text), most_nodes, findings)


def _text(found: Found, most: int, findings: list[Finding]) -> str | None:
    data = read_bytes(found.path, found.file, most)
    text = decode(data, found.file) if isinstance(data, bytes) else data
    if isinstance(text, Finding):
        findings.append(text)
        return None
    return text


def _raw(
    found: Found,
    text: str,
    places: FilePlaces,
    most_nodes: int,
    findings: list[Finding],
    read: Read = read_yaml,
) -> RawFile | None:
    values, faults = read(text, most_nodes)
    for fault in faults:
        place = Place(found.file, fault.line + places.first_line, fault.column + 1)
        findings.append(Finding(fault.check, "error", fault.message, place))
    if values is None and not faults:
        values = {}
    if not isinstance(values, dict):
        if not faults:
            message = "keys with values are expected here, such as 'title: …'"
            findings.append(unreadable(found.file, message, places.first_line))
        return None
    return RawFile(found.stem, found.file, found.folder, values, places, sound=not faults)
