"""The one gate for paths of a site: whatever is written, linked or handed on passes here.

Paths are made from ids and keys of a library that nobody may have checked (a draft is built
despite errors), so that a page of the area `../../x` would be written outside the site.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

LONGEST_NAME = 255  # bytes: what file systems take
_UNSEEN = re.compile(r"[\x00-\x1f\x7f]")
# Names that some system takes for a device, an upper folder, a drive or another name.
_DEVICE = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?")


class LeavesTheSite(ValueError):
    """A path that is no place in a site; the message says why."""


def inside(path: str) -> str:
    """`path` where it names a file inside the site on every system: `areas/knee.html`.

    Raises:
        LeavesTheSite: it leads out of the site, or is no name that every system can hold.
    """
    if "\\" in path or ":" in path or _UNSEEN.search(path):
        raise LeavesTheSite(f"{path!r} is no path of a site: it has signs that lead elsewhere")
    for name in path.split("/"):
        if name in ("", ".", "..") or name[-1] in ". " or _DEVICE.fullmatch(name):
            raise LeavesTheSite(f"{path!r} leads out of the site, or nowhere")
        if len(name.encode("utf-8", "surrogatepass")) > LONGEST_NAME:
            raise LeavesTheSite(f"{path[:60]!r}… has a name of more than {LONGEST_NAME} bytes")
    return path


def unsafe(paths: Iterable[str]) -> list[str]:
    """Those that are no paths of a site."""
    found = []
    for path in paths:
        try:
            inside(path)
        except LeavesTheSite:
            found.append(path)
    return found
