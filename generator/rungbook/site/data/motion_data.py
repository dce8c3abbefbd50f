"""The eleven postures of an exercise for the handle on its curve: `data/motion/<id>.js`.

Most of a drawing is the same from posture to posture but for some numbers. So postures drawn of
the same shapes share one tree of nodes, in whose attributes `#` stands for a number that changes,
and each posture has those numbers alone: in tenths of a pixel, as what their change from posture to
posture changes by, which is little in a smooth movement (before the first all are zero and still).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any

import numpy as np

from rungbook.drawing.motion import motion
from rungbook.drawing.svg import number
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.site.data.node_tree import svg_node

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def motion_record(exercise: Exercise, load: ExerciseLoad) -> dict[str, Any]:
    """The box of the drawing, and runs of postures of the same shapes."""
    drawn = motion(exercise, load)
    return {"box": " ".join(map(number, drawn.box)), "runs": list(_runs(drawn.postures))}


def _runs(postures: Sequence[str]) -> Iterator[dict[str, Any]]:
    for form, run in groupby(postures, lambda posture: _NUMBER.sub("#", posture)):
        values = np.array([_NUMBER.findall(posture) for posture in run], float)
        tenths = np.rint(10 * values).astype(int)
        changing = (tenths != tenths[0]).any(0)
        shown = (
            "#" if changes else f"{value:g}"
            for changes, value in zip(changing.tolist(), values[0].tolist(), strict=True)
        )
        first, *pieces = form.split("#")
        told = first + "".join(map("".join, zip(shown, pieces, strict=True)))
        rows = np.diff(tenths[:, changing], n=2, axis=0, prepend=np.zeros((2, changing.sum()), int))
        yield {
            "nodes": svg_node(f"<svg>{told}</svg>")[2:],
            "rows": [" ".join(map(str, row)).replace(" -", "-") for row in rows.tolist()],
        }
