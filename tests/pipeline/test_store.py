"""Pieces of work are found again as they were kept, or not at all."""

from __future__ import annotations

import pathlib
import sqlite3
import subprocess
import sys

import pytest

from rungbook.pipeline.store import Store


@pytest.fixture
def folder(tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch) -> pathlib.Path:
    monkeypatch.setenv("RUNGBOOK_CACHE", str(tmp_path / "cache"))
    return tmp_path / "cache"


def _file(folder: pathlib.Path) -> pathlib.Path:
    (found,) = folder.glob("*.pieces")
    return found


def test_what_was_kept_is_found_again(folder: pathlib.Path) -> None:
    store = Store(folder.parent)
    store.keep({"a": b"one", "b": b"\0\xff"}, [])
    assert store.find(["a", "b", "c"]) == {"a": b"one", "b": b"\0\xff"}
    assert Store(folder.parent / "other").find(["a"]) == {}


def test_what_is_no_longer_used_is_dropped(folder: pathlib.Path) -> None:
    store = Store(folder.parent)
    store.keep({"a": b"one", "b": b"two"}, [])
    store.keep({"c": b"three"}, ["b"])
    assert store.find("abc") == {"b": b"two", "c": b"three"}


def test_a_piece_that_was_changed_is_not_found(folder: pathlib.Path) -> None:
    store = Store(folder.parent)
    store.keep({"a": b"one", "b": b"two"}, [])
    with sqlite3.connect(_file(folder)) as connection:
        connection.execute("UPDATE pieces SET piece = ? WHERE key = 'a'", (b"other",))
    connection.close()
    assert store.find("ab") == {"b": b"two"}


def test_a_piece_does_not_pass_for_another(folder: pathlib.Path) -> None:
    store = Store(folder.parent)
    store.keep({"a": b"one"}, [])
    with sqlite3.connect(_file(folder)) as connection:
        connection.execute("UPDATE pieces SET key = 'b'")
    connection.close()
    assert store.find("ab") == {}


@pytest.mark.parametrize("damage", [b"", b"no database", b"SQLite format 3\0" + 2000 * b"\x07"])
def test_a_damaged_file_is_as_good_as_none(folder: pathlib.Path, damage: bytes) -> None:
    store = Store(folder.parent)
    store.keep({"a": b"one"}, [])
    _file(folder).write_bytes(damage)
    assert store.find("a") == {}
    store.keep({"a": b"again"}, [])
    assert store.find("a") == {"a": b"again"}


def test_nothing_is_kept_where_that_is_off(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("RUNGBOOK_CACHE", "off")
    store = Store(tmp_path)
    store.keep({"a": b"one"}, [])
    assert not store.keeps
    assert store.find("a") == {}
    assert list(tmp_path.iterdir()) == []


def test_a_folder_that_cannot_be_made_is_no_fault(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").write_text("in the way")
    for place in (tmp_path / "file" / "cache", tmp_path / ("long" * 100)):
        monkeypatch.setenv("RUNGBOOK_CACHE", str(place))
        store = Store(tmp_path)
        store.keep({"a": b"one"}, [])
        assert store.find("a") == {}


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="rights as Linux knows them")
def test_a_folder_that_nobody_may_look_into_is_no_fault(folder: pathlib.Path) -> None:
    Store(folder.parent).keep({"a": b"one"}, [])
    folder.chmod(0)
    program = (
        "import os, sys, pathlib; from rungbook.pipeline.store import Store\n"
        "if os.getuid() == 0: os.setuid(65534)\n"
        "store = Store(pathlib.Path(sys.argv[1]))\n"
        "store.keep({'a': b'two'}, [])\n"
        "assert store.find('a') == {}\n"
    )
    try:
        subprocess.run([sys.executable, "-c", program, str(folder.parent)], check=True)
    finally:
        folder.chmod(0o700)
    assert Store(folder.parent).find("a") == {"a": b"one"}


def test_two_processes_keep_at_once(folder: pathlib.Path) -> None:
    program = (
        "import sys, pathlib; from rungbook.pipeline.store import Store\n"
        "store, me = Store(pathlib.Path(sys.argv[1])), sys.argv[2]\n"
        "both = [f'{who}{n}' for who in 'xy' for n in range(20)]\n"
        "for n in range(20): store.keep({f'{me}{n}': me.encode() * 1000}, both)\n"
    )
    running = [
        subprocess.Popen([sys.executable, "-c", program, str(folder.parent), who]) for who in "xy"
    ]
    assert [process.wait(60) for process in running] == [0, 0]
    keys = [f"{who}{n}" for who in "xy" for n in range(20)]
    assert Store(folder.parent).find(keys) == {key: key[:1].encode() * 1000 for key in keys}
