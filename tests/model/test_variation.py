"""A variation made in memory is what one that is read from its file would be."""

from __future__ import annotations

import pathlib

from rungbook.model.variation import NOT_TAKEN_OVER, variation
from rungbook.reading.read import read_library

BASE = """---
title: Heel raise
also-called: [calf raise]
position: standing
works: ankle plantarflexion
movement: [{ankle: {plantarflexion: [0, 30]}}]
progressions: [{to: other, when: [3 sets of 15]}]
---
"""
VARIED = """---
title: Heel raise, short
variation-of: heel-raise
draft: computed, not reviewed
movement: [{ankle: {plantarflexion: [0, 10]}}]
---
"""


def test_a_variation_in_memory_is_the_one_its_file_would_make(tmp_path: pathlib.Path) -> None:
    (tmp_path / "exercises").mkdir()
    (tmp_path / "library.yml").write_text("name: Test\n")
    for name, text in {"heel-raise": BASE, "short": VARIED}.items():
        (tmp_path / "exercises" / f"{name}.md").write_text(text)
    exercises = read_library(tmp_path).exercises
    read = exercises["short"]
    made = variation(exercises["heel-raise"], "short", read.title, movement=read.movement)
    assert made.model_copy(update={"source": read.source}) == read
    assert exercises["heel-raise"].also_called and not made.also_called
    assert all(getattr(read, name) == empty for name, empty in NOT_TAKEN_OVER.items())
