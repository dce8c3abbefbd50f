"""Values become bytes and come back to the bit; bytes can make nothing else."""

from __future__ import annotations

import contextlib
import json
import math
import pathlib
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from rungbook.load.result import Fault, PointForce
from rungbook.model.movement import Action
from rungbook.pipeline.packed import NotPacked, packed, unpacked

PLAIN = st.one_of(
    st.none(), st.booleans(), st.integers(), st.text(), st.floats(allow_nan=False),
    st.builds(Action, st.just("hip"), st.just("flexion"), st.booleans()),
    st.builds(PointForce, st.text(), st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(0, 1)),
              st.floats(0, 1)),
)  # fmt: skip
VALUES = st.recursive(
    PLAIN,
    lambda inner: st.one_of(
        st.lists(inner), st.lists(inner).map(tuple), st.dictionaries(st.text(), inner)
    ),
)


@given(VALUES)
def test_what_goes_in_comes_out(value: Any) -> None:
    again = unpacked(packed(value), object)
    assert again == value
    assert repr(again) == repr(value)  # -0.0, tuples that are no lists


@pytest.mark.parametrize("number", [math.nan, math.inf, -math.inf, 5e-324, 1 / 3])
def test_every_number_comes_out(number: float) -> None:
    assert repr(unpacked(packed((number,)), tuple)) == repr((number,))


@pytest.mark.parametrize("shape", [(11,), (0, 11), (3, 0), (2, 3, 4), ()])
def test_arrays_keep_shape_and_bits(shape: tuple[int, ...]) -> None:
    dice = np.random.default_rng(1)
    arrays = (dice.normal(size=shape), dice.normal(size=(4, 3)).T, np.full(shape, np.nan))
    for array, again in zip(arrays, unpacked(packed(arrays), tuple), strict=True):
        assert again.shape == array.shape
        assert again.dtype == np.float64
        assert again.tobytes() == np.ascontiguousarray(array).tobytes()
    flags = np.array([[True, False]])
    (again,) = unpacked(packed((flags,)), tuple)
    assert again.dtype == np.bool_
    assert again.tolist() == flags.tolist()


@pytest.mark.parametrize("value", [{1, 2}, pathlib.Path("x"), object(), np.array(["x"]), len])
def test_what_is_no_plain_value_is_refused(value: object) -> None:
    with pytest.raises(TypeError):
        packed([value])


def bytes_of(header: object) -> bytes:
    text = json.dumps(header).encode()
    return b"%d\n" % len(text) + text


HARMS = [
    "os:system", "builtins:eval", "rungbook.load.result:os", "rungbook.pipeline.store:keep",
    "rungbook.load.compute:compute_loads", "rungbook.load.nothing:Fault", "rungbook.load.result:x",
    "rungbook.load.compute:importlib", "subprocess:Popen", "rungbook.cli.new:command",
]  # fmt: skip


@pytest.mark.parametrize("name", HARMS)
def test_nothing_is_called_but_what_holds_values(name: str) -> None:
    with pytest.raises(NotPacked):
        unpacked(bytes_of([{"o": [0, "touch harm"]}, [name]]), object)


def test_the_same_form_makes_one_of_ours() -> None:
    name = "rungbook.load.result:Fault"
    assert unpacked(bytes_of([{"o": [0, "x", "y"]}, [name]]), Fault) == Fault("x", "y")


@pytest.mark.parametrize(
    "data",
    [b"", b"5", b"x\n[]", b"2\n[]", b"4\nnull", bytes_of([{"o": [3]}, []]), bytes_of([{"z": 1}, []]),
     bytes_of([{}, []]), bytes_of([{"f": [10**12]}, []]), bytes_of([{"f": [-1]}, []]),
     bytes_of([{"m": [1]}, []]), bytes_of([{"b": ["O", []]}, []]), bytes_of([{"f": "x"}, []]),
     bytes_of([{"o": [0]}, ["rungbook.load.result:Fault"]]), b"3\n[1]",
     b"99\n" + b"[" * 99, b"100000\n" + b"[" * 100000],
)  # fmt: skip
def test_damaged_bytes_are_told(data: bytes) -> None:
    with pytest.raises(NotPacked):
        unpacked(data, object)


@given(st.binary(max_size=60), st.integers(0, 400))
def test_bytes_from_anywhere_are_told_or_hold_plain_values(noise: bytes, at: int) -> None:
    sound = packed({"a": (1.5, Action("hip", "flexion")), "b": np.arange(4.0)})
    for data in (noise, sound[:at] + noise + sound[at + len(noise) :]):
        with contextlib.suppress(NotPacked):
            unpacked(data, object)


def test_a_value_of_another_kind_is_told() -> None:
    with pytest.raises(NotPacked, match="Fault is packed, not PointForce"):
        unpacked(packed(Fault("x", "y")), PointForce)
