"""Which files of a library have changed since another run."""

from __future__ import annotations

import hashlib
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from rungbook.reading.folder import Found, Listing
from rungbook.reading.limits import MOST_PICTURE_BYTES
from rungbook.reading.raw import read_bytes

# A file written this shortly before it was looked at may be written again without its times
# changing, on file systems that count in seconds; its content is compared then.
_RACE_NS = 2_000_000_000


class Stamp(NamedTuple):
    """A file as it was: size, times in ns, inode, and a digest of its content."""

    size: int
    modified_ns: int
    changed_ns: int
    inode: int
    digest: str


# Of a file that was written while it was read: nobody knows what of it was read.
_WRITTEN_MEANWHILE = Stamp(-1, 0, 0, 0, "written meanwhile")
_NOT_THERE = (-1, 0, 0, 0)


def _seen(path: str) -> tuple[int, int, int, int]:
    try:
        about = os.stat(path)
    except OSError:
        return _NOT_THERE
    return about.st_size, about.st_mtime_ns, about.st_ctime_ns, about.st_ino


def _digest(path: str) -> str:
    data = read_bytes(path, path, MOST_PICTURE_BYTES)
    return hashlib.blake2b(data, digest_size=16).hexdigest() if isinstance(data, bytes) else ""


def _stamp(path: str, known: Stamp | None, taken_ns: int) -> Stamp:
    """The stamp of a file; its digest is taken over from `known` where nothing can have changed."""
    seen = _seen(path)
    if known is not None and seen == known[:4] and max(seen[1:3]) < taken_ns - _RACE_NS:
        return known
    return Stamp(*seen, "" if seen == _NOT_THERE else _digest(path))


@dataclass(frozen=True)
class Snapshot:
    """The files of a library at `taken_ns`: those of exercises and ladders, and all others.

    `unread` is a digest of what was found about files and folders that are not even opened.
    """

    records: Mapping[str, Stamp]
    others: Mapping[str, Stamp]
    unread: str
    taken_ns: int

    def as_data(self) -> dict[str, Any]:
        """JSON-ready."""
        return {
            "taken_ns": self.taken_ns,
            "unread": self.unread,
            "records": dict(self.records),
            "others": dict(self.others),
        }

    def is_as_seen_in(self, before: Snapshot) -> bool:
        """Whether no file had to be looked into."""
        return all(
            stamp is earlier.get(file)
            for these, earlier in ((self.records, before.records), (self.others, before.others))
            for file, stamp in these.items()
        )

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Snapshot:
        """From what `as_data` gave."""
        records, others = (
            {file: Stamp(*stamp) for file, stamp in data[kind].items()}
            for kind in ("records", "others")
        )
        return cls(records, others, data["unread"], data["taken_ns"])


def _found(listing: Listing) -> Iterator[tuple[str, str]]:
    yield from ((one.file, one.path) for one in listing.vocabulary)
    yield from ((f"pictures/{name}", path) for name, path in listing.pictures.items())
    if listing.settings is not None:
        yield listing.settings.file, listing.settings.path
    for base in listing.bases:
        yield base.settings.file, base.settings.path
    yield from ((one.file, one.path) for one in (*listing.hidden, *listing.replaced))


def records(listing: Listing) -> list[Found]:
    """The files of exercises and ladders."""
    return [*listing.exercises, *listing.ladders]


def take(listing: Listing, before: Snapshot | None, now_ns: int) -> Snapshot:
    """A snapshot of the listed files; content is read only where it may differ from `before`."""
    taken_ns = before.taken_ns if before is not None else 0
    known = before.records if before is not None else {}
    others = before.others if before is not None else {}
    return Snapshot(
        {one.file: _stamp(one.path, known.get(one.file), taken_ns) for one in records(listing)},
        {file: _stamp(path, others.get(file), taken_ns) for file, path in _found(listing)},
        _unread(listing),
        now_ns,
    )


def as_read(files: Snapshot, listing: Listing) -> Snapshot:
    """A snapshot once the files were read: one that was written meanwhile counts as changed."""

    def still(stamp: Stamp, path: str) -> Stamp:
        return stamp if _seen(path) == stamp[:4] else _WRITTEN_MEANWHILE

    return replace(
        files,
        records={one.file: still(files.records[one.file], one.path) for one in records(listing)},
        others={file: still(files.others[file], path) for file, path in _found(listing)},
    )


def _unread(listing: Listing) -> str:
    told = repr((listing.findings, sorted(listing.misnamed), sorted(listing.left_out)))
    return hashlib.blake2b(told.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()


def changed(before: Snapshot, after: Snapshot) -> list[str] | None:
    """The exercise and ladder files with other content; None where anything else has changed."""
    if before.records.keys() != after.records.keys() or before.others.keys() != after.others.keys():
        return None
    if before.unread != after.unread:
        return None
    if any(stamp.digest != after.others[file].digest for file, stamp in before.others.items()):
        return None
    return [
        file for file, stamp in before.records.items() if stamp.digest != after.records[file].digest
    ]
