"""Cells of a table: the values of a field as text, and back.

A list of words is `one; two`; where a word holds a semicolon, a bracket or a line break, and for
anything with a structure, a cell holds JSON, which is YAML as well. A text that a spreadsheet
would take for a formula gets an apostrophe before it, which coming in takes off again.
"""

from __future__ import annotations

import json
import re
from collections.abc import Sequence
from typing import Any

SEPARATOR = "; "
BULLETS = " \t\r\u2022\u00b7"  # before an item, and no part of it
SENTENCES = frozenset({"back-off", "when"})  # fields whose items may hold commas
# What spreadsheets run: OWASP ASVS 5.0, 1.2.10, and line breaks and the wide forms of the signs.
_FORMULA = re.compile("'*[\0=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20|]")
_SHIELDED = re.compile("''*[\0=+\\-@\t\r\n\uff1d\uff0b\uff0d\uff20|]")
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


def shielded(text: str) -> str:
    """The text, with an apostrophe before it where it might be run as a formula."""
    if _FORMULA.match(text) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


def unshielded(text: str) -> str:
    """The text without the apostrophe that `shielded` put before it."""
    return text[1:] if _SHIELDED.match(text) else text


def cell(value: Any, field: str = "") -> str:
    """The value of a field of a file's front matter as the text of a cell."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (int, float)):
        return f"{value:.12g}"
    if isinstance(value, str):
        return value
    if (
        isinstance(value, (list, tuple))
        and value
        and all(_simple(item, field in SENTENCES) for item in value)
    ):
        return SEPARATOR.join(value)
    return structure(value)


def structure(value: Any) -> str:
    """A value of any structure in one line of JSON."""
    return json.dumps(value, ensure_ascii=False)


def _simple(item: Any, commas: bool) -> bool:
    if not isinstance(item, str):
        return False
    return item == item.strip(BULLETS).strip() != "" and not re.search(
        r"[;\n\r\[\]{}]" if commas else r"[,;\n\r\[\]{}]", item
    )


def words(text: str) -> list[str]:
    """The items of a list in a cell, split at semicolons and line breaks."""
    return [item for part in re.split(r"[;\n]", text) if (item := part.strip(BULLETS))]


def headings(texts: Sequence[dict[str, str]], first: Sequence[str]) -> list[str]:
    """All headings of some texts: the usual ones in their order, then the others by name."""
    found = {heading for text in texts for heading in text}
    return [*(h for h in first if h in found), *sorted(found - set(first))]
