"""Files put together from the lines of exercises are those made at once."""

from __future__ import annotations

import pathlib

from builders.sites import analysis, raise_arm
from rungbook.exporting.formats import FORMATS, lines_of, rendered


def test_known_lines_and_none_give_the_same_files(tmp_path: pathlib.Path) -> None:
    written = {
        "arm/one": raise_arm('=One, "quoted"', "two", 60),
        "arm/two": raise_arm("Two", None, 90, sides="both"),
        "arm/still": {"title": "Nothing moves", "position": "supine"},
    }
    ladders = {"arm": {"title": "Arm", "works": "shoulder flexion", "goal": "two"}}
    measured = analysis(tmp_path, exercises=written, ladders=ladders).measured
    exercises = measured.library.exercises
    known = {key: lines_of(measured, one) for key, one in exercises.items() if key != "two"}
    for one in FORMATS:
        assert rendered(one, measured, known) == rendered(one, measured)
