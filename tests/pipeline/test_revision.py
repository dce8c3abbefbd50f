from __future__ import annotations

import pathlib
import subprocess

import pytest

from builders.findings import write_library
from builders.repositories import committed, git
from rungbook.pipeline.repository import NoRevision
from rungbook.pipeline.revision import library_at

PLAIN = "[exercises/calf/a.md]\ntitle: Old title\n"


@pytest.fixture
def repository(tmp_path: pathlib.Path) -> pathlib.Path:
    """A repository with a library in one commit, tagged `one`; returns the library's folder."""
    folder = write_library(tmp_path, PLAIN)
    (folder / "pictures").mkdir()
    (folder / "pictures" / "a.jpg").write_bytes(b"\xff\xd8" * 1000)
    (tmp_path / "outside.md").write_text("not part of the library")
    committed(tmp_path)
    return folder


def listed(folder: pathlib.Path) -> list[str]:
    return sorted(
        path.relative_to(folder).as_posix() for path in folder.rglob("*") if path.is_file()
    )


def test_a_revision_gives_the_files_as_they_stood(repository: pathlib.Path) -> None:
    (repository / "exercises/calf/a.md").write_text("---\ntitle: New title\n---\n")
    with library_at("one", repository) as folder:
        assert listed(folder) == ["exercises/calf/a.md", "library.yml", "pictures/a.jpg"]
        assert "Old title" in (folder / "exercises/calf/a.md").read_text()
        kept = folder
    assert not kept.exists()


def test_the_working_files_and_the_repository_stay_as_they_are(repository: pathlib.Path) -> None:
    (repository / "exercises/calf/b.md").write_text("---\ntitle: Not committed\n---\n")
    top = repository.parent

    def state() -> bytes:
        arguments = ["git", "-C", str(top), "status", "--porcelain=v2", "--branch"]
        return subprocess.run(arguments, check=True, capture_output=True).stdout

    before = state()
    with library_at("one", repository):
        assert state() == before
    assert state() == before


def test_a_library_that_is_gone_by_now_can_still_be_read(repository: pathlib.Path) -> None:
    (repository.rename(repository.parent / "elsewhere"))
    with library_at("one", repository) as folder:
        assert "library.yml" in listed(folder)


def test_a_repository_that_is_the_library_itself(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, PLAIN)
    committed(folder)
    with library_at("HEAD", folder) as found:
        assert listed(found) == ["exercises/calf/a.md", "library.yml"]


def test_links_in_the_repository_are_not_followed(repository: pathlib.Path) -> None:
    (repository / "exercises" / "secret.md").symlink_to("/etc/passwd")
    git(repository.parent, "add", ".")
    git(repository.parent, "commit", "-q", "-m", "two")
    with library_at("HEAD", repository) as folder:
        assert "exercises/secret.md" not in listed(folder)


@pytest.mark.parametrize("revision", ["nowhere", "--output=x", "one:library", ""])
def test_what_is_no_revision_is_said(repository: pathlib.Path, revision: str) -> None:
    with (
        pytest.raises(NoRevision, match="is no folder, and git knows no such revision"),
        library_at(revision, repository),
    ):
        pass


def test_no_repository_is_said(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, PLAIN)
    with (
        pytest.raises(NoRevision, match="the library is in no git repository"),
        library_at("HEAD", folder),
    ):
        pass


def test_a_revision_without_the_library_is_said(repository: pathlib.Path) -> None:
    with (
        pytest.raises(NoRevision, match="revision 'one' has no files in"),
        library_at("one", repository.parent / "other"),
    ):
        pass
