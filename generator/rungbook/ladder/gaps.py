"""Steps that cannot be judged since a file they depend on could not be read.

What the text of such a file leads to still tells where it stands. A ladder whose standard exercise
is left out measures nothing; where a rung is left out, what lies above it and is reached no other
way is no rung any more, and would be measured by another scale; a ladder file left out takes its
scale with it. These steps are not judged at all, rather than wrongly: the file is named once.

An exercise that is named and not there (deleted, mistyped) is a gap too. Nobody knows what it leads
to; on a ladder it may be whatever leads to the goal and nothing leads to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import networkx as nx

from rungbook.ladder.graph import Edge, leading_to, on_the_way, reached_from
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library

MEASURED_BY = frozenset({"limits", "person"})  # of library.yml: what every step is measured by
SETTINGS_FILE = "library.yml"


@dataclass(frozen=True)
class Gaps:
    """What is left out of a library. `wide` is its graph with what is left out put back.

    `files` is the file to mend by the id of each exercise that is left out or not there.
    """

    library: Library
    wide: nx.DiGraph[str]
    files: Mapping[str, str]

    @classmethod
    def of(cls, library: Library, graph: nx.DiGraph[str]) -> Gaps | None:
        """The gaps of a library; None where nothing is left out."""
        not_there = _not_there(library)
        left_out = library.left_out or library.left_out_ladders or not_there
        if not left_out and not cls._settings(library):
            return None
        files = {**not_there, **{id: one.file for id, one in library.left_out.items()}}
        wide: nx.DiGraph[str] = nx.DiGraph(graph.edges)
        wide.add_nodes_from([*graph, *files])
        for exercise in library.exercises.values():
            wide.add_edges_from(
                (exercise.id, one.to) for one in exercise.progressions if one.to in files
            )
        for id, one in library.left_out.items():
            wide.add_edges_from((id, to) for to in one.names)
        loose = {id for id in graph if not wide.pred[id]}
        for ladder in library.ladders.values():
            lost = not_there.keys() & reached_from(wide, [*ladder.entries.values(), ladder.goal])
            above = sorted(loose & leading_to(wide, ladder.goal)) if lost else ()
            wide.add_edges_from((id, to) for id in sorted(lost) for to in above)
        return cls(library, wide, files)

    @staticmethod
    def _settings(library: Library) -> bool:
        return bool(library.unsound_settings & MEASURED_BY)

    def on_ladder(self, ladder: Ladder, members: tuple[str, ...]) -> Mapping[Edge, str]:
        """The progressions that a ladder would judge and cannot: the file to mend, by edge."""
        left_out, on_it = self.files, on_the_way(self.wide, ladder)
        if self._settings(self.library):
            return dict.fromkeys(self._within(on_it), SETTINGS_FILE)
        for standard in dict.fromkeys(map(ladder.standard_of, ladder.works)):
            if standard is not None and standard in left_out:
                return dict.fromkeys(self._within(on_it), left_out[standard])
        missing = sorted(on_it & left_out.keys())
        if not missing:
            return {}
        lost = on_it - set(members)
        file = left_out[missing[0]]
        return {edge: file for edge in self._within(on_it) if lost & set(edge)}

    def off_ladders(self) -> Mapping[Edge, str]:
        """The progressions of which a ladder that is left out might be the judge."""
        if self._settings(self.library):
            return dict.fromkeys(self._within(set(self.wide)), SETTINGS_FILE)
        found: dict[Edge, str] = {}
        for one in self.library.left_out_ladders.values():
            names = [name for name in one.names if name in self.wide]
            near = reached_from(self.wide, names).union(
                *(leading_to(self.wide, name) for name in names)
            )
            for edge in self._within(near):
                found.setdefault(edge, one.file)
        return found

    def near(self) -> frozenset[str]:
        """What a gap may bear on: exercises by id, ladders as `ladder <id>`."""
        around: nx.Graph[str] = nx.Graph(self.wide.edges)
        lost = set(self.files)
        for id, ladder in self.library.ladders.items():
            named = (ladder.goal, *ladder.entries.values())
            around.add_edges_from((f"ladder {id}", one) for one in named)
        for id, left_out in self.library.left_out_ladders.items():
            lost.add(f"ladder {id}")
            around.add_edges_from((f"ladder {id}", name) for name in left_out.names)
        if self._settings(self.library):
            lost |= set(around)
        around.add_nodes_from(lost)
        found: set[str] = set()
        for one in lost:
            if one not in found:
                found |= nx.node_connected_component(around, one)
        return frozenset(found)

    def _within(self, exercises: set[str]) -> Iterator[Edge]:
        """The progressions between sound exercises among some."""
        sound = exercises & self.library.exercises.keys()
        for easier in sorted(sound):
            yield from ((easier, to) for to in self.wide[easier] if to in sound and to != easier)


def _not_there(library: Library) -> dict[str, str]:
    """Exercises that are named as a way on or by a ladder, and have no file: who names them."""
    there = library.exercises.keys() | library.left_out.keys() | library.withheld
    found: dict[str, str] = {}
    for ladder in library.ladders.values():
        standard = ladder.standard
        named = standard.values() if isinstance(standard, dict) else (standard,)
        for id in (ladder.goal, *ladder.entries.values(), *named):
            if id is not None and id not in there:
                found.setdefault(id, ladder.place("title").file)
    for left_out in library.left_out.values():
        found |= {to: left_out.file for to in left_out.names if to not in there}
    for exercise in library.exercises.values():
        file = exercise.place("title").file
        found |= {one.to: file for one in exercise.progressions if one.to not in there}
    return found
