"""Reviews: what waits for one, and marking exercises as reviewed as they stand.

Files are edited in place: nothing but the review itself changes, comments, layout and line ends
stay. Either all are written or none.
"""

from __future__ import annotations

import datetime
import pathlib
import re
from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any

import yaml

from rungbook.checks.review_overdue import due
from rungbook.filling.front import CannotEdit, Front
from rungbook.model.exercise import Exercise
from rungbook.model.finding import Finding
from rungbook.model.library import Library
from rungbook.model.place import base_of
from rungbook.pipeline.together import refuse_base, write_together
from rungbook.reading.raw import read_bytes
from rungbook.reading.seals import present_seal
from rungbook.reading.yaml_values import read_yaml

_DATE, _SEAL = re.compile(r"\d{4}-\d\d-\d\d"), re.compile(r"[0-9a-f]{32}")
NOBODY = ""  # the role of exercises that were never reviewed


@dataclass(frozen=True, slots=True)
class Waiting:
    """An exercise that waits for a review, and since when: `role` is that of its last reviewer."""

    id: str
    title: str
    why: str
    role: str
    date: datetime.date | None


def queue(library: Library, today: datetime.date) -> tuple[Waiting, ...]:
    """What waits for a review on the day `today`, by role and date; the never reviewed first."""
    every = library.settings.review.every
    own = (one for one in library.exercises.values() if not base_of(one.file))
    waiting = (_waits(one, every, today) for one in own)
    return tuple(
        sorted(
            (one for one in waiting if one is not None),
            key=lambda one: (one.role, one.date or datetime.date.min, one.id),
        )
    )


def _waits(exercise: Exercise, every: str, today: datetime.date) -> Waiting | None:
    review = exercise.reviewed
    if review is None:
        why = f"never reviewed; a draft ({exercise.draft})" if exercise.draft else "never reviewed"
        return Waiting(exercise.id, exercise.title, why, NOBODY, None)
    last = due(review.date, every)
    if exercise.standing == "reviewed" and last is not None and last < today:
        return Waiting(exercise.id, exercise.title, f"due by {last}", review.by, last)
    if exercise.standing == "reviewed":
        return None
    return Waiting(exercise.id, exercise.title, exercise.standing, review.by, review.date)


def mark_reviewed(
    library: Library,
    ids: Collection[str],
    by: str,
    date: datetime.date,
    pictures: Mapping[str, str],
) -> tuple[str, ...]:
    """Write the review of each exercise, with the seal of what it says; returns the files.

    `by` is a role; `pictures` are the paths of the library's pictures by their names.

    Raises:
        CannotEdit: a file cannot be edited; nothing was written.
        NotWritten: a file cannot be written, or belongs to a base; nothing was.
    """
    contents: dict[str, bytes] = {}
    refuse_base(library.exercises[id].file for id in ids)
    for exercise in (library.exercises[id] for id in dict.fromkeys(ids)):
        review = {"date": date.isoformat(), "by": by, "seal": present_seal(exercise, pictures)}
        path = exercise.place("title").file
        front = Front.of(_bytes(library.root / path), path)
        contents[path] = with_review(front, review).content()
    write_together(library.root, contents)
    return tuple(contents)


def _bytes(file: pathlib.Path) -> bytes:
    data = read_bytes(str(file), str(file))
    if isinstance(data, Finding):
        raise CannotEdit(f"{file}: {data.message}")
    return data


def with_review(front: Front, review: Mapping[str, str]) -> Front:
    """A file with that review, keys and values as text.

    Raises:
        CannotEdit: it cannot be written without changing anything else.
    """
    newline, text = front.newline, front.yaml
    root: Any = yaml.compose(text, Loader=yaml.SafeLoader)
    node = next((value for key, value in root.value if key.value == "reviewed"), None)
    if node is None:
        line = ", ".join(f"{key}: {_scalar(value)}" for key, value in review.items())
        ended = "" if text.endswith("\n") or not text else newline
        text = f"{text}{ended}reviewed: {{{line}}}{newline}"
    else:
        for start, end, piece in sorted(_pieces(text, node, review, newline), reverse=True):
            text = text[:start] + piece + text[end:]
    edited = replace(front, yaml=text)
    if not _only_reviewed(front.yaml, edited.yaml, review):
        raise CannotEdit(f"{front.path}: write 'reviewed: {{}}' on a line of its own, then again")
    return edited


def _pieces(
    text: str, node: Any, review: Mapping[str, str], newline: str
) -> Iterator[tuple[int, int, str]]:
    """What replaces what in a mapping that is there: its own keys, and those that it lacks."""
    there = {key.value: value for key, value in getattr(node, "value", ())}
    for key, value in there.items():
        if key in review:
            yield value.start_mark.index, value.end_mark.index, _scalar(review[key])
    lacking = [f"{key}: {_scalar(value)}" for key, value in review.items() if key not in there]
    if not lacking:
        return
    if node.flow_style or not there:
        at = text.rfind("}", node.start_mark.index, node.end_mark.index)
        yield at, at, (", " if there else "") + ", ".join(lacking)
    else:
        at = max(value.end_mark.index for value in there.values())
        indent = newline + " " * node.start_mark.column
        yield at, at, "".join(indent + one for one in lacking)


def _scalar(value: str) -> str:
    """A text as YAML, fit for a mapping in one line; what may be a number in quotes."""
    if _DATE.fullmatch(value):
        return value
    if _SEAL.fullmatch(value):
        return f"'{value}'"
    flow = yaml.safe_dump([value], default_flow_style=True, width=10**6, allow_unicode=True)
    return flow.strip()[1:-1]


def _only_reviewed(before: str, after: str, review: Mapping[str, str]) -> bool:
    """Whether nothing but the review became another."""
    was, now = (read_yaml(text)[0] for text in (before, after))
    if not isinstance(was, dict) or not isinstance(now, dict):
        return False
    same = {**was, "reviewed": None} == {**now, "reviewed": None}
    return same and now.get("reviewed") == dict(review)
