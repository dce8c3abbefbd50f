"""The words of the format, for people: positions, joints with their zero, points, fields.

Everything but the sentences is read from the tables and models that the program itself uses, so
that nothing here can say anything else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from importlib import resources
from typing import Any

import numpy as np

from rungbook.body.joints import DOFS
from rungbook.body.positions import position
from rungbook.body.ranges import usual_range
from rungbook.model.body_point import MIDLINE_POINTS, PLURALS, SIDED_POINTS
from rungbook.model.movement import (
    MIDLINE_JOINTS,
    MOVEMENTS,
    ROOM_ANGLES,
    named_way,
)
from rungbook.model.position import POSITIONS
from rungbook.reading.schema import FILES, descriptions, file_schema
from rungbook.reading.yaml_values import read_yaml

STABILITY = ("lying or supported", "two feet or more", "a narrow base", "one leg", "unstable")


@dataclass(frozen=True, slots=True)
class Table:
    """One kind of words: its rows begin with the word; a heading a column, `about` above it."""

    title: str
    about: str
    headings: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]


def sentences() -> Mapping[str, Mapping[str, str]]:
    """What each word means, by kind."""
    text = resources.files("rungbook.reading").joinpath("format_words.yml").read_text("utf-8")
    values, _ = read_yaml(text)
    found: dict[str, Any] = dict(values) if isinstance(values, dict) else {}
    return found


def positions() -> Iterator[Table]:
    """Each position with what rests, the angles nobody needs to write, and its stability."""
    words = sentences()["positions"]
    yield Table(
        "Positions",
        "Write one as 'position'. It fixes how the trunk lies to gravity, what the body rests on, "
        "and the angles that nobody writes. Working side; the other side is the same unless said.",
        ("Position", "What it is", "Rests on", "Angles unless written", "Balance"),
        tuple(
            (
                name,
                words[name],
                ", ".join((*sorted(position(name).carried), *_contacts(name))),
                ", ".join(_angles(name)) or "all zero",
                STABILITY[min(position(name).stability, 4)],
            )
            for name in POSITIONS
        ),
    )


def _contacts(name: str) -> list[str]:
    found = position(name)
    return [point.removesuffix("-edge") for point in found.contacts if point not in found.carried]


def _angles(name: str) -> Iterator[str]:
    degrees = np.degrees(position(name).angles)
    for (side, joint, axis), angle in zip(DOFS, degrees, strict=True):
        if joint in MOVEMENTS and side != "left" and abs(angle) >= 1:
            movement = next(
                name for name, (one, sign) in MOVEMENTS[joint].items() if (one, sign) == (axis, 1)
            )
            words, sign = named_way(joint, movement, float(angle), float(angle))
            yield f"{words} {sign * angle:.0f}°"


def joints() -> Iterator[Table]:
    """Each joint with its zero, its movements and their usual range."""
    words = sentences()["joints"]
    rows = [
        (joint, words[joint], ", ".join(_movement(joint, one) for one in movements))
        for joint, movements in MOVEMENTS.items()
    ]
    rows += [(name, words[name], ", ".join(angles)) for name, angles in ROOM_ANGLES.items()]
    midline = ", ".join(sorted(MIDLINE_JOINTS))
    yield Table(
        "Joints and movements",
        "Angles are plain numbers in degrees from zero; a negative number is the opposite "
        "movement. Plain names mean the working side, or both sides with 'sides: both'; "
        f"'other-hip' is the other side's. {midline.capitalize()} have no side. Degrees: the "
        "usual range of healthy adults, beyond which the check asks.",
        ("Joint", "Zero", "Movements"),
        tuple(rows),
    )


def _movement(joint: str, movement: str) -> str:
    usual = usual_range(joint, movement)
    return movement if usual is None else f"{movement} {usual:.0f}°"


def points() -> Iterator[Table]:
    """Each point of the body, with how both sides and the other side are written."""
    words = sentences()["points"]
    plural = {one: many for many, one in PLURALS.items()}
    rows = [(point, words[point], "", "") for point in MIDLINE_POINTS]
    rows += [(point, words[point], plural[point], f"other-{point}") for point in SIDED_POINTS]
    yield Table(
        "Points of the body",
        "Write one as 'at' of contacts, assist and resistance. With 'sides: both' a single name "
        "means both sides too.",
        ("Point", "Where", "Both sides", "Other side"),
        tuple(rows),
    )


def fields() -> Iterator[Table]:
    """Each key of each kind of file and record, with an example."""
    titles = sentences()["records"]
    examples = _examples()
    for record, keys in descriptions().items():
        yield Table(
            record,
            titles[record],
            ("Key", "What it says", "Such as"),
            tuple((key, said, examples.get((record, key), "")) for key, said in keys.items()),
        )


def _examples() -> dict[tuple[str, str], str]:
    """The schema's own first example of each key, by record and key."""
    found: dict[tuple[str, str], str] = {}
    for kind, record in FILES.items():
        schema = file_schema(kind)
        for name, part in ((record.__name__, schema), *schema.get("$defs", {}).items()):
            for key, about in part.get("properties", {}).items():
                example = next(_in(about), None)
                if example is not None:
                    found.setdefault((name, key), str(example))
    return found


def _in(about: Any) -> Iterator[Any]:
    """Examples anywhere in a part of a schema, then the words it allows."""
    if isinstance(about, dict):
        yield from about.get("examples", ())
        for key in ("anyOf", "items", "prefixItems", "oneOf"):
            inner = about.get(key, ())
            for one in inner if isinstance(inner, list) else (inner,):
                yield from _in(one)
        if "enum" in about and len(about["enum"]) <= 8:
            yield " | ".join(map(str, about["enum"]))


KINDS: dict[str, Callable[[], Iterator[Table]]] = {
    "positions": positions,
    "points": points,
    "joints": joints,
    "fields": fields,
}
