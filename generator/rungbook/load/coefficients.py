"""The coefficients of one way, rounded once for all that is told of it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from rungbook.load.reaction import Between, Change
from rungbook.load.result import PHASES
from rungbook.load.scaling import DIGITS, MassChange, WayCoefficients
from rungbook.load.shown import pushed_back
from rungbook.model.digits import significant

if TYPE_CHECKING:
    from rungbook.load.way_load import WayLoad

Array = NDArray[np.float64]
READ_DIGITS = 5  # of people of other statures, between whom loads are read
NOISE = 1e-12  # what sums of numbers about 1 leave where they should be nothing


def coefficients_of(way: WayLoad, limb: str, digits: int = DIGITS) -> WayCoefficients:
    """Rescales one way for anybody; `limb`, leg or arm, is the one whose weight is told."""
    borne, fixed_borne = _borne(way, limb)
    tables = tuple(way.body)
    arrays = [
        array
        for kind in (way.body, way.fixed, way.inertia, borne, fixed_borne)
        for array in kind.values()
    ]
    rounded = iter(_rounded([*arrays, way.angles], digits))
    a, b, c, borne, fixed_borne = ({name: next(rounded) for name in tables} for _ in range(5))
    here = WayCoefficients(
        a, b, c, next(rounded), borne, fixed_borne, _changes(way, limb, digits),
        way.forces.effort or 0.0, way.stature,
    )  # fmt: skip
    others = tuple(
        (height, None if other is None else coefficients_of(other, limb, READ_DIGITS))
        for height, other in sorted(way.at_statures.items())
    )
    same = all(other is not None and _same(here, other) for _, other in others)
    return here if same else replace(here, statures=others)


def _same(one: WayCoefficients, other: WayCoefficients) -> bool:
    """Whether two statures make no difference: what moves is not what stands on furniture."""
    return (
        all(
            np.allclose(
                getattr(one, kind)[table], getattr(other, kind)[table], rtol=1e-4, atol=1e-6
            )
            for kind in ("a", "b", "c", "borne", "fixed_borne")
            for table in one.a
        )
        and not any(one.changes.values())
        and not any(other.changes.values())
    )


def _rounded(arrays: list[Array], digits: int) -> list[Array]:
    flat = np.concatenate([array.ravel() for array in arrays])
    flat = significant(np.where(np.abs(flat) < NOISE, 0.0, flat), digits)
    ends = np.cumsum([array.size for array in arrays])
    return [
        part.reshape(array.shape)
        for part, array in zip(np.split(flat, ends[:-1]), arrays, strict=True)
    ]


def _borne(way: WayLoad, limb: str) -> tuple[dict[str, Array], dict[str, Array]]:
    borne = {table: np.zeros((3, PHASES)) for table in way.body}
    fixed = {table: np.zeros((3, PHASES)) for table in way.body}
    for one in way.reactions:
        if one.contact.side != "left" and one.contact.body_point.limb == limb:
            active = np.asarray(one.contact.active, dtype=float)
            for table in way.body:
                borne[table] += one.per_kg[table] * active
                fixed[table] += one.fixed[table] * active
    for table in way.body:
        fixed[table] += pushed_back(way, limb)
    return borne, fixed


def _changes(way: WayLoad, limb: str, digits: int) -> Mapping[str, tuple[MassChange, ...]]:
    """By table, one for each phase and pair of masses."""
    moments: dict[Between, list[Change]] = defaultdict(list)
    forces: dict[Between, list[Change]] = defaultdict(list)
    for change in way.moment_changes:
        moments[change.between].append(change)
    for one in way.reactions:
        if one.contact.side != "left" and one.contact.body_point.limb == limb:
            for change in one.changes:
                forces[change.between].append(change)
    found: dict[str, list[MassChange]] = {table: [] for table in way.body}
    for between, changes in moments.items():
        table, phase, lightest, heaviest = between
        borne = forces[between]
        sums = (
            sum((change.per_kg for change in changes), np.zeros(len(way.angles))),
            sum((change.fixed for change in changes), np.zeros(len(way.angles))),
            sum((change.per_kg for change in borne), np.zeros(3)),
            sum((change.fixed for change in borne), np.zeros(3)),
        )
        found[table].append(MassChange(phase, lightest, heaviest, *_rounded(list(sums), digits)))
    return {table: tuple(changes) for table, changes in found.items()}
