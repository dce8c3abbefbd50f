"""A small library, analysed and published, in one line."""

from __future__ import annotations

import datetime
import pathlib
from typing import Any

from builders.library import library_folder
from rungbook.pipeline.analyse import Analysis, analyse
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.contents import all_pages
from rungbook.site.pages.render import whole_page

TODAY = datetime.date(2026, 11, 25)

ARM = {
    "sides": "one",
    "position": "standing",
    "works": "shoulder flexion",
    "dose": {"sets": 3, "reps": 10, "up": "2 s", "down": "2 s", "sessions": "3 per week"},
    "back-off": ["pain above 5 of 10"],
    "reviewed": {"date": "2026-05-01", "by": "Senior physiotherapist"},
}


def raise_arm(title: str, to: str | None = None, up_to: int = 90, **keys: Any) -> dict[str, Any]:
    """An exercise that raises the straight arm, with a progression to `to`."""
    steps = [{"to": to, "when": ["3 sets of 12", "pain 2 of 10 or less"]}] if to else []
    return {
        **ARM,
        "title": title,
        "movement": [{"shoulder": {"flexion": [0, up_to]}}],
        **({"progressions": steps} if steps else {}),
        **keys,
    }


def analysis(root: pathlib.Path, **written: Any) -> Analysis:
    """A library below `root` (see `library_folder`), analysed."""
    return analyse(library_folder(root, **written), TODAY)


def pages(found: Analysis) -> dict[str, str]:
    """Every page of the site: path -> HTML."""
    catalogue = Catalogue(found, draft=bool(found.counts["error"]))
    return {page.path: whole_page(page, catalogue) for page in all_pages(catalogue)}
