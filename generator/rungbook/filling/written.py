"""Fields of an exercise as a file has them: units in strings, keys in kebab case."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import yaml

from rungbook.model.exercise import Exercise
from rungbook.model.quantity import After, EffortRange, RepRange
from rungbook.model.record import Record, kebab

UNITS = {
    "weight": "kg", "force": "N", "push": "N", "start": "N", "end": "N", "height": "m",
    "distance": "m", "stride": "m", "hold": "s", "duration": "s", "up": "s", "pause": "s",
    "down": "s", "rest": "s",
}  # fmt: skip
SHARES = frozenset({"share", "effort"})
# What a variation may change, in the order in which a file has it.
FIELDS = (
    "sides", "position", "incline", "stride", "stands_on", "front", "posture", "movement",
    "contacts", "assist", "resistance", "passive", "ballistic", "impact", "dose", "equipment",
    "cautions",
)  # fmt: skip


def changed_fields(exercise: Exercise, base: Exercise) -> dict[str, Any]:
    """What a file has to restate to make `base` into `exercise`: keys and values as written.

    Of a mapping only what differs is restated, since a variation's mappings are merged.
    """
    found: dict[str, Any] = {}
    for field in FIELDS:
        value, before = getattr(exercise, field), getattr(base, field)
        if value == before:
            continue
        if field in ("posture", "dose") and before is not None:
            found[kebab(field)] = _difference(written(value), written(before))
        else:
            found[kebab(field)] = written(value, field)
    return found


def _difference(value: Any, before: Any) -> Any:
    return {
        key: _difference(one, before[key])
        if isinstance(one, dict) and isinstance(before.get(key), dict)
        else one
        for key, one in value.items()
        if one != before.get(key)
    }


def written(value: Any, key: str = "") -> Any:
    """A value as a file has it."""
    if isinstance(value, Record):
        return {
            kebab(name): written(one, name)
            for name in type(value).model_fields
            if (one := getattr(value, name)) is not None and one is not False
        }
    if isinstance(value, RepRange):
        return value.low if value.low == value.high else f"{value.low}-{value.high}"
    if isinstance(value, EffortRange):
        same = value.low == value.high
        return f"{value.low:g} of 10" if same else f"{value.low:g}-{value.high:g} of 10"
    if isinstance(value, After):
        return after_in_words(value)
    if isinstance(value, Mapping):
        return {name: written(one, name) for name, one in value.items()}
    if isinstance(value, tuple) and key != "" and len(value) == 2 and _are_angles(value):
        return [_plain(one) for one in value]
    if isinstance(value, (tuple, list)):
        return [written(one) for one in value]
    return _number(value, key)


def _are_angles(value: tuple[Any, ...]) -> bool:
    return all(isinstance(one, float) for one in value)


def _number(value: Any, key: str) -> Any:
    if not isinstance(value, float):
        return value
    if key in SHARES:
        return f"{100 * value:.6g} %"
    if key == "sessions":
        daily = value >= 7 and not value % 7
        return f"{value / 7:g} per day" if daily else f"{value:.6g} per week"
    return f"{value:.6g} {UNITS[key]}" if key in UNITS else _plain(value)


def _plain(value: float) -> float | int:
    return int(value) if value == int(value) else value


def after_in_words(after: After) -> str:
    """`6 sessions`, `10 days`, `2 weeks`."""
    if after.unit == "sessions":
        return _times(after.count, "session")
    weeks = after.count / 7
    return (
        _times(weeks, "week") if weeks >= 1 and weeks == int(weeks) else _times(after.count, "day")
    )


def _times(count: float, what: str) -> str:
    return f"{count:g} {what}" if count == 1 else f"{count:g} {what}s"


def line(key: str, value: Any) -> str:
    """One key of the front matter on one line."""
    text = yaml.safe_dump(
        value, default_flow_style=True, width=10**6, sort_keys=False, allow_unicode=True
    )
    return f"{key}: {text.removesuffix('...' + chr(10)).strip()}\n"
