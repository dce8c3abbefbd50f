"""Two libraries are the same to a piece of work if the same stands in both wherever it looked."""

from __future__ import annotations

import pathlib
from typing import Any

from builders.sites import analysis, raise_arm
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.watched import watching
from rungbook.pipeline.looks import Looks, watched

IDS = ("one", "two", "three")


def measured(
    root: pathlib.Path, titles: dict[str, str] | None = None, **more: Any
) -> MeasuredLibrary:
    leads = {"one": "two", "two": "three", "three": None}
    exercises = {
        f"arm/{id}": raise_arm((titles or {}).get(id, f"Raise {id}"), leads[id], 30 + 10 * number)
        for number, id in enumerate(IDS)
    }
    ladder = {
        "title": "Arm",
        "works": "shoulder flexion",
        "goal": "three",
        "entries": {"high": "one"},
    }
    library = {"exercises": exercises, "ladders": {"arm": ladder}, **more}
    return analysis(root, **library).measured


def watch(found: MeasuredLibrary) -> tuple[MeasuredLibrary, Looks]:
    looks = Looks()
    return watched(found, looks), looks


def same(root: pathlib.Path, work: Any, **other: Any) -> bool:
    """Whether a library and another are the same to some work."""
    first, looks = watch(measured(root / "a"))
    with watching() as asked:
        work(first)
    assert asked
    _, others = watch(measured(root / "b", **other))
    return looks.key("about", looks=asked) == others.key("about", looks=asked)


RENAMED = {"titles": {"two": "Another name"}}
WORD = {"vocabulary": {"cautions": {"new": {"title": "New"}}}}


def test_the_watched_library_is_the_library(tmp_path: pathlib.Path) -> None:
    plain = measured(tmp_path)
    view, _ = watch(plain)
    assert dict(view.library.exercises) == dict(plain.library.exercises)
    assert dict(view.steps) == dict(plain.steps)
    assert dict(view.judged) == dict(plain.judged)
    assert dict(view.standings) == dict(plain.standings)
    assert list(view.graph.edges) == list(plain.graph.edges)
    assert view.graph["one"]["two"]["index"] == 0
    assert list(view.graph.pred["two"]) == ["one"]
    assert view.graph.edges["one", "two"] == plain.graph.edges["one", "two"]


def test_work_that_looked_elsewhere_is_not_concerned(tmp_path: pathlib.Path) -> None:
    assert same(tmp_path / "1", lambda m: m.library.exercises["one"], **RENAMED)
    assert not same(tmp_path / "2", lambda m: m.library.exercises["two"], **RENAMED)
    assert same(tmp_path / "3", lambda m: m.loads.get("one"), **RENAMED)
    assert not same(tmp_path / "4", lambda m: m.loads.get("two"), **RENAMED)


def test_what_is_not_there_may_come_to_be(tmp_path: pathlib.Path) -> None:
    assert not same(tmp_path / "1", lambda m: m.library.vocabulary.cautions.get("new"), **WORD)
    assert same(tmp_path / "2", lambda m: m.library.vocabulary.cautions.get("other"), **WORD)
    assert not same(tmp_path / "3", lambda m: list(m.library.vocabulary.cautions), **WORD)


def test_steps_and_standings_hang_on_what_they_are_made_of(tmp_path: pathlib.Path) -> None:
    limits = {"settings": {"limits": {"range": 12}}}
    for number, work in enumerate(
        (lambda m: m.steps["one", "two"], lambda m: m.judged["one", "two"],
         lambda m: m.ladders["arm"], lambda m: m.standings["one"])
    ):  # fmt: skip
        assert not same(tmp_path / str(number), work, **RENAMED) or number in (1, 2, 3)
    assert not same(tmp_path / "5", lambda m: m.judged["one", "two"], **limits)
    assert not same(tmp_path / "6", lambda m: m.standings["one"], **limits)


def test_neighbours_are_looked_up_in_the_graph(tmp_path: pathlib.Path) -> None:
    leads = {"arm/two": raise_arm("Raise two", None, 40)}
    unlinked = {
        "exercises": {
            "arm/one": raise_arm("Raise one", "two", 30), **leads,
            "arm/three": raise_arm("Raise three", None, 50),
        }
    }  # fmt: skip
    assert same(tmp_path / "1", lambda m: list(m.graph["one"]), **unlinked)
    assert not same(tmp_path / "2", lambda m: list(m.graph["two"]), **unlinked)
    assert not same(tmp_path / "3", lambda m: list(m.graph.pred["three"]), **unlinked)


def test_what_work_was_given_is_part_of_its_key(tmp_path: pathlib.Path) -> None:
    _, looks = watch(measured(tmp_path))
    assert looks.key("a", looks=()) == looks.key("a", looks=[])
    assert looks.key("a", looks=()) != looks.key("b", looks=())
