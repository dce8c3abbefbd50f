"""One value of a file's front matter, or one section of its text, written anew in its own place.

All else stays byte for byte: comments, order, layout, line ends.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

import yaml

from rungbook.filling.front import CannotEdit, Front
from rungbook.intake.yaml_text import yaml_line
from rungbook.reading.yaml_values import read_yaml

Piece = tuple[int, int, str]  # what of the text is replaced, and by what
MOST_NODES = 20_000


def with_value(front: Front, path: Sequence[str], was: Any, value: Any) -> Front:
    """With another value at `path`, one or two keys; None takes the key out.

    Where `was`, the value as a table had it, and `value` have parts in common, these stay as the
    file has them.

    Raises:
        CannotEdit: it cannot be done without changing anything else.
    """
    text = front.yaml
    pieces = sorted(_pieces(front, list(path), _plain(was), _plain(value)), reverse=True)
    for start, end, piece in pieces:
        text = text[:start] + piece + text[end:]
    edited = replace(front, yaml=text)
    if _values(edited) != _set(_values(front), path, _plain(was), _plain(value)):
        raise CannotEdit(f"{front.path}: '{'.'.join(path)}' is to be changed by hand")
    return edited


def with_section(front: Front, heading: str, old: str, new: str) -> Front:
    """With other words below a heading; a heading that is not there goes to the end.

    Raises:
        CannotEdit: the words are not to be found in one piece.
    """
    after, newline = front.after, front.newline
    words = new.replace("\n", newline)
    if heading == "" or not old:
        begins = f"## {heading}{newline}" if heading else ""
        if heading == "" or re.search(rf"^## +{re.escape(heading)}\s*$", after, re.MULTILINE):
            raise CannotEdit(f"{front.path}: 'text: {heading}' is to be changed by hand")
        ended = "" if after.endswith("\n") else newline
        return replace(front, after=f"{after}{ended}{newline}{begins}{words}{newline}")
    found = re.search(
        rf"(^## +{re.escape(heading)}[ \t]*\r?\n\s*?)({_lines(old)})", after, re.MULTILINE
    )
    if found is None:
        raise CannotEdit(f"{front.path}: the words below '{heading}' are to be changed by hand")
    kept = found[1] + words if new else ""
    return replace(front, after=after[: found.start()] + kept + after[found.end() :])


def _lines(text: str) -> str:
    """A pattern of a text, whatever its line ends."""
    return r"[ \t]*\r?\n".join(map(re.escape, text.split("\n")))


def _values(front: Front) -> dict[str, Any]:
    values, faults = read_yaml(front.yaml, MOST_NODES)
    if faults or not isinstance(values, dict):
        raise CannotEdit(f"{front.path}: the front matter cannot be read")
    return values


def _set(values: Mapping[str, Any], path: Sequence[str], was: Any, value: Any) -> dict[str, Any]:
    """What the front matter has to say afterwards."""
    first, *rest = path
    if rest:
        inner = values.get(first)
        new: Any = _set(inner if isinstance(inner, dict) else {}, rest, was, value)
    else:
        new = _wanted(values.get(first), was, value)
    without = {key: one for key, one in values.items() if key != first}
    return without if new is None or new == {} else {**values, first: new}


def _wanted(there: Any, was: Any, value: Any) -> Any:
    if there is None or was is None:
        return value
    if was == value:
        return there
    if _alike(was, value) and _alike(there, value):
        if isinstance(value, dict):
            return {key: _wanted(there[key], was[key], value[key]) for key in there}
        return tuple(_wanted(*parts) for parts in zip(there, was, value, strict=True))
    return value


def _alike(one: Any, other: Any) -> bool:
    """Whether both are mappings with the same keys, or lists of the same length."""
    if isinstance(one, dict) and isinstance(other, dict):
        return one.keys() == other.keys()
    return isinstance(one, tuple) and isinstance(other, tuple) and len(one) == len(other)


def _plain(value: Any) -> Any:
    if isinstance(value, list | tuple):
        return tuple(map(_plain, value))
    return {k: _plain(v) for k, v in value.items()} if isinstance(value, dict) else value


def _pieces(front: Front, path: list[str], was: Any, value: Any) -> list[Piece]:
    text, newline = front.yaml, front.newline
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    if not isinstance(root, yaml.MappingNode):
        raise CannotEdit(f"{front.path}: the front matter is no mapping")
    key, node = _entry(root, path[0])
    if len(path) == 2 and isinstance(node, yaml.MappingNode):
        inner_key, inner = _entry(node, path[1])
        if value is None or (inner is None and not node.flow_style):
            return _inner(text, node, path[1], inner_key, inner, value, newline)
        if inner is None:
            at = text.rfind("}", node.start_mark.index, node.end_mark.index)
            return [(at, at, (", " if node.value else "") + f"{path[1]}: {_flow(value)}")]
        return _differing(text, inner, was, value)
    if len(path) == 2:
        was, value = None, None if value is None else {path[1]: value}
    if node is not None and value is not None:
        return _differing(text, node, was, value)
    if node is not None:
        end = text.find("\n", _end(text, node))
        return [(key.start_mark.index, len(text) if end < 0 else end + 1, "")]
    if value is None:
        return []
    ended = "" if text.endswith("\n") or not text else newline
    return [(len(text), len(text), f"{ended}{path[0]}: {_flow(value)}{newline}")]


def _inner(
    text: str, node: Any, name: str, key: Any, inner: Any, value: Any, newline: str
) -> list[Piece]:
    """A key within a mapping taken out, or put below the last of a block."""
    if value is not None:
        at = _end(text, node)
        return [(at, at, f"{newline}{' ' * node.start_mark.column}{name}: {_flow(value)}")]
    if key is None:
        return []
    if not node.flow_style:
        begin = text.rfind("\n", 0, key.start_mark.index) + 1
        end = text.find("\n", _end(text, inner))
        return [(begin, len(text) if end < 0 else end + 1, "")]
    names = [one.value for one, _ in node.value]
    place = names.index(name)
    if place + 1 < len(names):
        return [(key.start_mark.index, node.value[place + 1][0].start_mark.index, "")]
    begin = _end(text, node.value[place - 1][1]) if place else key.start_mark.index
    return [(begin, inner.end_mark.index, "")]


def _entry(node: Any, name: str) -> tuple[Any, Any]:
    return next(((key, value) for key, value in node.value if key.value == name), (None, None))


def _differing(text: str, node: Any, was: Any, value: Any) -> list[Piece]:
    """Only the parts that differ, as long as keys and number of items are the same."""
    if was is not None and was == value:
        return []
    mapping = isinstance(node, yaml.MappingNode) and isinstance(value, dict)
    if mapping and _alike(was, value):
        parts = {key.value: one for key, one in node.value}
        if parts.keys() == value.keys():
            each = ((one, was[key], value[key]) for key, one in parts.items())
            return [piece for three in each for piece in _differing(text, *three)]
    listed = isinstance(node, yaml.SequenceNode) and isinstance(value, tuple)
    if listed and _alike(was, value) and len(node.value) == len(value):
        items = zip(node.value, was, value, strict=True)
        return [piece for three in items for piece in _differing(text, *three)]
    return [(node.start_mark.index, _end(text, node), _flow(value))]


def _end(text: str, node: Any) -> int:
    """Where a value's last letter is; comments after it are none of it."""
    if isinstance(node, yaml.CollectionNode) and not node.flow_style and node.value:
        last = node.value[-1]
        return _end(text, last[1] if isinstance(last, tuple) else last)
    written = text[node.start_mark.index : node.end_mark.index]
    return int(node.start_mark.index + len(written.rstrip()))


def _flow(value: Any) -> str:
    """A value in one line, fit for any place."""
    return yaml_line({"v": value}).removeprefix("{v: ").removesuffix("}")
