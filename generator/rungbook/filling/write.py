"""Writes a filling into the library: the drafts' files, and the progressions that lead to them.

Files that exist are edited in place: nothing but the progression concerned changes, comments,
layout and line ends stay. Either everything is written or nothing.
"""

from __future__ import annotations

import os
import pathlib
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import yaml

from rungbook.filling.draft import (
    TO_REVIEW,
    drafts_of,
    progression_to,
    replaced_edge,
)
from rungbook.filling.result import Filling
from rungbook.ladder.measured import MeasuredLibrary


class CannotWrite(Exception):
    """Why a filling is not written; the message names the file and says what to do."""


@dataclass(frozen=True, slots=True)
class Written:
    """The files that were added and those that were changed, as paths in the library."""

    added: tuple[str, ...]
    changed: tuple[str, ...]


def write_filling(measured: MeasuredLibrary, filling: Filling) -> Written:
    """Add the drafts and put the path in place of the direct progression.

    Raises:
        CannotWrite: a file is in the way or cannot be edited; nothing was written.
    """
    root = measured.library.root
    drafts = drafts_of(measured, filling)
    edits = _edits(measured, filling)
    for draft in drafts:
        if os.path.lexists(root / draft.path):
            raise CannotWrite(f"{draft.path} exists already: rename or remove it first")
    contents = {root / draft.path: draft.text.encode() for draft in drafts}
    contents |= {root / path: content for path, content in edits.items()}
    write_all(contents)
    return Written(tuple(draft.path for draft in drafts), tuple(edits))


def _edits(measured: MeasuredLibrary, filling: Filling) -> dict[str, bytes]:
    """New contents of the existing files whose progressions change."""
    exercises = measured.library.exercises
    edge = replaced_edge(measured, filling)
    found: dict[str, bytes] = {}
    for easier, harder in pairwise(filling.rungs):
        if easier not in exercises:
            continue
        targets = [one.to for one in exercises[easier].progressions]
        direct = easier == filling.from_id and filling.to_id in targets
        if harder in targets and not (direct and harder != filling.to_id):
            continue
        path = exercises[easier].place().file
        front = Front.of(measured.library.root / path, path)
        if direct and harder in targets:
            front = front.without(targets.index(filling.to_id))
        elif direct:
            front = front.leading_to(targets.index(filling.to_id), harder)
        else:
            front = front.with_first(progression_to(harder, edge, TO_REVIEW))
        found[path] = front.content()
    return found


@dataclass(frozen=True, slots=True)
class Front:
    """A text file in three: what stands before the YAML, the YAML, what follows."""

    path: str
    before: str
    yaml: str
    after: str

    @classmethod
    def of(cls, file: pathlib.Path, path: str) -> Front:
        """Take a file apart.

        Raises:
            CannotWrite: it cannot be read, or is no exercise any more.
        """
        try:
            text = file.read_bytes().decode("utf-8")
        except (OSError, UnicodeDecodeError) as error:
            raise CannotWrite(f"{path} cannot be read: {error}") from error
        first = text.find("\n") + 1
        end = text.find("\n---", first - 1) + 1
        if not first or not end or text[:first].strip().lstrip("\ufeff") != "---":
            raise CannotWrite(f"{path} has no front matter any more")
        return cls(path, text[:first], text[first:end], text[end:])

    def content(self) -> bytes:
        """The whole file."""
        return (self.before + self.yaml + self.after).encode()

    def leading_to(self, index: int, to: str) -> Front:
        """With another id as the `to` of one progression."""
        item = self._items()[index]
        value = _value(item, "to")
        if not isinstance(value, yaml.ScalarNode):
            raise CannotWrite(f"{self.path}: the progression {index + 1} has no plain 'to'")
        return self._replaced(value.start_mark.index, value.end_mark.index, to)

    def without(self, index: int) -> Front:
        """Without one progression of several."""
        items = self._items()
        node = items[index]
        if self._flow():
            last = index == len(items) - 1
            start = items[index - 1].end_mark.index if last else node.start_mark.index
            end = node.end_mark.index if last else items[index + 1].start_mark.index
            return self._replaced(start, end, "")
        start = self._line_start(node.start_mark.index)
        if index + 1 < len(items):
            end = self._line_start(items[index + 1].start_mark.index)
        else:
            end = self._line_start(node.end_mark.index) or len(self.yaml)
        return self._replaced(start, end, "")

    def with_first(self, progression: Mapping[str, Any]) -> Front:
        """With one more progression before those there are."""
        flow = yaml.safe_dump(dict(progression), default_flow_style=True, width=10**6,
                              sort_keys=False, allow_unicode=True).strip()  # fmt: skip
        newline = "\r\n" if "\r\n" in self.yaml else "\n"
        node = _value(_root(self.yaml, self.path), "progressions")
        if node is None:
            return self._replaced(
                len(self.yaml), len(self.yaml), f"progressions:{newline}  - {flow}{newline}"
            )
        if not isinstance(node, yaml.SequenceNode):
            raise CannotWrite(f"{self.path}: 'progressions' is no list that can be added to")
        if self._flow():
            comma = ", " if node.value else ""
            at = node.start_mark.index + 1
            return self._replaced(at, at, flow + comma)
        at = self._line_start(node.value[0].start_mark.index)
        lead = self.yaml[at : node.value[0].start_mark.index]
        return self._replaced(at, at, f"{lead}{flow}{newline}")

    def _flow(self) -> bool:
        node = _value(_root(self.yaml, self.path), "progressions")
        return isinstance(node, yaml.SequenceNode) and bool(node.flow_style)

    def _items(self) -> list[Any]:
        node = _value(_root(self.yaml, self.path), "progressions")
        if not isinstance(node, yaml.SequenceNode):
            raise CannotWrite(f"{self.path}: 'progressions' is no list")
        return list(node.value)

    def _line_start(self, index: int) -> int:
        return self.yaml.rfind("\n", 0, index) + 1

    def _replaced(self, start: int, end: int, text: str) -> Front:
        changed = self.yaml[:start] + text + self.yaml[end:]
        return Front(self.path, self.before, changed, self.after)


def _root(text: str, path: str) -> Any:
    try:
        node = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        raise CannotWrite(f"{path}: the front matter cannot be read") from error
    if not isinstance(node, yaml.MappingNode):
        raise CannotWrite(f"{path}: the front matter is no mapping")
    return node


def _value(node: Any, key: str) -> Any:
    if not isinstance(node, yaml.MappingNode):
        return None
    return next((value for name, value in node.value if name.value == key), None)


def write_all(contents: Mapping[pathlib.Path, bytes]) -> None:
    """All files beside their places first, then each moved into it; what fails is taken back."""
    waiting: list[tuple[pathlib.Path, pathlib.Path]] = []
    before: dict[pathlib.Path, bytes | None] = {}
    try:
        for path, content in contents.items():
            path.parent.mkdir(parents=True, exist_ok=True)
            handle, name = tempfile.mkstemp(dir=path.parent, prefix=".", suffix=".writing")
            waiting.append((pathlib.Path(name), path))
            with os.fdopen(handle, "wb") as file:
                file.write(content)
            os.chmod(name, path.stat().st_mode & 0o777 if path.exists() else 0o644)
        for temporary, path in waiting:
            before[path] = path.read_bytes() if path.exists() else None
            os.replace(temporary, path)
    except OSError as error:
        for path, content_before in before.items():
            if content_before is None:
                path.unlink(missing_ok=True)
            else:
                path.write_bytes(content_before)
        raise CannotWrite(f"nothing was written: {error}") from error
    finally:
        for temporary, _ in waiting:
            temporary.unlink(missing_ok=True)
