"""Quantities: text in, SI numbers out."""

import pint
import pytest
from pydantic_core import PydanticCustomError

from rungbook.model.unit import COMMON, EXAMPLES, magnitude

registry = pint.UnitRegistry(cache_folder=None)
PINT_WORDS = {"Nm": "N*m", "N·m": "N*m", "Nm/kg": "N*m/kg", "N·m/kg": "N*m/kg", "%": "percent"}


@pytest.mark.parametrize(
    ("unit", "word"), [(unit, word) for unit, words in COMMON.items() for word in words]
)
def test_every_common_unit_has_the_factor_that_pint_gives(unit: str, word: str) -> None:
    factor = registry.Quantity(1.0, PINT_WORDS.get(word, word)).to(unit).magnitude
    assert COMMON[unit][word] == pytest.approx(factor, rel=1e-9)


# NIST Special Publication 811 (2008), appendix B.8: pound 0.45359237 kg exactly, pound-force
# 4.448222 N, inch 0.0254 m exactly, foot 0.3048 m exactly, kilogram-force 9.80665 N exactly
# (from memory).
@pytest.mark.parametrize(
    ("text", "unit", "expected"),
    [
        ("5 lb", "kg", 5 * 0.45359237),
        ("1 lbf", "N", 4.448222),
        ("1 kgf", "N", 9.80665),
        ("18 in", "m", 0.4572),
        ("1 ft", "m", 0.3048),
        ("1.5 min", "s", 90.0),
        ("50 %", "dimensionless", 0.5),
        ("0.9 Nm/kg", "N*m/kg", 0.9),
        ("2kg", "kg", 2.0),
        ("1 stone", "kg", 14 * 0.45359237),
        ("2 hours", "s", 7200.0),
    ],
)
def test_a_quantity_is_converted_to_its_si_unit(text: str, unit: str, expected: float) -> None:
    assert magnitude(text, unit) == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "unit", "kind"),
    [
        ("2", "kg", "wrong_unit"),
        ("2 s", "kg", "wrong_unit"),
        ("20 kg", "N", "wrong_unit"),
        ("2 quux", "kg", "wrong_unit"),
        ("two kg", "kg", "wrong_value"),
        ("2 kg, more or less", "kg", "wrong_unit"),
        ("", "kg", "wrong_value"),
        ("1e9 kg", "kg", "wrong_unit"),
        # Exponents would keep a parser of units busy for ever.
        ("2 kg**9**9**9**9", "kg", "wrong_unit"),
        ("2 (kg)", "kg", "wrong_unit"),
    ],
)
def test_a_text_without_a_fitting_unit_is_refused(text: str, unit: str, kind: str) -> None:
    with pytest.raises(PydanticCustomError) as refused:
        magnitude(text, unit)
    assert refused.value.type == kind
    assert EXAMPLES[unit] in refused.value.message()
