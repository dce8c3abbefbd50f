"""A library whose every look-up is noted, and what stands where somebody looked.

Two libraries are the same to a piece of work if the same stands in both wherever it looked: then
what it made of the one is what it would make of the other.
"""

from __future__ import annotations

import hashlib
import os
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

import networkx as nx

from rungbook.ladder.measured import MeasuredLibrary, Standing
from rungbook.ladder.step import Step
from rungbook.model.watched import Look, Watched, note
from rungbook.pipeline.loads import Loads

K = TypeVar("K")
V = TypeVar("V")
VOCABULARIES = ("areas", "cautions", "equipment", "restrictions", "sources", "search")


class Looks:
    """Mappings by name, and digests of what is in them."""

    def __init__(self) -> None:
        self._tellers: dict[str, tuple[Mapping[Any, Any], Callable[[Any], object]]] = {}
        self._known: dict[Look, str] = {}

    def watch(
        self, name: str, of: Mapping[K, V], told: Callable[[K], object] | None = None
    ) -> Mapping[K, V]:
        """The mapping, watched. `told(key)` tells all there is to know of a value, by `repr`."""
        self._tellers[name] = of, told or of.__getitem__
        return Watched(name, of)

    def value(self, name: str, value: V, told: object = None) -> V:
        """The value, noted as looked up; `told`, or the value itself, tells all of it by `repr`."""
        known = value if told is None else told
        self._tellers.setdefault(name, ({"": known}, lambda key: known))
        note([(name, "")])
        return value

    def digest(self, name: str, key: object) -> str:
        """Differs where anything else stands under the key; None asks which keys there are."""
        look = (name, key)
        if look not in self._known:
            of, told = self._tellers[name]
            found = list(of) if key is None else told(key) if key in of else None
            text = repr(found).encode("utf-8", "surrogatepass")
            self._known[look] = hashlib.blake2b(text, digest_size=16).hexdigest()
        return self._known[look]

    def key(self, *about: object, looks: Iterable[Look]) -> str:
        """Names all that a piece of work was made from: what it was given and what it looked up."""
        told = [(name, key, self.digest(name, key)) for name, key in looks]
        text = repr((about, sorted(told, key=repr))).encode("utf-8", "surrogatepass")
        return hashlib.blake2b(text, digest_size=32).hexdigest()


@dataclass(frozen=True)
class _WatchedLibrary(MeasuredLibrary):
    """What is derived from the whole is derived once, from the library itself, and watched."""

    by_edge: Mapping[tuple[str, str], tuple[Step, str | None]] = field(default_factory=dict)
    by_rung: Mapping[str, tuple[Standing, ...]] = field(default_factory=dict)
    drafted: nx.DiGraph[str] = field(default_factory=nx.DiGraph)

    @property
    def with_drafts(self) -> nx.DiGraph[str]:
        return self.drafted

    @property
    def judged(self) -> Mapping[tuple[str, str], tuple[Step, str | None]]:
        return self.by_edge

    @property
    def standings(self) -> Mapping[str, tuple[Standing, ...]]:
        return self.by_rung


def watched(measured: MeasuredLibrary, looks: Looks) -> MeasuredLibrary:
    """The library, all of whose mappings are watched. Its settings are not."""
    library, loads, words = measured.library, measured.loads, measured.library.vocabulary
    made_from = loads.made_from if isinstance(loads, Loads) else {}

    def exercise(id: str) -> object:
        one = library.exercises[id]
        # A variation may say what is usual anyway: that is written, and nowhere else in its words.
        return one, sorted(one.model_fields_set), one.file, library.origin(one.file)

    def ladder(id: str) -> object:
        one = measured.ladders[id]
        return one, library.origin(one.ladder.place().file)

    def load(id: str) -> object:
        return made_from.get(id) or os.urandom(16)  # of loads from anywhere nothing is known

    def profile(id: str) -> object:
        return looks.digest("exercises", id), looks.digest("loads", id)

    def standing(id: str) -> object:
        return [
            (looks.digest("ladders", one.ladder.ladder.id), one.rung)
            for one in measured.standings[id]
        ]

    vocabulary = replace(
        words, **{kind: looks.watch(kind, getattr(words, kind)) for kind in VOCABULARIES}
    )
    return _WatchedLibrary(
        library=replace(
            library,
            vocabulary=vocabulary,
            exercises=looks.watch("exercises", library.exercises, exercise),
            ladders=looks.watch("written ladders", library.ladders),
            left_out=looks.watch("left out", library.left_out),
            left_out_ladders=looks.watch("ladders left out", library.left_out_ladders),
        ),
        graph=_watched_graph(measured.graph, looks),
        loads=looks.watch("loads", loads, load),
        steps=looks.watch("steps", measured.steps, lambda edge: list(map(profile, edge))),
        ladders=looks.watch("ladders", measured.ladders, ladder),
        profiles=looks.watch("profiles", measured.profiles, profile),
        unjudged=looks.watch("unjudged", measured.unjudged),
        by_edge=looks.watch("judged", measured.judged),
        by_rung=looks.watch("standings", measured.standings, standing),
        drafted=_watched_graph(measured.with_drafts, looks, "with drafts "),
    )


def _watched_graph(graph: nx.DiGraph[str], looks: Looks, of: str = "") -> nx.DiGraph[str]:
    """As networkx makes its own views of a graph: the same tables, watched."""
    view: nx.DiGraph[str] = nx.DiGraph(**graph.graph)
    for table, name in (("_node", "nodes"), ("_adj", "above"), ("_pred", "below")):
        setattr(view, table, looks.watch(f"{of}{name}", getattr(graph, table)))
    return view
