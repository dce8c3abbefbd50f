"""Pieces of work are found again as they were kept, or not at all."""

from __future__ import annotations

import os
import pathlib
import sqlite3
import subprocess
import sys

import pytest

from rungbook.pipeline import store

LINUX = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="rights as Linux has them")


@pytest.fixture
def folder(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def _changed(folder: pathlib.Path, statement: str, *values: object) -> None:
    with sqlite3.connect(folder / "kept.sqlite") as connection:
        connection.execute(statement, values)
    connection.close()


def test_what_was_kept_is_found_again(folder: pathlib.Path) -> None:
    store.keep({"a": b"one", "b": b"\0\xff"})
    store.keep({"c": b"three"})
    assert store.find(["a", "b", "d"]) == {"a": b"one", "b": b"\0\xff"}
    assert store.find("c") == {"c": b"three"}


def test_a_thousand_keys_are_asked_for_at_once(folder: pathlib.Path) -> None:
    pieces = {f"key {number}": b"%d" % number for number in range(1234)}
    store.keep(pieces)
    assert store.find([*pieces, "another"]) == pieces


def test_a_piece_that_was_changed_is_not_found(folder: pathlib.Path) -> None:
    store.keep({"a": b"one", "b": b"two"})
    _changed(folder, "UPDATE pieces SET piece = ? WHERE key = 'a'", b"other")
    assert store.find("ab") == {"b": b"two"}


def test_a_piece_does_not_pass_for_another(folder: pathlib.Path) -> None:
    store.keep({"a": b"one"})
    _changed(folder, "UPDATE pieces SET key = 'b'")
    assert store.find("ab") == {}


def test_keys_differ_in_all_they_name(monkeypatch: pytest.MonkeyPatch) -> None:
    keys = [store.key_of("x", 1), store.key_of("x", 2), store.key_of("x"), store.key_of("y", 1)]
    monkeypatch.setattr(store, "program", lambda: "another")
    keys.append(store.key_of("x", 1))
    assert len(set(keys)) == len(keys)
    assert store.key_of("x", 1) == keys[-1]


def test_a_file_of_the_program_that_changed_makes_other_keys(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    package = tmp_path / "rungbook"
    (package / "pipeline").mkdir(parents=True)
    monkeypatch.setattr(store, "__file__", str(package / "pipeline" / "store.py"))
    program = store.program.__wrapped__
    first = program()
    (package / "table.tsv").write_text("1")
    second = program()
    (package / "table.tsv").write_text("2")
    assert len({first, second, program()}) == 3
    (package / "__pycache__").mkdir()
    (package / "__pycache__" / "x.pyc").write_text("")
    os.utime(package / "table.tsv", (1, 1))
    (package / "table.tsv").write_text("1")
    assert program() == second


@pytest.mark.parametrize("damage", [b"", b"no database", b"SQLite format 3\0" + 2000 * b"\x07"])
def test_a_damaged_file_is_as_good_as_none(folder: pathlib.Path, damage: bytes) -> None:
    store.keep({"a": b"one"})
    (folder / "kept.sqlite").write_bytes(damage)
    assert store.find("a") == {}
    store.keep({"a": b"again"})
    assert store.find("a") == {"a": b"again"}


def test_a_file_of_another_shape_is_as_good_as_none(folder: pathlib.Path) -> None:
    folder.mkdir(mode=0o700)
    _changed(folder, "CREATE TABLE pieces (key TEXT, piece BLOB)")
    store.keep({"a": b"one"})
    assert store.find("a") == {}


def test_what_was_not_used_for_longest_makes_room(
    folder: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(store, "MOST_BYTES", 1000)
    monkeypatch.setattr(store, "_today", lambda: 1)
    store.keep({"a": b"a" * 400, "b": b"b" * 400})
    monkeypatch.setattr(store, "_today", lambda: 2)
    store.find("a")
    store.keep({"c": b"c" * 300})
    assert set(store.find("abc")) == {"c"}
    store.keep({"d": b"d" * 300})
    assert set(store.find("abcd")) == {"c", "d"}


def test_nothing_is_kept_where_that_is_off(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    store.keep({"a": b"one"})
    assert store.place() is None
    assert store.find("a") == {}
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_no_fault(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    for place in (tmp_path / "file" / "cache", tmp_path / ("long" * 100), "/proc/nowhere"):
        monkeypatch.setenv("RUNGBOOK_CACHE", str(place))
        store.keep({"a": b"one"})
        assert store.find("a") == {}


@LINUX
def test_the_folder_and_the_file_are_nobody_elses(folder: pathlib.Path) -> None:
    store.keep({"a": b"one"})
    assert folder.stat().st_mode & 0o777 == 0o700
    assert (folder / "kept.sqlite").stat().st_mode & 0o777 == 0o600


@LINUX
@pytest.mark.parametrize("mode", [0o770, 0o702, 0o777, 0o1777])
def test_a_folder_that_others_may_write_to_is_not_used(folder: pathlib.Path, mode: int) -> None:
    folder.mkdir()
    folder.chmod(mode)
    store.keep({"a": b"one"})
    assert store.find("a") == {}
    assert list(folder.iterdir()) == []


@LINUX
def test_a_folder_of_somebody_else_is_not_used(folder: pathlib.Path) -> None:
    if os.getuid() != 0:
        pytest.skip("only root can give a folder away")
    folder.mkdir(mode=0o700)
    os.chown(folder, 65534, 65534)
    store.keep({"a": b"one"})
    assert store.find("a") == {}
    assert list(folder.iterdir()) == []


@LINUX
def test_a_link_to_a_folder_is_not_used(folder: pathlib.Path) -> None:
    (folder.parent / "real").mkdir(mode=0o700)
    folder.symlink_to(folder.parent / "real")
    store.keep({"a": b"one"})
    assert store.find("a") == {}


@LINUX
def test_a_folder_that_nobody_may_look_into_is_no_fault(folder: pathlib.Path) -> None:
    store.keep({"a": b"one"})
    folder.chmod(0)
    program = (
        "import os; from rungbook.pipeline import store\n"
        "if os.getuid() == 0: os.setuid(65534)\n"
        "store.keep({'a': b'two'})\n"
        "assert store.find('a') == {}\n"
    )
    try:
        subprocess.run([sys.executable, "-c", program], check=True)
    finally:
        folder.chmod(0o700)
    assert store.find("a") == {"a": b"one"}


def test_two_processes_keep_at_once(folder: pathlib.Path) -> None:
    program = (
        "import sys; from rungbook.pipeline import store\n"
        "me = sys.argv[1]\n"
        "for n in range(20): store.keep({f'{me}{n}': me.encode() * 1000})\n"
    )
    running = [subprocess.Popen([sys.executable, "-c", program, who]) for who in "xy"]
    assert [process.wait(60) for process in running] == [0, 0]
    keys = [f"{who}{n}" for who in "xy" for n in range(20)]
    assert store.find(keys) == {key: key[:1].encode() * 1000 for key in keys}
