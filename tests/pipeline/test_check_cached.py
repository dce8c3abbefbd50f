"""A check with what an earlier run kept says the same as one without."""

from __future__ import annotations

import datetime
import json
import os
import pathlib
import random
import subprocess
import sys
import time
from collections.abc import Callable

import pytest

from builders.findings import TODAY, write_library
from builders.watching import watched_loads
from rungbook.model.finding import Finding
from rungbook.pipeline import check as module
from rungbook.pipeline import store
from rungbook.pipeline.check import check_library
from rungbook.pipeline.checked import Checked


@pytest.fixture(autouse=True)
def kept(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    """The folder in which these tests keep what they found."""
    folder = tmp_path / "kept"
    monkeypatch.setenv("RUNGBOOK_CACHE", str(folder))
    return folder


def chains(count: int, length: int = 4) -> str:
    """Ladders `l0`, `l1`, … of exercises `e0-0`, `e0-1`, …, joined by nothing."""
    parts = []
    for chain in range(count):
        for rung in range(length):
            to = f"[{{to: e{chain}-{rung + 1}, when: [x]}}]" if rung + 1 < length else "[]"
            vary = f"variation-of: e{chain}-0" if rung == 2 else "sources: [practice]"
            parts.append(
                f"[exercises/e{chain}-{rung}.md]\ntitle: E{chain}-{rung}\n{vary}\n"
                f"progressions: {to}\n"
            )
        parts.append(
            f"[ladders/l{chain}.md]\ntitle: L\ngoal: e{chain}-{length - 1}\n"
            f"entries: {{high: e{chain}-0}}\n"
        )
    parts.append("[vocabulary/sources.yml]\npractice: {title: Common practice}\n")
    return "".join(parts)


def findings(checked: Checked) -> list[object]:
    def comparable(one: Finding) -> object:
        return json.loads(
            json.dumps(
                [
                    one.check,
                    one.level,
                    one.message,
                    str(one.place),
                    one.exercises,
                    one.ladder,
                    dict(one.details),
                ]
            )
        )

    return [
        [comparable(one) for one in checked.findings],
        [comparable(one) for one in checked.accepted],
        checked.exercises,
        checked.ladders,
        sorted(checked.files),
    ]


def both(folder: pathlib.Path, today: datetime.date = TODAY) -> tuple[list[object], list[object]]:
    return (
        findings(check_library(folder, today)),
        findings(check_library(folder, today, cached=False)),
    )


def older(folder: pathlib.Path) -> None:
    """Makes all files look as if they had been written a while ago."""
    then = time.time_ns() - 60_000_000_000
    for path in folder.rglob("*"):
        if path.is_file():
            os.utime(path, ns=(then, then))


EDITS: list[tuple[str, str, str]] = [
    ("exercises/e1-1.md", "title: E1-1", "title: Another"),
    ("exercises/e1-1.md", "title: E1-1", "\n\ntitle: Another"),
    ("exercises/e1-0.md", "sources: [practice]", "dose: {sets: 3}"),
    ("exercises/e1-1.md", "to: e1-2", "to: e2-2"),  # joins two parts
    ("exercises/e1-1.md", "to: e1-2", "to: e1-0"),  # a circle
    ("exercises/e1-1.md", "to: e1-2", "to: nowhere"),
    ("exercises/e1-1.md", "sources: [practice]", "variation-of: e3-1"),
    ("exercises/e1-1.md", "sources: [practice]", "variation-of: e1-2"),
    ("exercises/e1-1.md", "sources: [practice]", "colour: blue"),
    ("exercises/e1-1.md", "title: E1-1", "title: ["),
    ("exercises/e1-2.md", "variation-of: e1-0", "variation-of: nowhere"),
    ("exercises/e1-1.md", "[]", "[]"),
    ("ladders/l1.md", "goal: e1-3", "goal: e2-3"),
    ("ladders/l1.md", "goal: e1-3", "goal: nowhere"),
    ("ladders/l1.md", "title: L", "colour: blue"),
    ("library.yml", "", "checks: {missing-dose: error}\n"),
    ("vocabulary/sources.yml", "practice", "theory"),
]


@pytest.mark.parametrize(("file", "was", "now"), EDITS)
def test_an_edit_and_its_undoing_give_what_a_full_check_gives(
    tmp_path: pathlib.Path, file: str, was: str, now: str
) -> None:
    folder = write_library(tmp_path, chains(4))
    path = folder / file
    before = path.read_text()
    first, anew = both(folder)
    assert first == anew
    path.write_text(before.replace(was, now, 1) if was else before + now)
    cached, anew = both(folder)
    assert cached == anew
    path.write_text(before)
    cached, anew = both(folder)
    assert cached == anew == first


@pytest.mark.parametrize("seed", range(12))
def test_any_sequence_of_edits_gives_what_a_full_check_gives(
    tmp_path: pathlib.Path, seed: int
) -> None:
    dice = random.Random(seed)
    folder = write_library(tmp_path, chains(5))
    check_library(folder, TODAY)
    files = sorted(path for path in folder.rglob("*.md"))
    for _ in range(6):
        for _ in range(dice.choice((1, 1, 2))):
            path = dice.choice(files)
            rung, chain = dice.randrange(4), dice.randrange(5)
            was, now = dice.choice(
                [
                    ("title: ", "title: New "),
                    ("to: e", f"to: e{chain}-{rung}, because: e"),
                    ("sources: [practice]", f"variation-of: e{chain}-0"),
                    ("title", "titel"),
                    ("titel", "title"),
                    ("goal: e", f"goal: e{chain}-3\n# "),
                    ("---\n", "---\n\n"),
                ]
            )
            path.write_text(path.read_text().replace(was, now, 1))
        cached, anew = both(folder)
        assert cached == anew


@pytest.mark.parametrize(
    "change",
    [
        lambda folder: (folder / "exercises/new.md").write_text("---\ntitle: New\n---\n"),
        lambda folder: (folder / "exercises/e0-3.md").unlink(),
        lambda folder: (folder / "exercises/e0-3.md").rename(folder / "exercises/other.md"),
        lambda folder: (folder / "exercises/e0-3.md").chmod(0o000),
    ],
    ids=["added", "removed", "renamed", "unreadable"],
)
def test_files_that_come_and_go_are_seen(
    tmp_path: pathlib.Path, change: Callable[[pathlib.Path], object]
) -> None:
    folder = write_library(tmp_path, chains(3))
    check_library(folder, TODAY)
    change(folder)
    cached, anew = both(folder)
    assert cached == anew


def test_a_change_that_leaves_size_and_time_alone_is_seen(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, chains(3))
    check_library(folder, TODAY)
    path = folder / "exercises/e0-0.md"
    about = path.stat()
    path.write_text(path.read_text().replace("title", "tilte"))
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns))
    cached, anew = both(folder)
    assert cached == anew
    assert any("unknown-field" in str(one) for one in cached)


def test_only_the_part_that_changed_is_computed(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_library(tmp_path, chains(4))
    check_library(folder, TODAY)
    import rungbook.pipeline.loads as loads

    computed = watched_loads(monkeypatch, loads)
    check_library(folder, TODAY)
    assert computed == []
    path = folder / "exercises/e2-0.md"
    path.write_text(path.read_text().replace("E2-0", "New"))
    check_library(folder, TODAY)
    assert computed == ["e2-0", "e2-1", "e2-2", "e2-3"]


def test_another_day_is_judged_anew(tmp_path: pathlib.Path) -> None:
    folder = write_library(
        tmp_path, "[exercises/a.md]\ntitle: A\nreviewed: {date: 2026-05-01, by: Me}\n"
    )
    check_library(folder, TODAY)
    late = check_library(folder, datetime.date(2036, 1, 1))
    assert "review-overdue" in {one.check for one in late.findings}


DAMAGE: list[Callable[[bytes], bytes]] = [
    lambda data: b"",
    lambda data: data[: len(data) // 2],
    lambda data: data.replace(b"missing-dose", b"missing-does"),
    lambda data: data[:64] + b"\n{}",
    lambda data: b"\x80\x04" + data,
    lambda data: b"[" * 100_000,
    lambda data: data[::-1],
]


@pytest.mark.parametrize("damage", DAMAGE)
def test_damage_changes_nothing(
    tmp_path: pathlib.Path, kept: pathlib.Path, damage: Callable[[bytes], bytes]
) -> None:
    folder = write_library(tmp_path, chains(2))
    first = findings(check_library(folder, TODAY))
    (file,) = kept.iterdir()
    file.write_bytes(damage(file.read_bytes()))
    assert findings(check_library(folder, TODAY)) == first
    assert findings(check_library(folder, TODAY)) == first


def test_what_another_version_kept_is_not_used(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_library(tmp_path, chains(2))
    check_library(folder, TODAY)
    assert module._load(folder) is not None
    monkeypatch.setattr(store, "program", lambda: "99.0")
    assert module._load(folder) is None


def test_what_is_sealed_but_not_what_we_kept_is_not_used(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, chains(2))
    first = findings(check_library(folder, TODAY))
    wrongs = ({}, [], {"today": TODAY.isoformat()}, {"today": TODAY.isoformat(), "files": 3})
    for wrong in wrongs:
        store.keep({module._name(folder): json.dumps(wrong).encode()})
        assert findings(check_library(folder, TODAY)) == first


def test_no_place_to_keep_anything_is_no_fault(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_library(tmp_path, chains(2))
    (tmp_path / "file").write_text("")
    for place in (str(tmp_path / "file"), "/proc/nowhere", "off"):
        monkeypatch.setenv("RUNGBOOK_CACHE", place)
        cached, anew = both(folder)
        assert cached == anew


def test_nothing_is_kept_in_the_library(tmp_path: pathlib.Path, kept: pathlib.Path) -> None:
    folder = write_library(tmp_path, chains(2))
    before = sorted(folder.rglob("*"))
    check_library(folder, TODAY)
    assert sorted(folder.rglob("*")) == before
    assert len(list(kept.iterdir())) == 1


def test_two_processes_at_once_leave_it_sound(tmp_path: pathlib.Path, kept: pathlib.Path) -> None:
    folder = write_library(tmp_path, chains(3))
    code = (
        "import datetime, pathlib, sys\n"
        "from rungbook.pipeline.check import check_library\n"
        "path = pathlib.Path(sys.argv[1]) / 'exercises' / sys.argv[2]\n"
        "for turn in range(8):\n"
        "    path.write_text(f'---\\ntitle: Turn {turn}\\n---\\n')\n"
        "    check_library(pathlib.Path(sys.argv[1]), datetime.date(2026, 6, 1))\n"
    )
    runs = [
        subprocess.Popen([sys.executable, "-c", code, str(folder), name], stderr=subprocess.PIPE)
        for name in ("e0-1.md", "e1-1.md")
    ]
    for run in runs:
        _, stderr = run.communicate(timeout=120)
        assert (run.returncode, stderr) == (0, b"")
    cached, anew = both(folder)
    assert cached == anew
    assert [path.name for path in kept.iterdir()] == ["kept.sqlite"]


def test_files_that_were_only_touched_are_not_computed_again(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, chains(2))
    check_library(folder, TODAY)
    older(folder)
    kept_before = module._load(folder)
    check_library(folder, TODAY)
    kept_after = module._load(folder)
    assert kept_before is not None
    assert kept_after is not None
    assert kept_before["findings"] == kept_after["findings"]
    assert kept_before["files"] != kept_after["files"]


def _other_text(path: pathlib.Path) -> None:
    path.write_text("[", encoding="utf-8")


@pytest.mark.parametrize("file", ["exercises/e1-1.md", "vocabulary/sources.yml"])
@pytest.mark.parametrize("meddle", [_other_text, pathlib.Path.unlink])
def test_a_file_that_was_other_only_while_it_was_read_is_read_again(
    tmp_path: pathlib.Path,
    monkeypatch: pytest.MonkeyPatch,
    file: str,
    meddle: Callable[[pathlib.Path], None],
) -> None:
    import rungbook.pipeline.settling as settling

    folder = write_library(tmp_path, chains(2))
    older(folder)
    path, ground = folder / file, settling.read_ground
    text = path.read_text()

    def meddled(*about, **more):  # type: ignore[no-untyped-def]
        meddle(path)
        return ground(*about, **more)

    settle = settling.settle

    def then_restored(*about, **more):  # type: ignore[no-untyped-def]
        settled = settle(*about, **more)
        path.write_text(text)
        return settled

    with monkeypatch.context() as patch:
        patch.setattr(settling, "read_ground", meddled)
        patch.setattr(settling, "settle", then_restored)
        during = findings(check_library(folder, TODAY))
    cached, anew = both(folder)
    assert during != anew
    assert cached == anew
