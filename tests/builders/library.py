"""Small libraries in a temporary folder, written from strings and dicts."""

from __future__ import annotations

import pathlib
from collections.abc import Mapping
from typing import Any

import yaml

Written = str | Mapping[str, Any]


def library_folder(
    root: pathlib.Path,
    exercises: Mapping[str, Written] | None = None,
    ladders: Mapping[str, Written] | None = None,
    settings: Written = "",
    vocabulary: Mapping[str, Written] | None = None,
    files: Mapping[str, str | bytes] | None = None,
) -> pathlib.Path:
    """Writes a library below `root` and returns its folder.

    `exercises` maps `area/id` (or `id`) to the file's whole text, or to its keys as a dict, in
    which the key `text` maps headings to Markdown. `ladders` likewise by id. `vocabulary` maps
    `areas`, … to YAML text or a dict; `files` adds any other file by its path.
    """
    folder = root / "library"
    folder.mkdir(parents=True, exist_ok=True)
    _write(folder / "library.yml", _plain(settings))
    for name, written in (exercises or {}).items():
        _write(folder / "exercises" / f"{name}.md", markdown(written))
    for name, written in (ladders or {}).items():
        _write(folder / "ladders" / f"{name}.md", markdown(written))
    for name, written in (vocabulary or {}).items():
        _write(folder / "vocabulary" / f"{name}.yml", _plain(written))
    for name, content in (files or {}).items():
        _write(folder / name, content)
    return folder


def markdown(written: Written) -> str:
    """A text file with front matter; text is taken as it is."""
    if isinstance(written, str):
        return written
    keys = {key: value for key, value in written.items() if key != "text"}
    text = written.get("text", {})
    body = (
        text
        if isinstance(text, str)
        else "".join(f"## {head}\n{words}\n" for head, words in text.items())
    )
    return f"---\n{_plain(keys)}---\n{body}"


def _plain(written: Written) -> str:
    if isinstance(written, str):
        return written
    return yaml.safe_dump(dict(written), sort_keys=False, allow_unicode=True) if written else ""


def _write(path: pathlib.Path, content: str | bytes) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    data = content.encode() if isinstance(content, str) else content
    path.write_bytes(data)
