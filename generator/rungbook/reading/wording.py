"""How messages name a value of the author's and what was expected in its place."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from rungbook.reading.words import did_you_mean

# pydantic's kinds of faults in words a maintainer knows.
_EXPECTED = {
    "string_type": "text",
    "bool_type": "true or false",
    "int_type": "a whole number",
    "int_from_float": "a whole number",
    "float_type": "a plain number",
    "finite_number": "a plain number",
    "tuple_type": "a list, such as [one, two]",
    "dict_type": "keys with values",
    "model_type": "keys with values",
    "greater_than_equal": "at least {ge:g}",
    "less_than_equal": "at most {le:g}",
    "greater_than": "more than {gt:g}",
    "less_than": "less than {lt:g}",
    "too_long": "{max_length} at most",
}


def shown(text: str, most: int = 60) -> str:
    """A word of the author's, fit for a message: one line, printable, no markup, not long."""
    if re.search(r"<[a-zA-Z/!?]", text):
        return "(text with HTML)"
    clean = "".join(character if character.isprintable() else "\ufffd" for character in text)
    return clean if len(clean) <= most else f"{clean[: most - 1]}…"


def quoted(value: Any) -> str:
    """A value of the author's as a message shows it."""
    if value is None:
        return "empty"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"'{shown(value)}'"
    if isinstance(value, dict):
        return "keys with values"
    if isinstance(value, tuple):
        items = ", ".join(quoted(item) for item in value[:8])
        return shown(f"[{items}]") if value else "an empty list"
    return shown(str(value))


def expectation(kind: str, value: Any, context: Mapping[str, Any], message: str) -> str:
    """What was expected in place of `value`, and what to do, for a fault of pydantic's."""
    if kind == "literal_error":
        choices = re.findall(r"'([^']*)'", context["expected"])
        return one_of(value, choices)
    if "choices" in context and isinstance(value, str):
        return f"{context['expected']}: {did_you_mean(value, context['choices'], 'correct it')}"
    if "expected" in context:
        return f"{context['expected']}: {_mend(kind, value)}"
    if kind in _EXPECTED:
        return f"{_EXPECTED[kind].format(**context)}: {_mend(kind, value)}"
    return f"right ({message.lower()}): correct it"


def one_of(value: Any, choices: list[str] | tuple[str, ...]) -> str:
    """`one of a, b: did you mean 'a'?`"""
    near = did_you_mean(value, choices, "") if isinstance(value, str) else ""
    listed = ", ".join(choices) if len(choices) <= 20 else f"{', '.join(choices[:20])}, …"
    return f"one of {listed}: {near or 'write one of these'}"


def _mend(kind: str, value: Any) -> str:
    if value is None:
        return "write a value, or remove the line"
    if kind == "string_type" and isinstance(value, (int, float)):
        return "put it in quotes"
    if kind == "tuple_type" and isinstance(value, str):
        return f"write [{shown(value)}]"
    if kind == "string_type" and isinstance(value, dict):
        return "a colon or brace makes keys of a text: put it in quotes"
    return "correct it"
