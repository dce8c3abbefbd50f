"""Frozen values as bytes and back: a JSON header, then the arrays as raw numbers.

Only plain values, arrays of numbers and the program's own frozen dataclasses can come out, so
that bytes from anywhere can make nothing act. What comes back equals what went in, to the bit.
"""

from __future__ import annotations

import dataclasses
import json
import math
import re
from collections.abc import Mapping
from functools import cache
from importlib import import_module
from typing import Any, TypeVar

import numpy as np

T = TypeVar("T")
_OURS = re.compile(r"(rungbook\.(?:body|ladder|load|model)\.[a-z_]+):([A-Za-z]+)")
_PLAIN = (str, int, float, type(None))
# In the header an array stands for a tuple, and a mapping with one of these keys for the rest.
_LIST, _MAPPING, _OBJECT, _FLOATS, _OTHERS = "l", "m", "o", "f", "b"


class NotPacked(ValueError):
    """These bytes are no packed value."""


def packed(value: Any) -> bytes:
    """The value as bytes.

    Raises:
        TypeError: something in it is neither plain, nor an array of numbers, nor a dataclass.
    """
    arrays: list[bytes] = []
    classes: dict[str, int] = {}
    written = _written(value, arrays, classes)
    header = json.dumps([written, list(classes)], separators=(",", ":")).encode()
    return b"%d\n" % len(header) + header + b"".join(arrays)


def _written(value: Any, arrays: list[bytes], classes: dict[str, int]) -> Any:
    if isinstance(value, _PLAIN):
        return float(value) if isinstance(value, np.floating) else value
    if isinstance(value, tuple):
        return [_written(part, arrays, classes) for part in value]
    if isinstance(value, list):
        return {_LIST: [_written(part, arrays, classes) for part in value]}
    if isinstance(value, np.ndarray):
        if value.dtype == np.float64:
            arrays.append(value.astype("<f8", "C").tobytes())
            return {_FLOATS: value.shape}
        if value.dtype in (np.int64, np.bool_):
            return {_OTHERS: [value.dtype.str, value.tolist()]}
    if dataclasses.is_dataclass(value):
        kind = type(value)
        name = f"{kind.__module__}:{kind.__name__}"
        if _OURS.fullmatch(name):
            number = classes.setdefault(name, len(classes))
            fields = (getattr(value, field.name) for field in dataclasses.fields(value))
            return {_OBJECT: [number, *(_written(part, arrays, classes) for part in fields)]}
    if isinstance(value, Mapping):
        return {
            _MAPPING: [_written(part, arrays, classes) for item in value.items() for part in item]
        }
    raise TypeError(f"{type(value).__name__} cannot be packed")


def unpacked(data: bytes, kind: type[T]) -> T:
    """The value of that kind that `packed` made bytes of; its arrays cannot be written to.

    Raises:
        NotPacked: it made other bytes, or these were damaged.
    """
    try:
        length, _, rest = data.partition(b"\n")
        size = int(length)
        written, names = json.loads(rest[:size])
        value = _Reader(np.frombuffer(rest[size:], "<f8"), names).read(written)
    except (ValueError, TypeError, LookupError, AttributeError, ImportError, RecursionError) as why:
        raise NotPacked(str(why)) from None
    if not isinstance(value, kind):
        raise NotPacked(f"{type(value).__name__} is packed, not {kind.__name__}")
    return value


class _Reader:
    """Takes the arrays from `numbers` in the order in which they were written."""

    def __init__(self, numbers: Any, classes: list[str]) -> None:
        self._numbers, self._at = numbers, 0
        self._classes = [_class(name) for name in classes]

    def read(self, written: Any) -> Any:
        if isinstance(written, _PLAIN):
            return written
        if isinstance(written, list):
            return tuple([self.read(part) for part in written])
        ((kind, parts),) = written.items()
        if kind == _FLOATS:
            if min(parts, default=0) < 0:
                raise ValueError("an array of less than nothing")
            start, self._at = self._at, self._at + math.prod(parts)
            return self._numbers[start : self._at].reshape(parts)
        if kind == _OBJECT:
            return self._classes[parts[0]](*[self.read(part) for part in parts[1:]])
        if kind == _MAPPING:
            found = [self.read(part) for part in parts]
            return dict(zip(found[::2], found[1::2], strict=True))
        if kind == _LIST:
            return [self.read(part) for part in parts]
        if kind == _OTHERS and parts[0] in ("<i8", "|b1"):
            return np.array(parts[1], parts[0])
        raise ValueError(f"nothing is written as {kind!r}")


@cache
def _class(name: str) -> type:
    match = _OURS.fullmatch(name)
    if match is None:
        raise ValueError(f"{name} is not ours")
    found = getattr(import_module(match[1]), match[2])
    if not (dataclasses.is_dataclass(found) and isinstance(found, type)):
        raise ValueError(f"{name} holds no values")
    return found
