"""What a check's docstring says, in parts."""

from __future__ import annotations

import inspect
import re
from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Explanation:
    """Why a check exists and how to mend what it finds; the examples are small libraries.

    `fails` and `passes` are the examples as written; `files_of` takes them apart.
    """

    summary: str
    why: str
    mend: str
    fails: str
    passes: str


def explain(docstring: str) -> Explanation:
    """Take a check's docstring apart."""
    text = inspect.cleandoc(docstring)
    prose, fails, passes = [*re.split(r"^(?:Fails|Passes):.*\n?", text, flags=re.M), "", ""][:3]
    paragraphs = [re.sub(r"\s+", " ", part).strip() for part in re.split(r"\n\s*\n", prose)]
    paragraphs = [part for part in paragraphs if part] or [""]
    mend = [part for part in paragraphs[1:] if part.startswith("Mend")]
    why = [part for part in paragraphs[1:] if part not in mend]
    return Explanation(
        paragraphs[0],
        "\n\n".join(why),
        "\n\n".join(mend),
        inspect.cleandoc(fails),
        inspect.cleandoc(passes),
    )


def files_of(example: str) -> Mapping[str, str]:
    """The files of an example: path -> text as it would stand in a library."""
    parts = re.split(r"^\[([\w./-]+)\]\n", example.rstrip() + "\n", flags=re.M)
    return {path: _file(path, text) for path, text in zip(parts[1::2], parts[2::2], strict=True)}


def _file(path: str, text: str) -> str:
    if not path.endswith(".md"):
        return text
    front, _, body = text.partition("\n---\n")
    return f"---\n{front.rstrip()}\n---\n{body}"
