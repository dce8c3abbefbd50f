"""The loads of a library: as an earlier run kept them, or computed, by several processes."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Mapping, Sequence

from rungbook.load.compute import compute_loads
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library, Term
from rungbook.pipeline import store
from rungbook.pipeline.packed import NotPacked, packed, unpacked
from rungbook.pipeline.workers import all_of, worthwhile

WORTH_A_PROCESS = 100  # exercises; for fewer, a process costs more than it brings
# Words about an exercise: they change no load.
_NO_LOAD = frozenset(
    {
        "source", "text", "also_called", "purpose", "cautions", "sources", "pictures", "reviewed",
        "back_off", "progressions", "accepts", "draft", "words_checked", "altered", "borrowed",
        "replaced_by", "formerly",
    }
)  # fmt: skip
_BEARS_ON_LOAD = tuple(name for name in Exercise.model_fields if name not in _NO_LOAD)


class Loads(Mapping[str, ExerciseLoad]):
    """Loads by exercise; `made_from` has the key of all that each was computed from."""

    def __init__(self, loads: Mapping[str, ExerciseLoad], made_from: Mapping[str, str]) -> None:
        self._loads, self.made_from = loads, made_from

    def __getitem__(self, id: str) -> ExerciseLoad:
        return self._loads[id]

    def __iter__(self) -> Iterator[str]:
        return iter(self._loads)

    def __len__(self) -> int:
        return len(self._loads)


def loads_of(
    library: Library,
    before: Mapping[str, ExerciseLoad] | None = None,
    numbers_only: bool = False,
) -> Loads:
    """The load of every exercise of a library.

    Those of `before`, of an earlier state of the library, are taken from there where nothing that
    they depend on has changed. With `numbers_only` the fresh ones have no skeletons and no
    coefficients, and are not kept.
    """
    keys = dict(zip(library.exercises, _keys(library), strict=True))
    found: dict[str, ExerciseLoad] = {}
    if isinstance(before, Loads):
        former = before.made_from
        found = {id: before[id] for id, key in keys.items() if former.get(id) == key}
    pieces = store.find([key for id, key in keys.items() if id not in found])
    for id, key in keys.items():
        with contextlib.suppress(KeyError, NotPacked):
            found.setdefault(id, unpacked(pieces.pop(key), ExerciseLoad))
    missing = [exercise for id, exercise in library.exercises.items() if id not in found]
    if missing and numbers_only:
        found |= compute_loads(missing, library, numbers_only=True)
    elif missing:
        fresh = _computed(missing, library)
        store.keep({keys[id]: piece for id, piece in fresh.items()})
        found |= {id: unpacked(piece, ExerciseLoad) for id, piece in fresh.items()}
    return Loads({id: found[id] for id in keys}, keys)


def _keys(library: Library) -> Iterator[str]:
    equipment = {key: _unusual(term) for key, term in library.vocabulary.equipment.items()}
    ground = library.settings.person, {key: what for key, what in equipment.items() if what}
    for exercise in library.exercises.values():
        yield store.key_of("load", ground, [getattr(exercise, name) for name in _BEARS_ON_LOAD])


def _unusual(term: Term) -> dict[str, object]:
    """What bears on loads of a piece of equipment: not its words, nor what is so unless written."""
    return term.model_dump(exclude={"title", "text", "sources"}, exclude_defaults=True)


def _computed(exercises: Sequence[Exercise], library: Library) -> dict[str, bytes]:
    """Packed loads, by as many processes as are worth it."""

    def work(share: Iterable[Exercise]) -> dict[str, bytes]:
        return {id: packed(load) for id, load in compute_loads(share, library).items()}

    workers = worthwhile(len(exercises), WORTH_A_PROCESS)
    shares = [exercises[first::workers] for first in range(workers)]
    return {id: piece for share in all_of(work, shares, workers) for id, piece in share.items()}
