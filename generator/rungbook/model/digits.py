"""Numbers without the noise of their last digits, many at once."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

DIGITS = 9  # of numbers told to others: what programs of other versions compute alike
_TEN = 10.0 ** np.arange(23)  # all that a float holds exactly
_MOST = 12  # digits for which a product is sharp enough to be rounded
_NEAR = 1e-3  # a tie, as far as the product can tell


def significant(values: Array, digits: int) -> Array:
    """Each value as `float(f"{value:.{digits}g}")` has it, for 1 to 12 digits, and no -0."""
    assert 1 <= digits <= _MOST
    flat = np.asarray(values, float).ravel()
    size = np.abs(flat)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        power = digits - 1 - np.floor(np.log10(size))
        sound = (power >= 0) & (power < len(_TEN))
        scale = _TEN[np.where(sound, power, 0).astype(np.intp)]
        scaled = size * scale
        sound &= (scaled >= 10.0 ** (digits - 1)) & (scaled < 10.0**digits)
        sound &= np.abs(scaled - np.floor(scaled) - 0.5) > _NEAR
        found = np.copysign(np.rint(scaled) / scale, flat)
    zero = size == 0
    found[zero] = 0.0
    for place in np.flatnonzero(~(sound | zero)).tolist():
        found[place] = float(f"{flat[place]:.{digits}g}")
    return np.asarray(found.reshape(np.shape(values)))


def plain(values: Array) -> list[Any]:
    """Rounded values as one flat list, whole numbers without a point."""
    flat = values.ravel()
    found: list[Any] = flat.tolist()
    for place in np.flatnonzero((flat == np.rint(flat)) & (np.abs(flat) < 1e15)).tolist():
        found[place] = int(found[place])
    return found
