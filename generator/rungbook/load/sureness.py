"""How sure a demand is: what would be otherwise with another build, another way to brace, or
angles and surfaces a little off where they are written.

Each share is what the peak would change by; together they are the root of the sum of squares. The
body table counts in the direction in which it lies, all else in both.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np

from rungbook.load.demand import row_of
from rungbook.load.person import Person
from rungbook.load.result import Demand
from rungbook.load.scaling import WayCoefficients
from rungbook.load.way_load import WayLoad

BODIES = ("female", "male")
BUILD = "build"  # the name of the share of another body table


def with_span(
    one: Demand,
    ways: Sequence[WayLoad],
    coefficients: Mapping[str, WayCoefficients],
    person: Person,
) -> Demand:
    """A demand with what it is made of that is not sure, and its low and high value."""
    if one.basis != "statics" or not one.curve_nm.any():
        return replace(one, low_nm=one.peak_nm, high_nm=one.peak_nm)
    row, sign = row_of(one.works), one.works.sign
    size = person.mass_kg * person.stature_m
    spans = {BUILD: 0.0}
    greatest = {
        body: max(
            float((sign * c.moments(body, person.mass_kg, person.stature_m)[row]).max())
            for c in coefficients.values()
        )
        for body in dict.fromkeys((person.body, *BODIES))
    }
    for body, peak in greatest.items():
        change = peak - greatest[person.body]
        if body != person.body and abs(change) > abs(spans[BUILD]):
            spans[BUILD] = change
    worst = max(ways, key=lambda way: float((sign * _curve(coefficients, way, person)[row]).max()))
    for name, sway in worst.sways.get(row, {}).items():
        spans[name] = float(sway[one.peak_phase]) * sign * size
    reference = next(iter(worst.body))
    as_is = float((sign * (worst.body[reference] + worst.fixed[reference] / worst.mass)[row]).max())
    for name, moments in worst.misplaced.items():
        spans[name] = (float((sign * moments[row]).max()) - as_is) * size
    top = float(one.curve_nm[one.peak_phase])
    down, up = reach(spans)
    low = min(one.peak_nm, max(0.0, top - down))
    return replace(one, low_nm=low, high_nm=max(one.peak_nm, top + up), spans=spans)


def _curve(coefficients: Mapping[str, WayCoefficients], way: WayLoad, person: Person) -> np.ndarray:
    c = coefficients[way.setup.way]
    return c.moments(person.body, person.mass_kg, person.stature_m)


def reach(spans: Mapping[str, float]) -> tuple[float, float]:
    """How far down and how far up, N·m."""
    both = sum(value**2 for name, value in spans.items() if name != BUILD)
    build = spans.get(BUILD, 0.0)
    return (both + min(build, 0.0) ** 2) ** 0.5, (both + max(build, 0.0) ** 2) ** 0.5


def difference_reach(one: Demand, other: Demand) -> float:
    """How far the difference of two demands is not sure, N·m: what they share cancels."""
    names = {**one.spans, **other.spans}
    shares = {name: other.spans.get(name, 0.0) - one.spans.get(name, 0.0) for name in names}
    return float(np.sqrt(sum(value**2 for value in shares.values())))
