"""no-way-back, no-way-on, unreachable-goal, single-way, redundant-shortcut, stranded-exercise."""

from __future__ import annotations

import pathlib

import pytest

from builders.findings import found, told


def chain(edges: str, goal: str = "d", entries: str = "high: a", others: str = "") -> str:
    """Exercises by their edges, `a>b b>d`, and a ladder `l`."""
    ids = sorted({node for edge in edges.split() for node in edge.split(">")} | set(others))
    parts = []
    for id in ids:
        tos = [edge.split(">")[1] for edge in edges.split() if edge.split(">")[0] == id]
        written = ", ".join(f"{{to: {to}, when: [x]}}" for to in tos)
        parts.append(f"[exercises/{id}.md]\ntitle: {id.upper()}\nprogressions: [{written}]\n")
    parts.append(f"[ladders/l.md]\ntitle: L\ngoal: {goal}\nentries: {{{entries}}}\n")
    return "".join(parts)


@pytest.mark.parametrize(
    ("check", "written", "concerned"),
    [
        ("no-way-back", chain("a>b b>d"), []),
        ("no-way-back", chain("a>b b>d c>d"), [("c",)]),
        ("no-way-back", chain("a>b b>d c>d", entries="high: a, low: c"), []),
        ("no-way-back", chain("a>b b>d c>d", entries=""), []),
        ("no-way-on", chain("a>b b>d"), []),
        ("no-way-on", chain("a>b b>d a>c"), [("c",)]),
        ("no-way-on", chain("a>b b>d d>e"), []),  # beyond the goal is not on the ladder
        ("unreachable-goal", chain("a>b b>d"), []),
        ("unreachable-goal", chain("a>b c>d"), [("d", "a")]),
        ("unreachable-goal", chain("b>d", entries="high: d"), []),
        ("unreachable-goal", chain("a>d c>b", entries="high: c, low: a"), [("d", "c")]),
        ("single-way", chain("a>b b>d"), [("b",)]),
        ("single-way", chain("a>b b>d a>c c>d"), []),
        ("single-way", chain("a>b a>c b>e c>e e>d"), [("e",)]),
        ("redundant-shortcut", chain("a>b b>d"), []),
        ("redundant-shortcut", chain("a>b b>d a>d"), [("a", "d", "b")]),
        ("redundant-shortcut", chain("a>b a>c b>d c>d"), []),
        ("stranded-exercise", chain("a>b b>d"), []),
        ("stranded-exercise", chain("a>b b>d", others="s"), [("s",)]),
        ("stranded-exercise", chain("", goal="a", entries="high: a", others="a"), []),
    ],
)
def test_the_exercises_concerned(
    tmp_path: pathlib.Path, check: str, written: str, concerned: list[tuple[str, ...]]
) -> None:
    assert [finding.exercises for finding in found(tmp_path, check, written)] == concerned


def test_a_way_to_the_goal_of_another_ladder_is_no_dead_end(tmp_path: pathlib.Path) -> None:
    other = "[ladders/m.md]\ntitle: M\ngoal: c\nentries: {high: a}\n"
    assert found(tmp_path, "no-way-on", chain("a>b b>d a>c") + other) == []


def test_the_entry_of_another_ladder_needs_no_way_back(tmp_path: pathlib.Path) -> None:
    other = "[ladders/m.md]\ntitle: M\ngoal: d\nentries: {high: c}\n"
    assert found(tmp_path, "no-way-back", chain("a>b b>d c>d") + other) == []


def test_an_unreachable_goal_is_told_at_the_entry(tmp_path: pathlib.Path) -> None:
    findings = found(tmp_path, "unreachable-goal", chain("a>b c>d"))
    assert told(findings) == [
        "ladders/l.md:4:17 error unreachable-goal: no progressions lead from a to d, the goal of "
        "l. Write the one that is missing, or choose another entry."
    ]


def test_a_shortcut_is_told_at_its_line_with_the_way_round(tmp_path: pathlib.Path) -> None:
    (finding,) = found(tmp_path, "redundant-shortcut", chain("a>b b>d a>d"))
    assert str(finding.place) == "exercises/a.md:3:41"
    assert finding.message.startswith("a leads to d by way of b already.")


def test_an_unknown_goal_is_left_to_reading(tmp_path: pathlib.Path) -> None:
    written = chain("a>b", goal="nowhere")
    for check in ("unreachable-goal", "no-way-on", "no-way-back", "single-way"):
        assert found(tmp_path / check, check, written) == []
