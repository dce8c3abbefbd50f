"""A draft as the text of an exercise file."""

from __future__ import annotations

import re

from rungbook.intake.draft import Draft, Kept
from rungbook.intake.yaml_text import yaml_text
from rungbook.model.exercise import Exercise
from rungbook.model.record import kebab
from rungbook.reading.exercises import SECTIONS
from rungbook.reading.front_matter import FORBIDDEN

HEADING = "From the spreadsheet"
OPENING = (
    "What the table says beyond the fields above, word for word. Put it where it belongs, then "
    "delete this section."
)
_ORDER = {kebab(name): number for number, name in enumerate(Exercise.model_fields)}


def file_of(draft: Draft) -> str:
    """Where the draft belongs, within the library."""
    folder = f"exercises/{draft.folder}" if draft.folder else "exercises"
    return f"{folder}/{draft.id}.md"


def draft_text(draft: Draft) -> str:
    """Front matter, sections, and what was kept. Nothing in it depends on the row's number."""
    keys = sorted(draft.values, key=lambda key: _ORDER.get(key, len(_ORDER)))
    parts = ["---\n", yaml_text({key: draft.values[key] for key in keys}), "---\n"]
    if draft.text.get(""):
        parts.append(f"{draft.text['']}\n")
    order = [*(h for h in SECTIONS if h in draft.text), *draft.text]
    sections = [f"## {h}\n{draft.text[h]}\n" for h in dict.fromkeys(order) if h]
    if draft.kept:
        kept = "\n".join(_kept(one) for one in draft.kept)
        sections.append(f"## {HEADING}\n{OPENING}\n\n{kept}")
    return "".join(parts) + "\n".join(sections)


def _kept(one: Kept) -> str:
    """A cell in a fenced block, in which Markdown and HTML are shown as written."""
    text = visible(one.text)
    fence = "`" * max(3, 1 + max((len(run) for run in re.findall(r"`+", text)), default=0))
    name = one.column.heading or f"column {one.column.letter}"
    return f"{_code(name)}\n\n{fence}\n{text}\n{fence}\n"


def _code(text: str) -> str:
    """A heading of the table as code, so that nothing in it is markup."""
    plain = " ".join(visible(text).split())
    ticks = "`" * (1 + max((len(run) for run in re.findall(r"`+", plain)), default=0))
    blank = " " if plain.startswith("`") or plain.endswith("`") else ""
    return f"{ticks}{blank}{plain}{blank}{ticks}"


def visible(text: str) -> str:
    """The text with characters that no file may hold written as `\\uXXXX`."""
    return FORBIDDEN.sub(lambda found: f"\\u{ord(found[0]):04x}", text)
