"""A small library, and a second one that builds on it, side by side in one repository."""

from __future__ import annotations

import pathlib

from rungbook.checks.explanation import files_of

NATIONAL = """[library.yml]
name: National library
person: {mass: 80 kg}
limits: {demand: 1.5, volume: 2}
site: {url: "https://national.example"}
[vocabulary/cautions.yml]
fever: Fever
[vocabulary/equipment.yml]
counter: Kitchen counter
[exercises/calf/low.md]
title: Low
position: standing
works: ankle plantarflexion
movement: [{ankle: {plantarflexion: [0, 30]}}]
contacts: [{at: forefeet, surface: floor}, {at: hands, surface: counter, height: 0.9 m, share: 30 %}]
cautions: [fever]
back-off: [pain above 5 of 10]
dose: {sets: 3, reps: 12, up: 2 s, down: 2 s, sessions: 3 per week}
progressions: [{to: middle, when: [3 sets of 15]}]
[exercises/calf/middle.md]
title: Middle
variation-of: low
contacts: [{at: forefeet, surface: floor}, {at: hands, surface: counter, height: 0.9 m, share: 15 %}]
progressions: [{to: high, when: [3 sets of 15]}]
[exercises/calf/high.md]
title: High
variation-of: middle
contacts: [{at: forefeet, surface: floor}]
[ladders/calf.md]
title: Calf
goal: high
standard: high
pain-rule: {during: 3, source: common practice}
entries: {high: low}
"""
CLINIC = """[library.yml]
extends: ../national
person: {stature: 1.6 m}
[vocabulary/equipment.yml]
rail: Rail
"""


def side_by_side(
    root: pathlib.Path, clinic: str = CLINIC, national: str = NATIONAL
) -> pathlib.Path:
    """Writes both below `root`, which counts as a repository; returns the clinic's folder."""
    for name, written in (("national", national), ("clinic", clinic)):
        write(root / name, written)
    (root / ".git").mkdir(exist_ok=True)
    return root / "clinic"


def write(folder: pathlib.Path, written: str) -> pathlib.Path:
    """Writes files in the notation of the checks' examples."""
    for path, text in {"library.yml": "", **files_of(written)}.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8")
    return folder
