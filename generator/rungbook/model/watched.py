"""What a piece of work looks up, noted while it is done.

Whoever makes something of a library looks things up in mappings. A `Watched` mapping notes every
key it is asked for, so that what a page or a file depends on is known without a list that
somebody would have to keep true.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from typing import TypeVar

K = TypeVar("K")
V = TypeVar("V")
# The name of a mapping and a key in it; None stands for which keys it has.
Look = tuple[str, object]
_noted: ContextVar[set[Look] | None] = ContextVar("noted", default=None)


@contextmanager
def watching() -> Iterator[set[Look]]:
    """Gathers what is looked up meanwhile; whoever watches around it gets these looks as well."""
    around = _noted.get()
    looks: set[Look] = set()
    before = _noted.set(looks)
    try:
        yield looks
    finally:
        _noted.reset(before)
        if around is not None:
            around |= looks


def note(looks: Iterable[Look]) -> None:
    """Count these as looked up: for an answer that was found by them before."""
    noted = _noted.get()
    if noted is not None:
        noted.update(looks)


class Watched(Mapping[K, V]):
    """The mapping `of`, which notes what is looked up in it under `name`."""

    __slots__ = ("_name", "_of")

    def __init__(self, name: str, of: Mapping[K, V]) -> None:
        self._name, self._of = name, of

    def __getitem__(self, key: K) -> V:
        note([(self._name, key)])
        return self._of[key]

    def __contains__(self, key: object) -> bool:
        note([(self._name, key)])
        return key in self._of

    def __iter__(self) -> Iterator[K]:
        note([(self._name, None)])
        return iter(self._of)

    def __len__(self) -> int:
        note([(self._name, None)])
        return len(self._of)
