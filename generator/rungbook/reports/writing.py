"""Writes a report so that the old file or the new one stands whole, never a part."""

from __future__ import annotations

import os
import pathlib
import tempfile


def write(path: pathlib.Path, text: str) -> None:
    """Write `text` as UTF-8 to `path`, beside it first, then in its place.

    Raises:
        OSError: the folder does not exist or cannot be written to.
    """
    try:
        handle, beside = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(beside, 0o666 & ~mask)
        os.replace(beside, path)
    except BaseException:
        os.unlink(beside)
        raise
