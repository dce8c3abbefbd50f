"""A scene as seen from one side: everything on paper, at whatever scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing.arc import SeenTurn, seen_turn
from rungbook.drawing.limbs import HEAD, nose_paths, part_paths
from rungbook.drawing.paper import Extent, Paper
from rungbook.drawing.projection import View
from rungbook.drawing.props import applied_extents
from rungbook.drawing.scene import END, START, Scene
from rungbook.drawing.surfaces import furniture_extents, mat_corners

Array = NDArray[np.float64]
Paths = dict[str, str]

PHASES = (START, END)
_ROW = {phase: row for row, phase in enumerate(PHASES)}


@dataclass(frozen=True, eq=False)
class Sight:
    """A scene and the view of it. Bodies are drawn once for each place on paper."""

    scene: Scene
    view: View

    @cached_property
    def _circles(self) -> Array:
        """Centres (2, c, 2) at the start and the end, in metres of paper."""
        return self.view.project(self.scene.circles[:, list(PHASES)]).swapaxes(0, 1)

    @cached_property
    def turn(self) -> SeenTurn | None:
        """The movement's arc."""
        return seen_turn(self.scene.turn, self.view) if self.scene.turn else None

    @cached_property
    def _facing(self) -> Array:
        return self.view.project(self.scene.facing)

    @cached_property
    def _things(self) -> tuple[Extent, ...]:
        return tuple(furniture_extents(self.view, self.scene.things))

    @cached_property
    def _bodies(self) -> tuple[Extent, ...]:
        reach = np.stack([-self.scene.radii, self.scene.radii])[:, :, None]
        return tuple(Extent.around(centres + reach) for centres in self._circles)

    def ground(self, phases: Sequence[int]) -> Array:
        """Points in the room (n, 3) that a mat has to hold."""
        return np.concatenate([self.scene.circles[:, phase] for phase in phases])

    def extents(self, phases: tuple[int, ...], px_per_m: float) -> list[Extent]:
        """The room that everything in a panel needs."""
        if phases not in self._known:
            self._known[phases] = self._extents(phases)
        arc = self.turn.extent(px_per_m) if END in phases and self.turn else None
        return [*self._known[phases], *([arc] if arc else [])]

    @cached_property
    def _known(self) -> dict[tuple[int, ...], list[Extent]]:
        return {}

    def _extents(self, phases: tuple[int, ...]) -> list[Extent]:
        """That of all but the arc, whose shape depends on the scale."""
        bodies = [self._bodies[_ROW[phase]] for phase in phases]
        found = [*self._things, *bodies]
        for item in self.scene.applied:
            found += applied_extents(item, self.view, phases[-1])
        if not self.view.level:
            found.append(Extent.around(self.view.project(mat_corners(self.ground(phases)))))
        spot = (bodies[0].low[0], 0.0)  # the floor's line and its hatching
        return [*found, Extent(spot, spot, (0.0, -8.0), (0.0, 8.0))]

    def centres(self, paper: Paper, phase: int) -> Array:
        """Where the circles of a posture (c, 2) lie, in pixels."""
        return paper.on(self._circles[_ROW[phase]])

    def facing(self, phase: int) -> Array:
        """Where the chest points (2,), a shortened unit vector on paper."""
        return np.asarray(self._facing[_ROW[phase]])


def bodies(wanted: Sequence[tuple[Sight, Paper, int]]) -> list[Paths]:
    """The outlines of the parts of postures, each at its place; many at once are far cheaper."""
    if not wanted:
        return []
    centres = np.stack([sight.centres(paper, phase) for sight, paper, phase in wanted])
    radii = np.stack([sight.scene.radii * paper.px_per_m for sight, paper, _ in wanted])
    found = part_paths(centres, radii)
    facing = np.stack([sight.facing(phase) for sight, _, phase in wanted])
    noses = nose_paths(centres[:, HEAD], facing, radii[:, HEAD])
    seen = (np.hypot(facing[:, 0], facing[:, 1]) >= 0.45).tolist()
    for paths, nose, shown in zip(found, noses, seen, strict=True):
        if shown:
            paths["head"] += nose
    return found
