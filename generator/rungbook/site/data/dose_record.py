"""A dose as the scripts read it."""

from __future__ import annotations

from typing import Any

from rungbook.model.exercise import Dose


def dose_record(dose: Dose | None) -> dict[str, Any] | None:
    """Seconds and sessions a week; ranges as pairs; unwritten values left out."""
    if dose is None:
        return None
    record: dict[str, Any] = {}
    for name in Dose.model_fields:
        value = getattr(dose, name)
        if value is not None:
            record[name] = [value.low, value.high] if name in ("reps", "effort") else value
    return record
