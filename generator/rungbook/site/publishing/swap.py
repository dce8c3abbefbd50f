"""A folder that changes as a whole: built beside its place, exchanged at the end.

At every moment the old or the new site stands. Where the system can exchange two folders in
one call (Linux) there is no moment between; elsewhere two renames follow each other, and the
next run repairs what a run killed between them left.
"""

from __future__ import annotations

import contextlib
import ctypes
import errno
import os
import pathlib
import shutil
import sys
from types import TracebackType

from filelock import FileLock, Timeout

MARKER = ".rungbook-site"
_EXCHANGE = 2  # RENAME_EXCHANGE in <linux/fs.h>
_AT_FDCWD = -100
_WORDS = {
    errno.ENOSPC: "no space is left on the disk",
    errno.EDQUOT: "the disk quota is used up",
    errno.EACCES: "permission denied",
    errno.EPERM: "permission denied",
    errno.EROFS: "the disk is read-only",
    errno.EBUSY: "the folder is in use by the system (a mount point?); build into a folder in it",
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
    """Used as a context: `new` is an empty folder beside the site; `swap` puts it in place."""

    def __init__(self, site_dir: pathlib.Path) -> None:
        self.site = pathlib.Path(os.path.realpath(site_dir))
        hidden = f".{self.site.name}.rungbook"
        self.new = self.site.with_name(f"{hidden}-new")
        self.old = self.site.with_name(f"{hidden}-old")
        self._lock = FileLock(self.site.with_name(f"{hidden}-lock"), timeout=0)

    def __enter__(self) -> Workplace:
        if self.site == self.site.parent:
            raise NotPublished("the site cannot be the root of the disk: name a folder")
        try:
            self.site.parent.mkdir(parents=True, exist_ok=True)
            self._lock.acquire()
        except Timeout:
            if not os.path.exists(self._lock.lock_file):
                raise NotPublished(
                    f"nothing can be written in {self.site.parent}: name another folder"
                ) from None
            raise NotPublished(
                f"another build is writing {self.site}: wait until it is done, then try again"
            ) from None
        except OSError as error:
            raise self._told(error) from error
        try:
            self._repair()
            self._refuse_what_is_not_ours()
            self.new.mkdir()
        except BaseException as error:
            self._lock.release()
            if isinstance(error, OSError):
                raise self._told(error) from error
            raise
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        for leftover in (self.new, self.old):
            shutil.rmtree(leftover, ignore_errors=True)
        self._lock.release()
        if isinstance(error, OSError):
            raise self._told(error) from error

    def swap(self) -> None:
        """Put the new site in the old one's place."""
        (self.new / MARKER).write_text(
            "Made by Rungbook: the next build replaces everything in this folder.\n",
            encoding="utf-8",
        )
        if not self.site.exists():
            self.new.rename(self.site)
        elif not _exchange(self.new, self.site):
            self.site.rename(self.old)
            self.new.rename(self.site)

    def _repair(self) -> None:
        """Clean up after a run that was killed."""
        if self.old.exists() and not self.site.exists():
            self.old.rename(self.site)
        for leftover in (self.new, self.old):
            if leftover.exists():
                shutil.rmtree(leftover)

    def _refuse_what_is_not_ours(self) -> None:
        if not self.site.exists():
            return
        if not self.site.is_dir():
            raise NotPublished(f"{self.site} is a file: name a folder for the site")
        with contextlib.suppress(StopIteration):
            next(self.site.iterdir())
            if not (self.site / MARKER).is_file():
                raise NotPublished(
                    f"{self.site} holds files that no build of Rungbook made ({MARKER} is not "
                    "in it): choose an empty or a new folder, or empty this one yourself"
                )

    def _told(self, error: OSError) -> NotPublished:
        words = _WORDS.get(error.errno or 0, error.strerror or str(error))
        where = f"{error.filename}: " if error.filename else ""
        return NotPublished(f"{where}{words}. The site in {self.site} is as it was.")
