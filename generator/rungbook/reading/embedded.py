"""Folders within a library that git would take for a repository of its own.

git takes a folder with `HEAD` and either `objects` and `refs` or `commondir` for a repository and
runs what its `config` names, for anybody who calls git in that folder or below it. All of these
are plain files that anybody can put into a change; only an entry `.git` cannot be, so that one may
stand at the top of a library that is a repository itself.
"""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterator

from rungbook.model.finding import Finding
from rungbook.model.place import Place
from rungbook.reading import limits
from rungbook.reading.wording import shown


def embedded_repositories(root: pathlib.Path) -> Iterator[Finding]:
    """A finding for each such folder; links are not followed, for nothing is read through them."""
    waiting = [(os.fspath(root), "")]
    for count, (path, name) in enumerate(waiting):
        if count > limits.MOST_FOLDERS:
            message = f"more than {limits.MOST_FOLDERS} folders in the library: move others out"
            yield Finding("unreadable-file", "error", message, Place(shown(name)))
            return
        try:
            entries = list(os.scandir(path))
        except OSError:
            continue  # told where it is read
        # Not every file system tells `HEAD` from `head`.
        names = {entry.name.casefold() for entry in entries}
        if "head" in names and ("commondir" in names or {"objects", "refs"} <= names):
            message = (
                "git takes this folder for a repository and runs what its config says: "
                "remove HEAD, config, objects and refs"
            )
            yield Finding("unsafe-path", "error", message, Place(shown(name, 200) or "."))
            continue
        waiting.extend(
            (entry.path, f"{name}/{entry.name}" if name else entry.name)
            for entry in entries
            if entry.is_dir(follow_symlinks=False) and (name or entry.name != ".git")
        )
