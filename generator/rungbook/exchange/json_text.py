"""JSON text with one record a line: differences show by record, and writing it is quick."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any


class Line(str):
    """A record that is JSON text already."""


def line(value: Any) -> Line:
    """A record as JSON text."""
    # Indented text would be written by Python code, some ten times slower than by C.
    return Line(json.dumps(value, ensure_ascii=False))


def _one(value: Any) -> str:
    return value if isinstance(value, Line) else line(value)


def json_text(values: Mapping[str, Any]) -> str:
    """A record as JSON text that ends in a newline; each item of its lists has its own line."""
    parts = []
    for key, value in values.items():
        if isinstance(value, list) and value:
            items = ",\n".join(_one(item) for item in value)
            parts.append(f"{_one(key)}: [\n{items}\n]")
        else:
            parts.append(f"{_one(key)}: {_one(value)}")
    return "{\n" + ",\n".join(parts) + "\n}\n"
