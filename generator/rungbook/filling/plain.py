"""Fillings as plain values: the shape of the JSON output."""

from __future__ import annotations

from typing import Any

from rungbook.filling.draft import changes_of
from rungbook.filling.result import Filling
from rungbook.ladder.plain import number


def filling_values(found: Filling) -> dict[str, Any]:
    """`{"from","to","size","rungs","proposals","last_step_size","blocked_by"}`, and more."""
    block = found.blocked_by
    return {
        "from": found.from_id,
        "to": found.to_id,
        "size": number(found.step.size),
        "missing": found.step.missing,
        "rungs": list(found.rungs),
        "proposals": [
            {
                "id": one.candidate.exercise.id,
                "title": one.candidate.exercise.title,
                "variation_of": one.candidate.base.id,
                "changes": changes_of(one),
                "levers": {setting.lever: setting.words for setting in one.candidate.settings},
                "demand_nm": number(one.load.demand_nm),
                "step_size": number(one.step_size),
                "reviewed": False,
            }
            for one in found.proposals
        ],
        "last_step_size": number(found.last_step_size),
        "blocked_by": block
        and {
            "axis": block.axis,
            "from": number(block.from_value),
            "to": number(block.to_value),
            "limit": number(block.limit),
            "message": block.message,
        },
        "candidates": found.computed,
        "capped": found.capped,
    }
