"""A dose as the scripts read it."""

from __future__ import annotations

from typing import Any

from rungbook.model.exercise import Dose
from rungbook.model.span import Span


def dose_record(dose: Dose | None) -> dict[str, Any] | None:
    """Seconds and sessions a week; unwritten values left out.

    Repetitions and effort are pairs, everything else a number, or a pair where a range is written.
    """
    if dose is None:
        return None
    record: dict[str, Any] = {}
    for name in Dose.model_fields:
        value = getattr(dose, name)
        if value is not None:
            paired = name in ("reps", "effort") or isinstance(value, Span)
            record[name] = [value.low, value.high] if paired else value
    return record
