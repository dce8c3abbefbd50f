"""Segment tables: mass, centre of mass and radius of gyration of each segment.

Everything is a fraction: of body mass, and of stature. The toes move on their own but have no
mass of their own: the tables count them with the foot.
"""

from __future__ import annotations

import csv
import importlib.resources
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray

from rungbook.body.joints import SEGMENTS, part_of

Array = NDArray[np.float64]
_FOLDER = importlib.resources.files("rungbook.body.tables")
_ROD_GYRATION = 1 / math.sqrt(12)  # where a table has none: a uniform rod


class UnknownTable(ValueError):
    """No segment table of that name."""


@dataclass(frozen=True)
class SegmentTable:
    """One published table on the model's skeleton.

    `mass` (18,) fractions that sum to one; `centre` (18, 3) in the segment's frame and
    `gyration` (18, 3), half the distance between two masses that stand for the segment's
    inertia across its long axis, both in fractions of stature.
    """

    name: str
    title: str
    source: str
    mass: Array
    centre: Array
    gyration: Array


@cache
def data(file: str) -> Any:
    """A data file of the body's folder, parsed."""
    return yaml.load(_FOLDER.joinpath(file).read_text(encoding="utf-8"), yaml.CSafeLoader)


@cache
def joint_offsets() -> Array:
    """Origin of every segment in the frame of the one before it, (18, 3), of stature."""
    written: Mapping[str, list[float]] = data("skeleton.yml")["joints"]
    offsets = np.zeros((len(SEGMENTS), 3))
    for index, segment in enumerate(SEGMENTS[1:], start=1):
        part, side = part_of(segment)
        offsets[index] = written[part]
        if side == "left":
            offsets[index, 1] *= -1.0
    return offsets


def landmark(name: str) -> Array:
    """A landmark in the frame of its (right) segment, (3,), of stature."""
    return np.array(data("skeleton.yml")["landmarks"][name][1], dtype=float)


def table_names() -> tuple[str, ...]:
    """Names of the tables, in the order of tables.yml."""
    return tuple(data("tables.yml"))


@cache
def segment_table(name: str) -> SegmentTable:
    """The table called `name`.

    Raises:
        UnknownTable: there is none; the message lists those there are.
    """
    if name not in table_names():
        known = ", ".join(table_names())
        raise UnknownTable(f"there is no segment table {name!r}; choose one of {known}")
    entry = data("tables.yml")[name]
    rows = _rows(entry["file"])
    mass = np.zeros(len(SEGMENTS))
    centre = np.zeros((len(SEGMENTS), 3))
    gyration = np.zeros((len(SEGMENTS), 3))
    for index, segment in enumerate(SEGMENTS):
        part, _ = part_of(segment)
        if part not in entry["segments"]:
            continue
        row_name, start_name, end_name = entry["segments"][part]
        row, start, end = rows[row_name], landmark(start_name), landmark(end_name)
        mass[index] = float(row["Mass"])
        centre[index] = start + float(row[entry["centre"]]) * (end - start)
        gyration[index] = _radius(row, entry["gyration"]) * (end - start)
    return SegmentTable(name, entry["title"], entry["source"], mass / mass.sum(), centre, gyration)


def _radius(row: Mapping[str, str], columns: list[str]) -> float:
    values = [float(row[column]) for column in columns]
    mean = sum(values) / len(values)
    return _ROD_GYRATION if math.isnan(mean) else mean


@cache
def _rows(file: str) -> dict[str, dict[str, str]]:
    text = _FOLDER.joinpath(file).read_text(encoding="utf-8")
    return {
        row["Segment"].strip(): row for row in csv.DictReader(text.splitlines(), delimiter="\t")
    }
