"""Git repositories for tests, the hostile ones included."""

from __future__ import annotations

import os
import pathlib
import shutil
import subprocess

MARK = "it-ran"


def git(folder: pathlib.Path, *arguments: str) -> str:
    """What git says in a folder, with an identity of its own and nobody's settings."""
    identity = ["-c", "user.name=Test", "-c", "user.email=test@example.org"]
    environment = {**os.environ, "GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_SYSTEM": os.devnull}
    done = subprocess.run(
        ["git", "-C", str(folder), *identity, *arguments],
        check=True, capture_output=True, env=environment,
    )  # fmt: skip
    return done.stdout.decode().strip()


def committed(folder: pathlib.Path, tag: str = "one") -> pathlib.Path:
    """A folder made a repository, all of it in one commit with a tag."""
    git(folder, "init", "-q")
    git(folder, "add", ".")
    git(folder, "commit", "-q", "-m", tag)
    git(folder, "tag", tag)
    return folder


def embed(folder: pathlib.Path, of: pathlib.Path, missing: str, command: str) -> None:
    """Puts files into `folder` that git takes for a bare repository: a copy of the one at `of`,
    without the object of the file `missing`, whose config has git run `command` to fetch it."""
    blob = git(of, "rev-parse", f"HEAD:{missing}")
    bare = of / "bare"
    git(of, "clone", "-q", "--bare", ".", str(bare))
    (bare / "objects" / blob[:2] / blob[2:]).unlink()
    (bare / "config").write_text(
        "[core]\n\trepositoryformatversion = 1\n\tbare = true\n"
        f"\tfsmonitor = {command}\n\thooksPath = hooks\n\tsshCommand = {command}\n"
        "[extensions]\n\tpartialClone = far\n"
        f'[remote "far"]\n\turl = "ext::{command.replace(" ", "% ")}"\n\tpromisor = true\n'
        '[protocol "ext"]\n\tallow = always\n[protocol]\n\tallow = always\n'
        f"[diff]\n\texternal = {command}\n[alias]\n\tls-tree = !{command}\n"
    )
    for entry in bare.iterdir():
        shutil.move(str(entry), str(folder / entry.name))
    bare.rmdir()
