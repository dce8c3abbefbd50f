"""A small valid library to start from, with comments that explain the format."""

from __future__ import annotations

import pathlib
from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable

from rungbook import __version__


class NotEmpty(Exception):
    """The folder holds something already; the message says what to do."""


def _starter(folder: Traversable, path: str = "") -> Iterator[tuple[str, str]]:
    for entry in sorted(folder.iterdir(), key=lambda one: one.name):
        inside = f"{path}{entry.name}"
        if entry.is_dir():
            yield from _starter(entry, f"{inside}/")
        else:
            yield inside, entry.read_text(encoding="utf-8")


def starter_files() -> dict[str, str]:
    """The files of the starter library: path below its folder -> text."""
    return dict(_starter(files("rungbook.pipeline").joinpath("starter")))


IGNORED = "# What rungbook makes.\n/site/\n/.rungbook-writing/\n/rungbook.sarif\n"
WORKFLOW = ".github/workflows/library.yml"
USUAL_SOURCE = f"rungbook=={__version__}"


def repository_files(source: str = USUAL_SOURCE) -> dict[str, str]:
    """What makes the folder a repository that checks itself; `source` is what pip installs."""
    workflow = files("rungbook.pipeline").joinpath("workflow.yml").read_text(encoding="utf-8")
    return {".gitignore": IGNORED, WORKFLOW: workflow.replace("{source}", source)}


def start(folder: pathlib.Path, source: str = USUAL_SOURCE) -> tuple[str, ...]:
    """Writes the starter library into a new or empty folder; returns the files' paths.

    `source` is what pip installs where the library checks itself.

    Raises:
        NotEmpty: the folder has files in it, or is a file.
        OSError: it cannot be written to.
    """
    if folder.exists() and not folder.is_dir():
        raise NotEmpty(f"{folder} is a file: name a folder that does not exist yet")
    if folder.is_dir() and any(folder.iterdir()):
        raise NotEmpty(f"{folder} is not empty: name a new folder, nothing here was touched")
    written = {**starter_files(), **repository_files(source)}
    for path, text in written.items():
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_text(text, encoding="utf-8", newline="\n")
    return tuple(written)
