"""An exercise from its written form, in one call."""

from __future__ import annotations

from typing import Any

from rungbook.model.exercise import Exercise
from rungbook.model.record import kebab


def frozen(value: Any) -> Any:
    """Lists as tuples all the way down, as the reader hands them over."""
    if isinstance(value, dict):
        return {key: frozen(item) for key, item in value.items()}
    if isinstance(value, (list, tuple)):
        return tuple(frozen(item) for item in value)
    return value


def exercise(**front_matter: Any) -> Exercise:
    """`exercise(position="supine", works="hip flexion", …)`; id and title have defaults.

    Keys are written as in the files, with underscores for hyphens; values as YAML reads them.
    """
    written = {"id": "an-exercise", "title": "An exercise"} | front_matter
    works = written.get("works")
    return Exercise.model_validate(
        {kebab(key): value if key == "works" else frozen(value) for key, value in written.items()}
        | ({"works": works} if works is not None else {})
    )
