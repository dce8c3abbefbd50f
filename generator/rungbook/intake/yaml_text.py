"""YAML text as the library's reader reads it: every word that it would take for a number quoted."""

from __future__ import annotations

import json
from typing import Any

import yaml

from rungbook.reading.core_schema import core_scalar

SHORT = 88  # letters of JSON that fit on one line
NO_WRAP = 1_000_000


class _Writer(yaml.SafeDumper):
    """Writes no aliases; short values on one line; block text where a value has several lines."""

    yaml_implicit_resolvers = {  # noqa: RUF012 - PyYAML's own name and kind of class variable
        letter: [(tag, pattern) for tag, pattern in rules if not tag.endswith("timestamp")]
        for letter, rules in yaml.SafeDumper.yaml_implicit_resolvers.items()
    }

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _text(writer: yaml.SafeDumper, value: str) -> yaml.ScalarNode:
    style = None
    if "\n" in value:
        style = "|"
    elif core_scalar(value) != value:
        style = "'"  # PyYAML writes YAML 1.1, which quotes other words than 1.2 needs
    return writer.represent_scalar("tag:yaml.org,2002:str", value, style=style)


def _list(writer: yaml.SafeDumper, value: Any) -> yaml.SequenceNode:
    return writer.represent_sequence("tag:yaml.org,2002:seq", value, flow_style=_is_short(value))


def _mapping(writer: yaml.SafeDumper, value: dict[str, Any]) -> yaml.MappingNode:
    flow = _is_short(value) or not any(isinstance(v, (dict, list, tuple)) for v in value.values())
    return writer.represent_mapping("tag:yaml.org,2002:map", value, flow_style=flow)


def _is_short(value: Any) -> bool:
    return len(json.dumps(value, ensure_ascii=False)) <= SHORT


_Writer.add_representer(str, _text)
_Writer.add_representer(list, _list)
_Writer.add_representer(tuple, _list)
_Writer.add_representer(dict, _mapping)


class _Key(dict[str, Any]):
    """A key and its value, on lines of their own whatever the value."""


def _block(writer: yaml.SafeDumper, value: _Key) -> yaml.MappingNode:
    return writer.represent_mapping("tag:yaml.org,2002:map", value, flow_style=False)


_Writer.add_representer(_Key, _block)


def yaml_text(values: dict[str, Any]) -> str:
    """Keys and values, one key a line where that is short; ends in a newline."""
    return "".join(_dumped(_Key({key: value})) for key, value in values.items())


def yaml_line(value: dict[str, Any]) -> str:
    """A mapping of scalars in one line, `{key: value}`."""
    return _dumped(value).strip()


def _dumped(value: dict[str, Any]) -> str:
    text: str = yaml.dump(value, Dumper=_Writer, allow_unicode=True, sort_keys=False, width=NO_WRAP)
    return text
