"""A number with a unit, as text, to a number in SI units. Each distinct text is parsed once."""

from __future__ import annotations

import re
from functools import cache
from typing import Any

from pydantic_core import PydanticCustomError

# Units of everyday clinics and their factor to the SI unit; pint knows all others. A test holds
# this table against pint. It spares most runs from loading pint's definitions (0.3 s).
COMMON: dict[str, dict[str, float]] = {
    "kg": {"kg": 1.0, "g": 0.001, "lb": 0.45359237, "oz": 0.028349523125},
    "N": {"N": 1.0, "kN": 1000.0, "kgf": 9.80665, "lbf": 4.4482216152605},
    "m": {"m": 1.0, "cm": 0.01, "mm": 0.001, "in": 0.0254, "ft": 0.3048},
    "s": {"s": 1.0, "ms": 0.001, "min": 60.0, "h": 3600.0},
    "N*m": {"Nm": 1.0, "N·m": 1.0, "N*m": 1.0},
    "N*m/kg": {"Nm/kg": 1.0, "N·m/kg": 1.0, "N*m/kg": 1.0},
    "dimensionless": {"%": 0.01},
}
EXAMPLES = {
    "kg": "'2 kg' or '5 lb'",
    "N": "'20 N'",
    "m": "'0.45 m'",
    "s": "'30 s'",
    "N*m": "'60 Nm'",
    "N*m/kg": "'0.9 Nm/kg'",
    "dimensionless": "'50 %'",
}
QUANTITY = re.compile(r"\s*([+-]?\d{1,12}(?:\.\d{1,12})?)\s*([^\d\s.,+-][^\n]{0,30})?\s*")
# No digits and no brackets: a unit such as `kg**9**9` would keep the parser busy for ever.
_UNIT = re.compile(r"[^\W\d_]+(?:\s?[·/*]\s?[^\W\d_]+){0,3}")


def fault(
    kind: str, value: Any, expected: str, choices: tuple[str, ...] = ()
) -> PydanticCustomError:
    """A fault of a value: what was expected, and the words among which a typing error may lie."""
    context = {"value": repr(value)[:60], "expected": expected, "choices": choices}
    return PydanticCustomError(kind, "{value} is not {expected}", context)


@cache
def magnitude(text: str, unit: str) -> float:
    """The number of `text` in `unit`, one of the keys of `COMMON`.

    Raises:
        PydanticCustomError: kind `wrong_unit`, where the text has no unit or one of another
            dimension; `wrong_value`, where it is no quantity at all.
    """
    match = QUANTITY.fullmatch(text)
    if match is None:
        raise fault("wrong_value", text, f"a number with a unit, such as {EXAMPLES[unit]}")
    word = (match[2] or "").strip()
    if not word:
        raise fault("wrong_unit", text, f"a number with a unit, such as {EXAMPLES[unit]}")
    factor = COMMON[unit].get(word)
    if factor is None:
        factor = _factor(word, unit)
    if factor is None:
        raise fault("wrong_unit", text, f"in a unit that fits here, such as {EXAMPLES[unit]}")
    return float(match[1]) * factor


@cache
def _registry() -> Any:
    import pint

    return pint.UnitRegistry(cache_folder=None)


@cache
def _factor(word: str, unit: str) -> float | None:
    """How many `unit` one `word` is, by pint; None where it is not known or does not fit."""
    if _UNIT.fullmatch(word) is None or any(word in others for others in COMMON.values()):
        return None  # a common word of another dimension: no need to load pint to know
    import pint

    registry = _registry()
    try:
        return float(registry.Quantity(1.0, word).to(unit).magnitude)
    except (pint.errors.PintError, AttributeError, TypeError, ValueError, ZeroDivisionError):
        return None
