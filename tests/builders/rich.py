"""Sound files that use every kind of field, and the same with an odd value in any one spot."""

from __future__ import annotations

import copy
import functools
import operator
import pathlib
from collections.abc import Iterator
from typing import Any

import yaml

from builders.reading import sound_library

RICH = {
    "title": "Raise", "area": "calf", "also-called": ["x"], "sides": "one", "position": "sitting",
    "incline": 5, "posture": {"knee": {"flexion": 5}}, "works": ["ankle plantarflexion"],
    "movement": [{"ankle": {"plantarflexion": [0, 30]}}], "stride": "0.5 m", "front": "other",
    "contacts": [{"at": "hands", "surface": "counter", "height": "1 m", "share": "5 %"},
                 {"at": "foot", "surface": "other-foot", "thickness": "0.1 m"}],
    "follows": ["hip abduction"], "arms": "crossed",
    "assist": [{"at": "foot", "by": "towel", "share": "50 %"}],
    "resistance": [
        {"band": {"start": "1 N", "end": "9 N"}, "at": "foot", "pulls": {"toward": "hip"}},
    ],
    "dose": {"sets": 3, "reps": "8-12", "up": "2 s", "sessions": "3 per week"},
    "equipment": ["counter"], "cautions": ["repair"], "sources": ["book"],
    "measured": [{"works": "ankle plantarflexion", "value": "1 Nm/kg", "source": "book"}],
    "pictures": [{"file": "x.jpg", "alt": "x"}], "reviewed": {"date": "2026-05-01", "by": "x"},
    "back-off": ["x"], "progressions": [{"to": "hop", "when": ["x"], "after": "2 weeks"}],
    "accepts": [{"check": "single-way", "because": "x", "until": "2027-01-01"}],
    "variation-of": "hop",
}  # fmt: skip
RICH_FILES: dict[str, dict[str, Any]] = {
    "exercises/calf/rich.md": RICH,
    "ladders/rich.md": {
        "title": "L", "works": "knee extension", "condition": "tendon", "goal": "hop",
        "goal-met": ["x"], "entries": {"high": "raise"}, "restrictions": ["hip"],
        "pain-rule": {"during": 3, "source": "book"}, "limits": {"demand": 1.4}, "accepts": [],
    },
    "library.yml": {
        "name": "x", "language": "en", "person": {"mass": "70 kg", "body": "male"},
        "limits": {"bearing": "30 %"}, "levers": ["range"], "review": {"every": "2 years"},
        "flare-up": [{"lasts": "x", "do": "y", "source": "book"}], "pain-rule": {"during": 5},
        "site": {"url": "https://example.org"}, "checks": {"single-way": "off"},
    },
    "vocabulary/restrictions.yml": {
        "hip": {"title": "x", "never": [{"hip": {"flexion": "over 9"}}]},
    },
    "vocabulary/equipment.yml": {"counter": "x", "towel": {"title": "x", "assists": "felt"}},
    "vocabulary/sources.yml": {"book": {"title": "x", "year": 2001, "doi": "10.1000/1"}},
}  # fmt: skip
ODD: list[Any] = [None, True, 7, -1.5, "", "x", "9 kg", [], ["x"], [["x"]], {}, {"x": "y"}, [{}]]


RICH_KINDS = {
    "exercises/calf/rich.md": "exercise",
    "ladders/rich.md": "ladder",
    "library.yml": "library",
    "vocabulary/restrictions.yml": "restrictions",
    "vocabulary/equipment.yml": "equipment",
    "vocabulary/sources.yml": "sources",
}


def spots(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, item in items:
        yield (*path, key)
        if isinstance(item, (dict, list)):
            yield from spots(item, (*path, key))


def odd_versions(file: str) -> Iterator[tuple[tuple[str | int, ...], dict[str, Any]]]:
    """Each spot of a file with each odd value in it."""
    for path in spots(RICH_FILES[file]):
        for odd in ODD:
            keys = copy.deepcopy(RICH_FILES[file])
            functools.reduce(operator.getitem, path[:-1], keys)[path[-1]] = odd  # type: ignore[index]
            yield path, keys


def as_file(name: str, keys: dict[str, Any]) -> str:
    """The text of a file with these keys."""
    text = yaml.safe_dump(keys, sort_keys=False)
    return f"---\n{text}---\n" if name.endswith(".md") else text


def rich_library(root: pathlib.Path) -> pathlib.Path:
    """A folder with all rich files, sound."""
    texts: dict[str, str | bytes] = {name: as_file(name, keys) for name, keys in RICH_FILES.items()}
    return sound_library(root, files={**texts, "pictures/x.jpg": b"x"}).root
