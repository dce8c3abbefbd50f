"""Whoever may change a library's files must not thereby run a program on another's machine."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess
import sys

import pytest
from click.testing import CliRunner

from builders.findings import told, write_library
from builders.repositories import MARK, committed, embed, git
from rungbook.cli import main
from rungbook.pipeline.repository import NoRevision, repository_of
from rungbook.pipeline.revision import library_at
from rungbook.reading.read import read_library

EXERCISE = "exercises/calf/a.md"
PLAIN = f"[{EXERCISE}]\ntitle: Old title\n"


@pytest.fixture
def library(tmp_path: pathlib.Path) -> pathlib.Path:
    """A library that a repository holds, the repository's top above it."""
    folder = write_library(tmp_path, PLAIN)
    committed(tmp_path)
    return folder


def compared(library: pathlib.Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "rungbook.cli", "compare", "one"]
    return subprocess.run(command, cwd=library.parent, capture_output=True, text=True, check=False)


@pytest.mark.parametrize("where", ["", "exercises/calf", "notes/deep"])
def test_a_repository_embedded_in_a_library_is_never_asked(
    library: pathlib.Path, where: str
) -> None:
    mark = library.parent / MARK
    (library / where).mkdir(parents=True, exist_ok=True)
    embed(library / where, library.parent, f"library/{EXERCISE}", f"touch {mark}")
    done = compared(library)
    assert not mark.exists()
    # What the true repository says is answered all the same; the embedded one is a finding.
    assert done.returncode == 1
    assert "`unsafe-path`" in done.stdout
    with library_at("one", library) as folder:
        assert "Old title" in (folder / EXERCISE).read_text()
    assert not mark.exists()


@pytest.mark.parametrize("head", ["HEAD", "head"])
@pytest.mark.parametrize(
    "beside", [("objects/a", "refs/b"), ("commondir",), ("Objects/a", "REFS/b")]
)
@pytest.mark.parametrize("where", ["", "pictures/x/", "notes/deep/", ".hidden/", ".git/modules/"])
def test_check_names_a_folder_that_git_takes_for_a_repository(
    tmp_path: pathlib.Path, where: str, beside: tuple[str, ...], head: str
) -> None:
    folder = write_library(tmp_path, PLAIN)
    for name in (head, *beside):
        (folder / where / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / where / name).write_text("ref: refs/heads/main\n")
    found = [line for line in told(list(read_library(folder).findings)) if "unsafe-path" in line]
    if where == ".git/modules/":  # the library's own repository may have its modules
        assert found == []
        return
    assert found == [
        f"{where.rstrip('/') or '.'}:1:1 error unsafe-path: git takes this folder for a repository "
        "and runs what its config says: remove HEAD, config, objects and refs"
    ]


def test_the_repository_of_a_library_is_no_fault(
    library: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    assert told(list(read_library(library).findings)) == []
    alone = write_library(tmp_path / "alone", PLAIN)
    committed(alone)
    assert told(list(read_library(alone).findings)) == []


def test_a_repository_below_the_library_is_named_even_as_dot_git(tmp_path: pathlib.Path) -> None:
    folder = write_library(tmp_path, PLAIN)
    committed(folder / "exercises")
    assert [line.split(":")[0] for line in told(list(read_library(folder).findings))] == [
        "exercises/.git"
    ]


@pytest.mark.parametrize(
    ("name", "value"),
    [
        ("GIT_DIR", "/nowhere"),
        ("GIT_WORK_TREE", "/"),
        ("GIT_CONFIG_COUNT", "1"),
        ("GIT_SSH_COMMAND", "touch it-ran"),
        ("GIT_EXTERNAL_DIFF", "touch it-ran"),
        ("GIT_OBJECT_DIRECTORY", "/nowhere"),
        ("GIT_CEILING_DIRECTORIES", "/"),
    ],
)
def test_what_the_environment_says_of_git_counts_for_nothing(
    library: pathlib.Path, monkeypatch: pytest.MonkeyPatch, name: str, value: str
) -> None:
    monkeypatch.setenv(name, value)
    with library_at("one", library) as folder:
        assert (folder / EXERCISE).exists()


def test_nothing_is_fetched_even_where_the_repository_itself_says_so(
    library: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    mark = tmp_path / MARK
    blob = git(tmp_path, "rev-parse", f"one:library/{EXERCISE}")
    (tmp_path / ".git/objects" / blob[:2] / blob[2:]).unlink()
    for key, value in {
        "core.repositoryFormatVersion": "1",
        "extensions.partialClone": "far",
        "remote.far.url": f"ext::touch% {mark}",
        "remote.far.promisor": "true",
        "protocol.ext.allow": "always",
    }.items():
        git(tmp_path, "config", key, value)
    with (
        pytest.raises(NoRevision, match="not in this clone: make a whole one, without --filter"),
        library_at("one", library),
    ):
        pass
    assert not mark.exists()


def test_a_linked_worktree_and_a_submodule_have_their_repository(
    library: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    beside = tmp_path.parent / f"{tmp_path.name}-beside"
    git(tmp_path, "worktree", "add", "-q", "--detach", str(beside))
    with library_at("one", beside / "library") as folder:
        assert (folder / EXERCISE).exists()
    outer = tmp_path / "outer"
    outer.mkdir()
    git(outer, "init", "-q")
    git(outer, "-c", "protocol.file.allow=always", "submodule", "add", "-q", str(tmp_path), "inner")
    with library_at("one", outer / "inner/library") as folder:
        assert (folder / EXERCISE).exists()
    shutil.rmtree(beside)


@pytest.mark.parametrize("entry", ["file", "folder", "bare above"])
def test_an_entry_that_is_no_repository_is_said(tmp_path: pathlib.Path, entry: str) -> None:
    folder = write_library(tmp_path / "top", PLAIN)
    top = folder.parent
    committed(tmp_path / "top")
    if entry == "bare above":
        mark = tmp_path / MARK
        embed(top, top, f"library/{EXERCISE}", f"touch {mark}")
    shutil.rmtree(top / ".git")
    (top / ".git").write_text("gitdir: nowhere\n") if entry == "file" else (top / ".git").mkdir()
    with pytest.raises(NoRevision, match=r"\.git is not a git repository"):
        repository_of(folder)
    assert not (tmp_path / MARK).exists()


@pytest.mark.skipif(
    not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can give files away"
)
def test_a_repository_of_somebody_else_is_refused(
    library: pathlib.Path, tmp_path: pathlib.Path
) -> None:
    for path in (tmp_path, tmp_path / ".git"):
        os.chown(path, 65534, 65534)
    with pytest.raises(NoRevision, match="belongs to somebody else: git refuses it"):
        repository_of(library)


def test_a_revision_with_too_many_files_is_refused(
    library: pathlib.Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("rungbook.reading.limits.MOST_FILES", 1)
    with (
        pytest.raises(NoRevision, match="'one' cannot be read: it has more than 1 files there"),
        library_at("one", library),
    ):
        pass


def test_a_file_too_large_to_be_read_is_as_large_in_the_revision(
    tmp_path: pathlib.Path,
) -> None:
    folder = write_library(tmp_path, PLAIN)
    (folder / "exercises/calf/b.md").write_bytes(b"-" * 11_000_000)
    committed(tmp_path)
    with library_at("one", folder) as found:
        (one,) = [one for one in read_library(found).findings if one.check == "unreadable-file"]
    assert one.message == "the file is too large (11.0 MB, more than 1 MB): split it"


@pytest.mark.parametrize(
    "fault",
    [
        "ext::sh -c true",
        "--upload-pack=touch x",
        "one:",
        "@{upstream}",
        ":/Old",
        "one..one",
        "\x00",
    ],
)
def test_no_revision_is_more_than_a_name(library: pathlib.Path, fault: str) -> None:
    result = CliRunner().invoke(main, ["compare", fault, "--library", str(library)])
    assert result.exit_code == 2
    assert "Traceback" not in result.output and "fault of its own" not in result.output
