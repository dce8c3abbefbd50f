"""A sound exercise as text, and what reading finds when a line of it is changed."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping

from builders.library import Written, library_folder
from rungbook.model.library import Library
from rungbook.reading.read import read_library

SOUND = """\
---
title: Heel raise
area: calf
sides: both
position: standing
works: ankle plantarflexion
movement: [{ankle: {plantarflexion: [0, 30]}}]
contacts:
  - {at: forefeet, surface: floor}
  - {at: hands, surface: counter, share: 5 %}
dose: {sets: 3, reps: 12, up: 2 s, rest: 60 s, sessions: 3 per week}
equipment: [counter]
cautions: [repair]
sources: [book]
progressions:
  - {to: hop, when: [3 sets of 15], sources: [book]}
---
## Do
Rise.
"""
HOP = {
    "title": "Hop",
    "works": "ankle plantarflexion",
    "ballistic": True,
    "impact": "both feet",
    "measured": [{"works": "ankle plantarflexion", "value": "2 Nm/kg", "source": "book"}],
}
LADDER = """\
---
title: Calf loading
goal: hop
entries: {high: raise, low: raise}
---
For calves.
"""
VOCABULARY: Mapping[str, Written] = {
    "areas": "calf: Calf\n",
    "cautions": "repair: Recent repair\n",
    "equipment": "counter: Counter\ntowel: {title: Towel, assists: felt}\n",
    "sources": "book: A book\n",
}


def sound_library(
    root: pathlib.Path,
    exercises: Mapping[str, Written] | None = None,
    ladders: Mapping[str, Written] | None = None,
    settings: Written = "name: Test\n",
    vocabulary: Mapping[str, Written] | None = None,
    files: Mapping[str, str | bytes] | None = None,
) -> Library:
    """Reads a small sound library with the given files added or put in place of its own."""
    folder = library_folder(
        root,
        {"calf/raise": SOUND, "calf/hop": HOP, **(exercises or {})},
        {"calf": LADDER, **(ladders or {})},
        settings,
        {**VOCABULARY, **(vocabulary or {})},
        files,
    )
    return read_library(folder)


def changed(old: str, new: str, text: str = SOUND) -> str:
    """The text with one change, which must be possible."""
    assert text.count(old) == 1, f"{old!r} is there {text.count(old)} times"
    return text.replace(old, new)


def told(library: Library) -> list[str]:
    """Findings as `file:line:column check message`, those of the sound exercise's file short."""
    return [
        f"{str(finding.place).removeprefix('exercises/calf/')} {finding.check}: {finding.message}"
        for finding in library.findings
    ]
