"""A progression added to an exercise's file: nothing else changes, comments and layout stay."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import yaml


class CannotEdit(Exception):
    """Why a file is not edited; the message names it and says what is wrong."""


def with_progression(content: bytes, path: str, progression: Mapping[str, Any]) -> bytes:
    """A file's bytes with one more progression after those there are.

    Raises:
        CannotEdit: it is no exercise any more, or its progressions are no list.
    """
    before, front, after = _parts(content, path)
    newline = "\r\n" if "\r\n" in front else "\n"
    flow = yaml.safe_dump(dict(progression), default_flow_style=True, width=10**6,
                          sort_keys=False, allow_unicode=True).strip()  # fmt: skip
    node = _progressions(front, path)
    if node is None:
        added = f"{front}progressions:{newline}  - {flow}{newline}"
    elif isinstance(node, yaml.ScalarNode):
        at = _end_of_line(front, node)
        added = f"{front[:at]}  - {flow}{newline}{front[at:]}"
    elif node.flow_style:
        comma = ", " if node.value else ""
        at = node.value[-1].end_mark.index if node.value else node.start_mark.index + 1
        added = f"{front[:at]}{comma}{flow}{front[at:]}"
    else:
        first = node.value[0].start_mark.index
        lead = front[front.rfind("\n", 0, first) + 1 : first]
        at = _end_of_line(front, node.value[-1])
        added = f"{front[:at]}{lead}{flow}{newline}{front[at:]}"
    return (before + added + after).encode()


def _parts(content: bytes, path: str) -> tuple[str, str, str]:
    """What stands before the YAML, the YAML, what follows."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError as error:
        raise CannotEdit(f"{path} cannot be read: {error}") from error
    first = text.find("\n") + 1
    end = text.find("\n---", first - 1) + 1
    if not first or not end or text[:first].strip().lstrip("\ufeff") != "---":
        raise CannotEdit(f"{path} has no front matter any more")
    return text[:first], text[first:end], text[end:]


def _progressions(front: str, path: str) -> Any:
    try:
        node = yaml.compose(front, Loader=yaml.SafeLoader)
    except yaml.YAMLError as error:
        raise CannotEdit(f"{path}: the front matter cannot be read") from error
    if not isinstance(node, yaml.MappingNode):
        raise CannotEdit(f"{path}: the front matter is no mapping")
    found = next((value for name, value in node.value if name.value == "progressions"), None)
    empty = isinstance(found, yaml.ScalarNode) and not found.value
    if found is not None and not empty and not isinstance(found, yaml.SequenceNode):
        raise CannotEdit(f"{path}: 'progressions' is no list that can be added to")
    return found


def _end_of_line(front: str, node: Any) -> int:
    """Where the line after a block's last item begins; comments below it stay below."""
    last = node
    while not isinstance(last, yaml.ScalarNode) and not last.flow_style and last.value:
        last = last.value[-1][1] if isinstance(last, yaml.MappingNode) else last.value[-1]
    text = front[last.start_mark.index : last.end_mark.index].rstrip()
    at = front.find("\n", last.start_mark.index + len(text))
    return len(front) if at < 0 else at + 1
