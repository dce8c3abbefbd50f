"""The git repository that a library lies in, asked without letting it run anything.

Whoever may send a change may put any file into a library, and git takes a folder with `HEAD`,
`objects` and `refs` for a repository whose `config` names programs to run. So git never looks for
a repository from within a library: the nearest folder above it (or the library itself) with an
entry `.git`, which git does not let anybody commit, is the one, and it is named on every call.
Nothing is fetched, no hook, monitor, filter or outside program runs, and what the environment
says about git counts for nothing. The repository is not changed.
"""

from __future__ import annotations

import os
import pathlib
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import IO

from rungbook.reading.programs import ProgramFailed, environment, find_program, output_of

SECONDS = 60.0  # for one question to git
_SETTINGS = (
    "safe.bareRepository=explicit", "protocol.allow=never", "protocol.ext.allow=never",
    f"core.hooksPath={os.devnull}", "core.fsmonitor=false", "core.pager=cat", "diff.external=",
    "core.attributesFile=", "gc.auto=0", "maintenance.auto=false",
)  # fmt: skip
_VARIABLES = {
    # "none" is no protocol: an empty list would not survive on Windows.
    "GIT_ALLOW_PROTOCOL": "none",
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_LITERAL_PATHSPECS": "1",
}


class NoRevision(Exception):
    """The revision cannot be read; the message says why and what to do."""


@dataclass(frozen=True, slots=True)
class Repository:
    """A repository by its git folder, and the library's folder below its top."""

    program: pathlib.Path
    git_folder: pathlib.Path
    inside: str  # with forward slashes; empty where the library is the top

    @contextmanager
    def stream(self, *arguments: str, given: bytes = b"") -> Iterator[IO[bytes]]:
        """What git answers."""
        command = ["--git-dir", str(self.git_folder), *arguments]
        with _git(self.program, self.git_folder, command, given) as answer:
            yield answer

    def ask(self, *arguments: str) -> bytes:
        """A short answer of git's."""
        with self.stream(*arguments) as answer:
            return answer.read(100_000)


@contextmanager
def _git(
    program: pathlib.Path, folder: pathlib.Path, arguments: Sequence[str], given: bytes = b""
) -> Iterator[IO[bytes]]:
    settings = [part for setting in _SETTINGS for part in ("-c", setting)]
    variables = environment(
        without="GIT_", GIT_CEILING_DIRECTORIES=str(folder.parent), **_VARIABLES
    )
    try:
        with output_of(
            program, [*settings, "--no-pager", *arguments],
            given=given, seconds=SECONDS, folder=folder, variables=variables,
        ) as answer:  # fmt: skip
            yield answer
    except ProgramFailed as error:
        raise NoRevision(str(error)) from None


def _top(folder: pathlib.Path) -> pathlib.Path:
    for above in (folder, *folder.parents):
        if os.path.lexists(above / ".git"):
            return above
    raise NoRevision("the library is in no git repository: compare two folders instead")


def repository_of(library: pathlib.Path) -> Repository:
    """The repository that a library's folder lies in, whether the folder is still there or not.

    Raises:
        NoRevision: git is not installed, there is no repository, or it is not to be trusted.
    """
    program = find_program("git")
    if program is None:
        raise NoRevision("git is not installed: install it, or compare two folders instead")
    folder = pathlib.Path(os.path.realpath(library))
    top = _top(folder)
    # git itself is asked once, so that it may refuse what belongs to somebody else.
    try:
        with _git(program, top, ["rev-parse", "--absolute-git-dir"]) as answer:
            found = answer.read(100_000).decode("utf-8", "surrogateescape").strip("\n")
    except NoRevision as error:
        if "safe.directory" in str(error):
            raise NoRevision(f"{top} belongs to somebody else: git refuses it") from None
        raise NoRevision(f"{top / '.git'} is not a git repository") from None
    git_folder = pathlib.Path(found)
    if git_folder == top or not git_folder.is_absolute():
        raise NoRevision(f"{top / '.git'} is not a git repository")
    return Repository(program, git_folder, folder.relative_to(top).as_posix().removeprefix("."))
