from __future__ import annotations

import json
import pathlib
from dataclasses import replace

import pytest

from builders.findings import unloaded, write_library
from builders.loads import exercise, load
from builders.reports import finding
from rungbook.ladder.measured import MeasuredLadder
from rungbook.ladder.step import Step
from rungbook.model.finding import Finding
from rungbook.model.kind_of_work import KindOfWork
from rungbook.pipeline.analyse import Analysis
from rungbook.pipeline.changes import Comparison
from rungbook.pipeline.checked import count
from rungbook.pipeline.comparison import compare
from rungbook.reports import comparison_json, comparison_text

BASE = """
[exercises/a.md]
title: A
cautions: [one]
progressions: [{to: b, when: [x]}]
[exercises/b.md]
title: B
progressions: [{to: c, when: [x]}]
[exercises/c.md]
title: C
[ladders/l.md]
title: L
goal: c
entries: {high: a}
[vocabulary/cautions.yml]
one: {title: One}
"""


def analysis(
    root: pathlib.Path,
    name: str,
    written: str,
    sizes: dict[str, float] | None = None,
    findings: tuple[Finding, ...] = (),
) -> Analysis:
    """`sizes` gives the sizes of steps, by `from>to`; the others are 0.5."""
    measured = unloaded(write_library(root / name, written))
    steps = {}
    for easier, harder in measured.graph.edges:
        size = (sizes or {}).get(f"{easier}>{harder}", 0.5)
        missing = max(0, -int(-size // 1) - 1)
        steps[easier, harder] = Step(easier, harder, {}, size, missing, "demand")
    ladders = {
        id: MeasuredLadder(one.ladder, one.rungs, ()) for id, one in measured.ladders.items()
    }
    return Analysis(replace(measured, steps=steps, ladders=ladders), findings, count(findings), ())


def changes(
    root: pathlib.Path,
    old: str,
    new: str,
    old_sizes: dict[str, float] | None = None,
    new_sizes: dict[str, float] | None = None,
) -> Comparison:
    return compare(analysis(root, "o", old, old_sizes), analysis(root, "n", new, new_sizes))


def test_the_same_library_has_no_changes(tmp_path: pathlib.Path) -> None:
    comparison = changes(tmp_path, BASE, BASE)
    assert comparison.levels == frozenset()
    assert comparison_text.render(comparison) == "## Library: `old` → `new`\n\nNo change.\n"


def test_exercises_added_removed_and_changed_by_field(tmp_path: pathlib.Path) -> None:
    new = BASE.replace("title: B\n", "title: B\nincline: 10\nposition: sitting\n").replace(
        "[exercises/c.md]\ntitle: C", "[exercises/d.md]\ntitle: D"
    )
    comparison = changes(tmp_path, BASE, new)
    assert comparison.added == {"d": "D"}
    assert comparison.removed == {"c": "C"}
    assert {id: [one.field for one in fields] for id, fields in comparison.changed.items()} == {
        "b": ["position", "incline"]
    }


def test_lines_that_move_are_no_change(tmp_path: pathlib.Path) -> None:
    new = BASE.replace("title: A\n", "\n# a remark\ntitle: A\n")
    assert changes(tmp_path, BASE, new).changed == {}


def test_a_step_that_grew_beyond_its_limit_is_an_error(tmp_path: pathlib.Path) -> None:
    comparison = changes(tmp_path, BASE, BASE, {"b>c": 0.9}, {"b>c": 2.4})
    (step,) = comparison.steps_too_large
    assert (step.from_id, step.to_id, step.old_size, step.new_size, step.missing) == (
        "b", "c", 0.9, 2.4, 2,
    )  # fmt: skip
    assert "error" in comparison.levels
    told = "- `b` → `c`: 0.90 → 2.40 steps (demand), 2 rungs missing"
    assert f"{told}\n" in comparison_text.render(comparison)  # no load is known: nothing to try
    tried = replace(comparison, steps_too_large=(replace(step, command="rungbook fill b c"),))
    assert f"{told}: `rungbook fill b c`" in comparison_text.render(tried)


def test_a_new_progression_may_be_too_large_from_the_start(tmp_path: pathlib.Path) -> None:
    new = BASE.replace("[{to: b, when: [x]}]", "[{to: b, when: [x]}, {to: c, when: [x]}]")
    (step,) = changes(tmp_path, BASE, new, None, {"a>c": 1.5}).steps_too_large
    assert (step.old_size, step.new_size) == (None, 1.5)


def test_a_step_is_repaired_by_filling_it_and_that_makes_no_way_longer(
    tmp_path: pathlib.Path,
) -> None:
    new = BASE.replace("progressions: [{to: c, when: [x]}]", "progressions: [{to: m, when: [x]}]")
    new += "[exercises/m.md]\ntitle: M\nprogressions: [{to: c, when: [x]}]\n"
    comparison = changes(tmp_path, BASE, new, {"b>c": 1.8})
    (step,) = comparison.steps_repaired
    assert (step.from_id, step.to_id, step.new_size) == ("b", "c", None)
    assert (comparison.routes_longer, comparison.levels) == ((), frozenset())


def test_a_way_that_grows_is_a_warning_and_one_that_ends_an_error(tmp_path: pathlib.Path) -> None:
    more = BASE.replace("progressions: [{to: c, when: [x]}]", "progressions: [{to: m, when: [x]}]")
    more += "[exercises/m.md]\ntitle: M\nprogressions: [{to: c, when: [x]}]\n"
    longer = changes(tmp_path / "longer", BASE, more)
    assert [(one.old_rungs, one.new_rungs) for one in longer.routes_longer] == [(3, 4)]
    assert longer.levels == {"warning"}
    none = BASE.replace("progressions: [{to: c, when: [x]}]\n", "")
    ended = changes(tmp_path / "ended", BASE, none)
    assert [(one.old_rungs, one.new_rungs) for one in ended.routes_longer] == [(3, None)]
    assert ended.worst_at_least("error")


def test_a_lost_caution_is_a_warning(tmp_path: pathlib.Path) -> None:
    comparison = changes(tmp_path, BASE, BASE.replace("cautions: [one]\n", ""))
    assert [(one.exercise, one.kind, one.key) for one in comparison.cautions_lost] == [
        ("a", "caution", "one")
    ]
    assert comparison.levels == {"warning"}
    assert not comparison.worst_at_least("error")
    assert comparison.worst_at_least("warning")


def test_review_dates(tmp_path: pathlib.Path) -> None:
    new = BASE.replace("title: A\n", "title: A\nreviewed: {date: 2026-05-01, by: Me}\n")
    (review,) = changes(tmp_path, BASE, new).reviews
    assert (review.exercise, review.old, review.new) == ("a", None, "2026-05-01")
    assert (review.old_standing, review.new_standing) == ("never reviewed", "reviewed, not sealed")


def test_a_review_that_is_of_something_else_now_is_a_warning(tmp_path: pathlib.Path) -> None:
    sealed = f"title: A\nreviewed: {{date: 2026-05-01, by: Me, seal: '{'0' * 32}'}}\n"
    old = BASE.replace("title: A\n", "title: A\nreviewed: {date: 2026-05-01, by: Me}\n")
    comparison = changes(tmp_path, old, BASE.replace("title: A\n", sealed))
    assert comparison.levels == {"warning"}
    assert (
        "- `a`: reviewed, not sealed (2026-05-01) → changed since review (2026-05-01)"
        in comparison_text.render(comparison)
    )


def test_a_rename_is_a_rename_and_nothing_else(tmp_path: pathlib.Path) -> None:
    """Its edges, routes, ladder, variations and findings go with it."""
    old = BASE + "[exercises/d.md]\ntitle: D\nvariation-of: b\n"
    new = (
        old.replace("[exercises/b.md]", "[exercises/bee.md]")
        .replace("to: b,", "to: bee,")
        .replace("variation-of: b\n", "variation-of: bee\n")
    )
    about = finding(place="exercises/b.md:1:1", exercises=("b",))
    moved = replace(about, place=replace(about.place, file="exercises/bee.md"), exercises=("bee",))
    comparison = compare(
        analysis(tmp_path, "o", old, {"a>b": 1.5, "b>c": 1.5}, (about,)),
        analysis(tmp_path, "n", new, {"a>bee": 1.5, "bee>c": 1.5}, (moved,)),
    )
    assert comparison.renamed == {"b": "bee"}
    text = comparison_text.render(comparison)
    assert "### Exercises renamed\n\n- `b` → `bee`\n" in text
    assert text.count("###") == 1 and comparison.levels == frozenset()


def test_a_rename_of_goal_and_entry_changes_no_route(tmp_path: pathlib.Path) -> None:
    new = BASE.replace("[exercises/c.md]", "[exercises/cee.md]").replace("to: c,", "to: cee,")
    new = new.replace("goal: c", "goal: cee").replace("[exercises/a.md]", "[exercises/ay.md]")
    new = new.replace("high: a", "high: ay")
    comparison = changes(tmp_path, BASE, new)
    assert comparison.renamed == {"a": "ay", "c": "cee"}
    assert comparison_text.render(comparison).count("###") == 1


def test_two_that_say_the_same_are_no_rename(tmp_path: pathlib.Path) -> None:
    old = "[exercises/a.md]\ntitle: A\n"
    new = "[exercises/x.md]\ntitle: A\n[exercises/y.md]\ntitle: A\n"
    comparison = changes(tmp_path, old, new)
    assert (comparison.renamed, list(comparison.added)) == ({}, ["x", "y"])


def test_an_error_that_is_accepted_now_is_told_with_its_reason(tmp_path: pathlib.Path) -> None:
    fault = finding("step-too-large", "error", exercises=("a",))
    reason = {"because": "only *here* <b>", "accepted_until": "2027-01-01"}
    before = analysis(tmp_path, "o", BASE, findings=(fault,))
    after = replace(analysis(tmp_path, "n", BASE), accepted=(replace(fault, details=reason),))
    comparison = compare(before, after)
    assert comparison.findings_gone == ()
    assert [one.details["because"] for one in comparison.newly_accepted] == ["only *here* <b>"]
    assert comparison.levels == {"warning"}
    text = comparison_text.render(comparison)
    assert "### Accepted now\n\n- error `step-too-large`" in text
    assert "**Accepted until 2027-01-01:** only \\*here\\* &lt;b>" in text
    assert compare(after, after).newly_accepted == ()


def test_findings_are_the_same_when_their_lines_move(tmp_path: pathlib.Path) -> None:
    old = finding(place="exercises/a.md:3:1", exercises=("a",))
    moved = finding(place="exercises/a.md:9:1", exercises=("a",))
    fresh = finding("no-way-on", "warning", exercises=("a",))
    comparison = compare(
        analysis(tmp_path, "o", BASE, findings=(old,)),
        analysis(tmp_path, "n", BASE, findings=(moved, fresh)),
    )
    assert (comparison.findings_new, comparison.findings_gone) == ((fresh,), ())


def test_one_more_of_the_same_finding_is_new(tmp_path: pathlib.Path) -> None:
    one, two = (finding(place=f"exercises/a.md:{line}:1") for line in (3, 4))
    comparison = compare(
        analysis(tmp_path, "o", BASE, findings=(one,)),
        analysis(tmp_path, "n", BASE, findings=(one, two)),
    )
    assert len(comparison.findings_new) == 1


@pytest.mark.parametrize("title", ["<b>x", "@everyone", "a|b", "[x](y)", "`code`", "\x1b[1m"])
def test_titles_are_text_in_a_comment(tmp_path: pathlib.Path, title: str) -> None:
    new = BASE + f"[exercises/z.md]\ntitle: {json.dumps(title)}\n"
    text = comparison_text.render(changes(tmp_path, BASE, new))
    assert not any(harm in text for harm in ("<b>", "@everyone", " a|b", "[x](y)", "\x1b"))


def test_the_json_names_every_part(tmp_path: pathlib.Path) -> None:
    data = json.loads(comparison_json.render(changes(tmp_path, BASE, BASE, None, {"b>c": 1.5})))
    assert list(data) == [
        "old", "new", "exercises", "ladders", "base", "loads", "kinds_of_work", "steps", "routes", "drafts",
        "cautions_lost", "reviews", "findings",
    ]  # fmt: skip
    assert data["steps"]["too_large"] == [
        {
            "from": "b",
            "to": "c",
            "old_size": 0.5,
            "new_size": 1.5,
            "worst": "demand",
            "missing": 1,
            "command": "",
        }
    ]


def test_draft_progressions_are_told_until_they_are_ways(tmp_path: pathlib.Path) -> None:
    draft = BASE.replace("{to: c, when: [x]}", "{to: c, when: [x]}, {to: d, draft: true}")
    draft += "[exercises/d.md]\ntitle: D\n"
    taken_up = draft.replace("draft: true", "when: [y]")
    for old, new, change in (
        (BASE, draft, "added"),
        (draft, taken_up, "taken up"),
        (draft, BASE, "removed"),
    ):
        found = changes(tmp_path / change, old, new)
        assert [(one.from_id, one.to_id, one.change) for one in found.drafts] == [
            ("b", "d", change)
        ]
        assert f"`b` → `d`: {change}" in comparison_text.render(found)
        assert json.loads(comparison_json.render(found))["drafts"] == [
            {"from": "b", "to": "d", "change": change}
        ]


def test_a_kind_of_work_that_changed_is_told(tmp_path: pathlib.Path) -> None:
    old, new = (analysis(tmp_path, name, BASE) for name in ("old", "new"))
    loads = [
        load("a", works="shoulder flexion", kinds={"shoulder flexion": KindOfWork(kind)})
        for kind in ("assisted", "active")
    ]
    before, after = (
        replace(one, measured=replace(
            one.measured,
            loads={"a": each},
            library=replace(one.measured.library, exercises={"a": exercise("a")}),
        ))
        for one, each in zip((old, new), loads, strict=True)
    )  # fmt: skip
    found = compare(before, after)
    assert [(one.works, one.old, one.new) for one in found.kinds] == [
        ("shoulder flexion", "assisted", "active")
    ]
    assert "`a` shoulder flexion: assisted → active" in comparison_text.render(found)
