"""Loads kept between runs: computing them takes several times as long as finding them again.

A piece is one exercise's load, pickled, under a key that names all it was computed from. Reading
makes nothing but plain values of the engine's own types: a piece that asks for anything else is
as good as none.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib
import io
import itertools
import pickle
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

import numpy as np

from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.pipeline.cache import program
from rungbook.pipeline.store import Store
from rungbook.pipeline.workers import all_of, worthwhile

MOST_KEPT = 3000  # exercises: at some 40 kB each, more would fill the disk
WORTH_A_PROCESS = 100  # exercises; for fewer, a process costs more than it brings
AT_ONCE = 250  # pieces in memory beside what they become
# Words about an exercise: they change no load.
_NO_LOAD = frozenset(
    {
        "source", "text", "also_called", "purpose", "cautions", "sources", "pictures", "reviewed",
        "back_off", "progressions", "accepts", "draft", "words_checked", "altered",
        "borrowed",
    }
)  # fmt: skip
BEARS_ON_LOAD = tuple(name for name in Exercise.model_fields if name not in _NO_LOAD)
_ARRAYS = {
    ("numpy", "ndarray"),
    ("numpy", "dtype"),
    *itertools.product(
        ("numpy._core.multiarray", "numpy.core.multiarray"), ("_reconstruct", "scalar")
    ),
    *itertools.product(("numpy._core.numeric", "numpy.core.numeric"), ("_frombuffer",)),
}


_DAMAGE = (
    pickle.UnpicklingError, EOFError, ImportError, AttributeError, LookupError, TypeError,
    ValueError, ArithmeticError,
)  # fmt: skip


class _PlainValues(pickle.Unpickler):
    """Makes arrays, and objects of classes that the engine and the model define."""

    def find_class(self, module: str, name: str, /) -> Any:
        if (module, name) in _ARRAYS:
            return super().find_class(module, name)
        if module.startswith(("rungbook.load.", "rungbook.model.")):
            found = getattr(importlib.import_module(module), name, None)
            if isinstance(found, type) and found.__module__ == module:
                return found
        raise pickle.UnpicklingError(f"{module}.{name} is no part of a load")


def _unpacked(piece: bytes) -> ExerciseLoad | None:
    with contextlib.suppress(*_DAMAGE):
        load = _PlainValues(io.BytesIO(piece)).load()
        if isinstance(load, ExerciseLoad):
            return load
    return None


def same_ground(library: Library, other: Library) -> bool:
    """Whether what all loads stand on, the reference person and the equipment, is the same."""
    return _ground(library) == _ground(other)


def _ground(library: Library) -> tuple[object, ...]:
    return library.settings.person, dict(library.vocabulary.equipment)


def _keys(exercises: Iterable[Exercise], library: Library) -> Iterator[str]:
    ground = hashlib.blake2b(
        repr((program(), np.__version__, _ground(library))).encode("utf-8", "surrogatepass")
    )
    for exercise in exercises:
        key = ground.copy()
        fields = repr([getattr(exercise, name) for name in BEARS_ON_LOAD])
        key.update(fields.encode("utf-8", "surrogatepass"))
        yield key.hexdigest()[:64]


def _batches(ids: Sequence[str]) -> Iterator[Sequence[str]]:
    return (ids[first : first + AT_ONCE] for first in range(0, len(ids), AT_ONCE))


def _packed(loads: Mapping[str, ExerciseLoad]) -> dict[str, bytes]:
    return {id: pickle.dumps(load, 5) for id, load in loads.items()}


def _computed(
    exercises: Sequence[Exercise], library: Library, keeps: bool
) -> tuple[dict[str, ExerciseLoad], dict[str, bytes]]:
    """Loads, by as many processes as are worth it; packed as well, where they are to be kept."""
    workers = worthwhile(len(exercises), WORTH_A_PROCESS)
    if workers == 1:
        loads = compute_loads(exercises, library)
        return loads, _packed(loads) if keeps else {}
    shares = [exercises[first::workers] for first in range(workers)]
    done = all_of(lambda share: _packed(compute_loads(share, library)), shares, workers)
    packed = {id: piece for share in done for id, piece in share.items()}
    return {id: pickle.loads(piece) for id, piece in packed.items()}, packed


def kept_loads(library: Library) -> dict[str, ExerciseLoad]:
    """The load of every exercise: as an earlier run kept it, or computed, and then kept."""
    exercises = list(library.exercises.values())
    store = Store(library.root, "loads")
    keeps = store.keeps and len(exercises) <= MOST_KEPT
    keys = dict(zip(library.exercises, _keys(exercises, library), strict=True)) if keeps else {}
    found: dict[str, ExerciseLoad] = {}
    for some in _batches(list(keys)):
        pieces = store.find([keys[id] for id in some])
        for id in some:
            load = _unpacked(pieces[keys[id]]) if keys[id] in pieces else None
            if load is not None:
                found[id] = load
    missing = [exercise for exercise in exercises if exercise.id not in found]
    if missing:
        fresh, packed = _computed(missing, library, keeps)
        if keeps:
            store.keep({keys[id]: piece for id, piece in packed.items()}, keys.values())
        found |= fresh
    return {id: found[id] for id in library.exercises}
