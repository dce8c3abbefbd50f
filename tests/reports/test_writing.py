from __future__ import annotations

import os
import pathlib

import pytest

from rungbook.reports.writing import write


def test_text_is_written_whole_as_utf8(tmp_path: pathlib.Path) -> None:
    path = tmp_path / "report"
    path.write_text("old")
    write(path, "N·m\n")
    assert path.read_bytes() == "N·m\n".encode()
    assert [one.name for one in tmp_path.iterdir()] == ["report"]


def test_the_old_file_stays_where_writing_fails(
    tmp_path: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "report"
    path.write_text("old")

    def full(*arguments: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", full)
    with pytest.raises(OSError, match="No space left"):
        write(path, "new")
    assert path.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["report"]


def test_a_folder_that_is_not_there_is_told_by_the_name_that_was_asked_for(
    tmp_path: pathlib.Path,
) -> None:
    with pytest.raises(OSError) as caught:
        write(tmp_path / "none" / "report", "new")
    assert caught.value.filename == str(tmp_path / "none" / "report")


def test_the_file_is_as_readable_as_the_user_makes_files(tmp_path: pathlib.Path) -> None:
    before = os.umask(0o027)
    try:
        write(tmp_path / "report", "x")
    finally:
        os.umask(before)
    assert (tmp_path / "report").stat().st_mode & 0o777 == 0o640


def test_what_is_no_plain_file_is_written_to_and_stays(tmp_path: pathlib.Path) -> None:
    """A pipe, as `/dev/stdout` or `/dev/null` would be: never moved away for a file."""
    pipe = tmp_path / "pipe"
    os.mkfifo(pipe)
    reader = os.open(pipe, os.O_RDONLY | os.O_NONBLOCK)
    try:
        write(pipe, "N·m\n")
        assert os.read(reader, 100) == "N·m\n".encode()
    finally:
        os.close(reader)
    assert pipe.is_fifo()


def test_a_link_stays_and_its_file_is_written(tmp_path: pathlib.Path) -> None:
    link, file = tmp_path / "link", tmp_path / "file"
    link.symlink_to(file)
    write(link, b"new")
    assert link.is_symlink() and file.read_bytes() == b"new"
