from __future__ import annotations

import pathlib

from builders.findings import found, told

THREE = """
[exercises/a.md]
title: A
progressions: [{to: b, when: [x]}]
[exercises/b.md]
title: B
progressions: [{to: c, when: [x]}]
[exercises/c.md]
title: C
"""


def test_a_chain_is_no_circle(tmp_path: pathlib.Path) -> None:
    assert found(tmp_path, "circular-progression", THREE) == []


def test_a_circle_is_told_with_the_line_of_each_edge(tmp_path: pathlib.Path) -> None:
    findings = found(
        tmp_path, "circular-progression", THREE + "progressions: [{to: a, when: [x]}]\n"
    )
    assert told(findings) == [
        "exercises/a.md:3:21 error circular-progression: the progressions lead in a circle: "
        "a to b (exercises/a.md:3), b to c (exercises/b.md:3), c to a (exercises/c.md:3). "
        "Remove the one that points to the easier exercise."
    ]
    assert findings[0].exercises == ("a", "b", "c")


def test_of_several_circles_in_a_knot_the_shortest_is_told(tmp_path: pathlib.Path) -> None:
    findings = found(
        tmp_path,
        "circular-progression",
        THREE + "progressions: [{to: a, when: [x]}, {to: b, when: [x]}]\n",
    )
    assert [finding.exercises for finding in findings] == [("b", "c")]
