"""Tests a clinician takes in the room: `tests.yml`, read once."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from importlib import resources
from typing import Any, Literal

from rungbook.reading.yaml_values import read_yaml

TestUnit = Literal["repetitions", "s", "%"]


@dataclass(frozen=True, slots=True)
class Norms:
    """Published values. `by_age` are those for men and women from an age on.

    A result `under` or `over` the value is what `says` names.
    """

    source: str
    read: str
    says: str
    under: float | None = None
    over: float | None = None
    by_age: Mapping[int, tuple[float, float]] = field(default_factory=dict)
    to_age: int = 120

    def least(self, age: float | None, male: bool) -> float | None:
        """Under which a result is what `says` names; None where none is published for the age."""
        if not self.by_age:
            return self.under
        if age is None or age > self.to_age:
            return None
        known = [from_age for from_age in self.by_age if from_age <= age]
        return self.by_age[max(known)][0 if male else 1] if known else None


@dataclass(frozen=True, slots=True)
class FunctionalTest:
    """A test: what it counts, and whether more is better."""

    key: str
    title: str
    unit: TestUnit
    more_is_better: bool
    norms: Norms


@cache
def functional_tests() -> Mapping[str, FunctionalTest]:
    """Every test, by key."""
    text = (resources.files("rungbook.reading") / "tests.yml").read_text(encoding="utf-8")
    values, _ = read_yaml(text)
    return {key: _test(key, one) for key, one in values.items()}


def _test(key: str, values: Mapping[str, Any]) -> FunctionalTest:
    norms = values["norms"]
    table = norms.get("by-age", {})
    by_age = {int(age): (float(men), float(women)) for age, (men, women) in table.items()}
    return FunctionalTest(
        key,
        values["title"],
        values["unit"],
        values["better"] == "more",
        Norms(
            norms["source"], norms["read"], norms["says"], norms.get("under"), norms.get("over"),
            by_age, norms.get("to-age", 120),
        ),
    )  # fmt: skip
