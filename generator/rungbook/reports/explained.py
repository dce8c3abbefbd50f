"""What a check is for, as text for the terminal."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from rungbook.checks.registry import Check


def explained(check: Check) -> str:
    """Why a check exists, how to mend what it finds, and an example of each kind."""
    words = check.explanation
    paragraphs = [
        f"{check.name} ({check.level})",
        textwrap.fill(words.summary, 88),
        *(textwrap.fill(part, 88) for part in words.why.split("\n\n") if part),
        *(textwrap.fill(part, 88) for part in words.mend.split("\n\n") if part),
        "Fails:\n" + textwrap.indent(words.fails.rstrip(), "    "),
        "Passes:\n" + textwrap.indent(words.passes.rstrip(), "    "),
    ]
    return "\n\n".join(paragraphs) + "\n"


def listed(checks: Iterable[Check]) -> str:
    """One line a check: name, level, what it finds."""
    rows = list(checks)
    width = max((len(check.name) for check in rows), default=0)
    return "".join(
        f"{check.name:<{width}}  {check.level:<7}  {check.explanation.summary}\n" for check in rows
    )
