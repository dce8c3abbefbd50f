from __future__ import annotations

import json
import pathlib

from builders.reports import finding, report
from rungbook.reports.json import render


def test_the_shape_is_the_documented_one(tmp_path: pathlib.Path) -> None:
    found = finding(exercises=("a", "b"), ladder="calf", details={"axis": "demand", "size": 1.5})
    data = json.loads(render(report(tmp_path, found)))
    assert data == {
        "library": "library",
        "counts": {"error": 1, "warning": 0, "note": 0},
        "findings": [
            {
                "check": "wrong-value",
                "level": "error",
                "message": "a message",
                "file": "exercises/calf/a.md",
                "line": 3,
                "column": 11,
                "exercises": ["a", "b"],
                "ladder": "calf",
                "details": {"axis": "demand", "size": 1.5},
            }
        ],
        "accepted": [],
    }
