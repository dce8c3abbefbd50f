"""A folder that changes as a whole: built beside its place, exchanged at the end.

At every moment the old or the new site stands. Where the system can exchange two folders in
one call (Linux) there is no moment between; elsewhere two renames follow each other, and the
next run repairs what a run killed between them left. A list in the site (`MARKER`) names the
files that a build made; only these are ever replaced or removed.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import pathlib
import shutil
import stat
import sys
from collections.abc import Iterator

from rungbook.pipeline.lock import Held, held
from rungbook.site.publishing.foreign import MARKER, InTheWay, carry_over, made_by_us, note_made

_EXCHANGE = 2  # RENAME_EXCHANGE in <linux/fs.h>
_AT_FDCWD = -100
_WORDS = {
    errno.ENOSPC: "no space is left on the disk",
    errno.EDQUOT: "the disk quota is used up",
    errno.EACCES: "permission denied",
    errno.EPERM: "permission denied",
    errno.EROFS: "the disk is read-only",
    errno.EBUSY: "the folder is in use by the system (a mount point?); build into a folder in it",
    errno.ENAMETOOLONG: "the name is longer than the disk can hold: name another folder",
}


class NotPublished(Exception):
    """The site stays as it was; the message says why and what to do."""


def _exchange(one: pathlib.Path, other: pathlib.Path) -> bool:
    """Exchange two folders in one step; False where the system cannot."""
    if not sys.platform.startswith("linux"):
        return False
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    if renameat2(_AT_FDCWD, os.fsencode(one), _AT_FDCWD, os.fsencode(other), _EXCHANGE) == 0:
        return True
    number = ctypes.get_errno()
    if number in (errno.ENOSYS, errno.EINVAL, errno.ENOTSUP):
        return False
    raise OSError(number, os.strerror(number), str(other))


class Workplace:
    """`new` is an empty folder beside the site, while it is open; `swap` puts it in place."""

    def __init__(self, site: pathlib.Path) -> None:
        self.site = site
        hidden = f".{site.name}.rungbook"
        self.new, self.old, self.lock = (
            site.with_name(f"{hidden}-{what}") for what in ("new", "old", "lock")
        )

    def swap(self) -> tuple[str, ...]:
        """Put the new site in the old one's place; returns what is kept and no build made.

        Raises:
            NotPublished: a file of somebody else lies where the new site has one of its own.
        """
        note_made(self.new)
        if not self.site.exists():
            self.new.rename(self.site)
            return ()
        try:
            kept = carry_over(self.site, self.new)
        except InTheWay as path:
            raise NotPublished(
                f"no build made {self.site / str(path)}, and the new site has a file of that name: "
                "move it away. The site is as it was."
            ) from None
        self.new.chmod(stat.S_IMODE(self.site.stat().st_mode))
        if not _exchange(self.new, self.site):
            self.site.rename(self.old)
            self.new.rename(self.site)
        return kept

    def concerns(self, file: str | bytes) -> bool:
        """Whether a file lies in the site, old or new, or the site lies in it."""
        path = os.fsdecode(file)
        ours = (self.site, self.new, self.old, self.lock)
        return any(f"{path}/".startswith(f"{one}/") for one in ours) or (
            self.site.is_relative_to(path)
        )

    def repair(self) -> None:
        """Clean up after a run that was killed."""
        if self.old.exists() and not self.site.exists():
            self.old.rename(self.site)
        self.clear()

    def clear(self) -> None:
        """Remove what is left beside the site."""
        for leftover in (self.new, self.old):
            shutil.rmtree(leftover, ignore_errors=True)


@contextlib.contextmanager
def workplace(site_dir: pathlib.Path, apart: pathlib.Path | None = None) -> Iterator[Workplace]:
    """A place to build the site in `site_dir`; `apart` is the library, which no site may touch.

    Raises:
        NotPublished: the folder cannot be that of a site, or holds files that no build made;
            another build is writing it; no room or no permission. The old site is untouched.
    """
    site = pathlib.Path(os.path.realpath(site_dir))
    _refuse(site, pathlib.Path(os.path.realpath(apart)) if apart else None)
    place = Workplace(site)
    try:
        site.parent.mkdir(parents=True, exist_ok=True)
        with held(place.lock):
            place.repair()
            _refuse(site, None)
            place.new.mkdir()
            try:
                yield place
            finally:
                place.clear()
    except Held:
        raise NotPublished(
            f"another build is writing {site}: wait until it is done, then try again"
        ) from None
    except OSError as error:
        if error.filename is not None and not place.concerns(os.fspath(error.filename)):
            raise  # a file of the program's own is missing: that is no fault of this folder
        words = _WORDS.get(error.errno or 0, error.strerror or str(error))
        where = f"{error.filename}: " if error.filename else ""
        raise NotPublished(f"{where}{words}. The site in {site} is as it was.") from error


def _refuse(site: pathlib.Path, apart: pathlib.Path | None) -> None:
    """Raises NotPublished where this can be no site's folder; nothing is written for that."""
    if site == site.parent:
        raise NotPublished("the site cannot be the root of the disk: name a folder")
    if apart is not None and (site.is_relative_to(apart) or apart.is_relative_to(site)):
        raise NotPublished(f"{site} lies in the library, or holds it: name a folder beside it")
    try:
        anything = next(site.iterdir(), None)
    except FileNotFoundError:
        return
    except NotADirectoryError:
        raise NotPublished(f"{site} is a file: name a folder for the site") from None
    except OSError as error:
        raise NotPublished(f"{site} cannot be looked into: {error.strerror}") from None
    if anything is not None and made_by_us(site) is None:
        raise NotPublished(
            f"{site} holds files that no build of Rungbook made ({MARKER} is not in it, or does "
            "not say which): choose an empty or a new folder, or empty this one yourself"
        )
