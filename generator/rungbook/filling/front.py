"""An exercise's file taken apart, so that its YAML is edited as text: comments and layout stay."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml


class CannotEdit(Exception):
    """Why a file is not edited; the message names it and says what is wrong."""


@dataclass(frozen=True, slots=True)
class Front:
    """A text file in three: what stands before the YAML, the YAML, what follows."""

    path: str
    before: str
    yaml: str
    after: str

    @classmethod
    def of(cls, content: bytes, path: str) -> Front:
        """Take a file apart.

        Raises:
            CannotEdit: it is no exercise any more.
        """
        try:
            text = content.decode("utf-8")
        except UnicodeDecodeError as error:
            raise CannotEdit(f"{path} cannot be read: {error}") from error
        first = text.find("\n") + 1
        end = text.find("\n---", first - 1) + 1
        if not first or not end or text[:first].strip().lstrip("\ufeff") != "---":
            raise CannotEdit(f"{path} has no front matter any more")
        return cls(path, text[:first], text[first:end], text[end:])

    @property
    def newline(self) -> str:
        """How its lines end."""
        return "\r\n" if "\r\n" in self.yaml else "\n"

    def content(self) -> bytes:
        """The whole file."""
        return (self.before + self.yaml + self.after).encode()


def with_progression(front: Front, progression: Mapping[str, Any]) -> Front:
    """With one more progression after those there are.

    Raises:
        CannotEdit: its progressions are no list.
    """
    text, newline = front.yaml, front.newline
    flow = yaml.safe_dump(dict(progression), default_flow_style=True, width=10**6,
                          sort_keys=False, allow_unicode=True).strip()  # fmt: skip
    node = _progressions(text, front.path)
    if node is None:
        return replace(front, yaml=f"{text}progressions:{newline}  - {flow}{newline}")
    if node.value and node.flow_style:
        at, added = node.value[-1].end_mark.index, f", {flow}"
    elif isinstance(node, yaml.SequenceNode) and node.flow_style:
        at, added = node.start_mark.index + 1, flow
    elif node.value:
        first = node.value[0].start_mark.index
        lead = text[text.rfind("\n", 0, first) + 1 : first]
        at, added = _end_of_line(text, node.value[-1]), f"{lead}{flow}{newline}"
    else:
        at, added = _end_of_line(text, node), f"  - {flow}{newline}"
    return replace(front, yaml=text[:at] + added + text[at:])


def _progressions(text: str, path: str) -> Any:
    """The node of the progressions: a list, or a scalar of nothing; None without any."""
    try:
        node = yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        raise CannotEdit(f"{path}: the front matter cannot be read") from error
    if not isinstance(node, yaml.MappingNode):
        raise CannotEdit(f"{path}: the front matter is no mapping")
    found = next((value for name, value in node.value if name.value == "progressions"), None)
    empty = isinstance(found, yaml.ScalarNode) and not found.value
    if found is not None and not empty and not isinstance(found, yaml.SequenceNode):
        raise CannotEdit(f"{path}: 'progressions' is no list that can be added to")
    return found


def _end_of_line(text: str, node: Any) -> int:
    """Where the line after a block's last item begins; comments below it stay below."""
    last = node
    while not isinstance(last, yaml.ScalarNode) and not last.flow_style and last.value:
        last = last.value[-1][1] if isinstance(last, yaml.MappingNode) else last.value[-1]
    written = text[last.start_mark.index : last.end_mark.index].rstrip()
    at = text.find("\n", last.start_mark.index + len(written))
    return len(text) if at < 0 else at + 1
