"""Writes a report so that the old file or the new one stands whole, never a part."""

from __future__ import annotations

import os
import pathlib
import tempfile


def write(path: pathlib.Path, content: str | bytes) -> None:
    """Write text as UTF-8, or bytes, to `path`: beside it first, then in its place.

    A link stays a link; what is no plain file (a terminal, a pipe) is written to as it is.

    Raises:
        OSError: the folder does not exist or cannot be written to.
    """
    data = content.encode() if isinstance(content, str) else content
    target = path.resolve()
    if target.exists() and not target.is_file():
        target.write_bytes(data)
        return
    try:
        handle, beside = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        mask = os.umask(0)
        os.umask(mask)
        os.chmod(beside, 0o666 & ~mask)
        os.replace(beside, target)
    except BaseException:
        os.unlink(beside)
        raise
