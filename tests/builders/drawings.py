"""Reading a drawing back, for tests: as a tree, by class, by coordinates."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from typing import Any

import numpy as np

from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise

SVG = "{http://www.w3.org/2000/svg}"
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def figure(exercise: Exercise, load: ExerciseLoad, **how: Any) -> str:
    """One exercise's figure; for `how` see `Wanted`."""
    return exercise_figures([Wanted(exercise, load, **how)])[0]


def tree(drawing: str) -> ET.Element:
    """The drawing parsed as XML; fails where it is not well-formed."""
    return ET.fromstring(drawing)


def with_class(root: ET.Element, name: str) -> list[ET.Element]:
    """Every element that has the class."""
    return [element for element in root.iter() if name in element.get("class", "").split()]


def words(root: ET.Element) -> str:
    """All visible words."""
    return " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))


def numbers(path: str) -> np.ndarray:
    """Every number in a path or a `points` attribute."""
    return np.array([float(text) for text in _NUMBER.findall(path)])


def faults(drawing: str) -> list[str]:
    """What no drawing may have: looks, scripts, references outside, ids that collide."""
    found = []
    root = tree(drawing)
    ids = []
    for element in root.iter():
        if element.tag.removeprefix(SVG) in ("script", "style", "image", "foreignObject", "use"):
            found.append(f"element {element.tag}")
        for name, value in element.attrib.items():
            if name == "style" or name.startswith("on") or "target" in name or "}" in name:
                found.append(f"attribute {name}")
            if name in ("fill", "stroke", "font-family", "font-size"):
                found.append(f"look {name}")
            if "://" in value or "url(" in value or "javascript:" in value.lower():
                found.append(f"reference {value}")
            if name == "id":
                ids.append(value)
    if len(ids) != len(set(ids)):
        found.append("an id twice")
    named = (root.get("aria-labelledby") or "").split()
    if root.get("role") not in ("img", "group") or not named or not set(named) <= set(ids):
        found.append("no accessible name")
    return found
