"""What maintainers change from one run to the next, in any library."""

from __future__ import annotations

import pathlib
import re
from collections.abc import Callable, Mapping

Edit = Callable[[pathlib.Path, int], object]  # the library's folder, and a number never used before


def edited(library: pathlib.Path) -> pathlib.Path:
    """The exercise that is edited: the first with a weight, a review and a progression."""
    return next(
        file
        for file in sorted(library.glob("exercises/**/*.md"))
        if all(word in file.read_text("utf-8") for word in ("weight: ", "\nreviewed:", "  - to: "))
    )


def _changed(library: pathlib.Path, pattern: str, by: str) -> None:
    file = edited(library)
    text = file.read_text(encoding="utf-8")
    new, count = re.subn(pattern, by, text, count=1, flags=re.MULTILINE)
    if not count or new == text:
        raise RuntimeError(f"{file}: nothing to edit like {pattern}")
    file.write_text(new, encoding="utf-8")


def weight(library: pathlib.Path, number: int) -> None:
    """Some grams more."""
    _changed(library, r"weight: [0-9.]+ kg", f"weight: {1.1 + number / 1000:.3f} kg")


def text(library: pathlib.Path, number: int) -> None:
    """A sentence more under "Do"."""
    _changed(library, r"^## Do\n", f"## Do\nBreathe on, once in {number} seconds.\n")


def review(library: pathlib.Path, number: int) -> None:
    """A newer review."""
    day = f"2026-{6 + number // 28 % 7:02d}-{1 + number % 28:02d}"
    _changed(library, r"^reviewed: \{date: [0-9-]+", f"reviewed: {{date: {day}")


def caution(library: pathlib.Path, number: int) -> None:
    """A caution more, or the one added taken away."""
    file = edited(library)
    lines = file.read_text(encoding="utf-8").split("\n")
    at = next((n for n, line in enumerate(lines) if line.startswith("cautions: [")), None)
    words = lines.pop(at)[len("cautions: [") : -1].split(", ") if at is not None else []
    known = library.joinpath("vocabulary/cautions.yml").read_text(encoding="utf-8")
    other = next(key for key in re.findall(r"^([a-z-]+):", known, re.MULTILINE) if key not in words)
    words = words[:-1] if number % 2 and words else [*words, other]
    lines.insert(2 if at is None else at, f"cautions: [{', '.join(words)}]")
    file.write_text("\n".join(lines), encoding="utf-8")


def exercise(library: pathlib.Path, number: int) -> None:
    """A new exercise, or the new one taken away."""
    here = edited(library)
    new = here.with_name("a-new-exercise.md")
    if new.exists():
        new.unlink()
        return
    front = re.sub(r"^progressions:\n(?: .*\n)*", "", here.read_text("utf-8"), flags=re.M)
    new.write_text(re.sub(r"^title: .*", f"title: New {number}", front, flags=re.M), "utf-8")


EDITS: Mapping[str, Edit] = {
    "a weight": weight,
    "a text": text,
    "a review date": review,
    "a caution": caution,
    "an exercise": exercise,
}
