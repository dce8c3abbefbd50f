"""Words of the vocabulary that nothing names, wherever a word may be named."""

from __future__ import annotations

import pathlib

import pytest

from builders.based import CLINIC, side_by_side
from builders.findings import TODAY, found, told
from rungbook.pipeline.check import check_library

WORDS = """[vocabulary/areas.yml]
calf: Calf
knee: Knee
[vocabulary/cautions.yml]
fever: Fever
dizzy: {title: Dizzy, sources: [book]}
[vocabulary/equipment.yml]
chair: Chair
rail: Rail
pulley: Pulley
[vocabulary/restrictions.yml]
early: {title: Early, ordered-by: surgeon, rows: []}
[vocabulary/sources.yml]
book: A book
paper: A paper
habit: A habit
unread: Unread
"""
NAMING = """[library.yml]
pain-rule: {during: 3, source: habit}
[exercises/calf/raise.md]
title: The chair rail
cautions: [
  dizzy,  # a list on several lines
]
contacts: [{at: hands, surface: rail}]
assist:
- by: 'pulley'
  at: hand
measured: [{works: ankle plantarflexion, value: 1 Nm, source: paper}]
restrictions:
  - early
---
fever, knee and unread stand in words alone.
"""


def test_what_no_key_names_is_told_where_it_stands(tmp_path: pathlib.Path) -> None:
    assert told(found(tmp_path, "unused-vocabulary", WORDS + NAMING)) == [
        f"vocabulary/{place} note unused-vocabulary: nothing names {what}: name it where it "
        "belongs, or remove it"
        for place, what in (
            ("areas.yml:2:1", "the area 'knee'"),
            ("cautions.yml:1:1", "the caution 'fever'"),
            ("equipment.yml:1:1", "the piece of equipment 'chair'"),
            ("sources.yml:4:1", "the source 'unread'"),
        )
    ]


def test_a_file_with_faults_still_names_its_words(tmp_path: pathlib.Path) -> None:
    broken = NAMING.replace("title: The chair rail", "titel: [")
    names = {
        one.message.split("'")[1] for one in found(tmp_path, "unused-vocabulary", WORDS + broken)
    }
    assert names == {"knee", "fever", "chair", "unread"}


@pytest.mark.parametrize("at_once", [1, 100])
def test_it_is_the_same_whatever_is_read_at_once(tmp_path: pathlib.Path, at_once: int) -> None:
    from builders.findings import write_library

    more = "[exercises/calf/other.md]\ntitle: Other\ncautions: [fever]\n"
    folder = write_library(tmp_path, WORDS + NAMING + more)
    checked = check_library(folder, TODAY, cached=False, at_once=at_once)
    unused = [one.message for one in checked.findings if one.check == "unused-vocabulary"]
    assert len(unused) == 3 and not any("fever" in one for one in unused)


def test_words_of_a_base_are_the_base_s_affair(tmp_path: pathlib.Path) -> None:
    clinic = side_by_side(tmp_path, CLINIC.replace("person", "without: [low]\nperson"))
    checked = check_library(clinic, TODAY, cached=False)
    files = [one.place.file for one in checked.findings if one.check == "unused-vocabulary"]
    assert files == ["vocabulary/equipment.yml"]  # the rail
