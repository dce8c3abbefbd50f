"""The ways up a ladder as a rail beside its rows: a node a rung, a line a progression.

One drawing a row, so that rows may be of any height: lines run from border to border, and the
rows' drawings join. A line that passes a rung runs in a lane of its own beside it.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from rungbook.drawing import svg

LANE_PX, FIRST_PX = 14.0, 9.0
_MOST_LANES = 6
Edge = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Row:
    """One row of the rail: the lane of its node, and lines as (from, to) lanes.

    `below` run from the lower border to the node or, passing by, to the upper border; `above`
    from the node to the upper border.
    """

    lane: int
    passing: tuple[tuple[int, int], ...]
    below: tuple[int, ...]
    above: tuple[int, ...]


def rail_rows(rungs: Sequence[str], edges: Collection[Edge]) -> list[Row]:
    """The rows of a ladder, easiest first.

    Args:
        rungs: in order, easiest first. edges: (easier, harder); one that leads down is left out.
    """
    place = {rung: number for number, rung in enumerate(rungs)}
    upward = sorted(
        (edge for edge in edges if place.get(edge[0], 9e9) < place.get(edge[1], -1)),
        key=lambda edge: (place[edge[0]], -place[edge[1]]),
    )
    lanes: dict[int, Edge] = {}
    rows = []
    for rung in rungs:
        below = tuple(sorted(lane for lane, edge in lanes.items() if edge[1] == rung))
        for lane in below:
            del lanes[lane]
        passing = tuple((lane, lane) for lane in sorted(lanes))
        free = (lane for lane in range(len(rungs) + 1) if lane not in lanes)
        node = below[0] if below else next(free)
        above = []
        for edge in upward:
            if edge[0] == rung:
                lane = node if node not in lanes else next(free)
                while lane in lanes:
                    lane = next(free)
                lanes[lane] = edge
                above.append(lane)
        rows.append(Row(node, passing, below, tuple(above)))
    return rows


def lanes_of(rows: Collection[Row]) -> int:
    """How many lanes the widest row takes."""
    used = (
        max((row.lane, *row.below, *row.above, *(lane for lane, _ in row.passing)), default=0)
        for row in rows
    )
    return min(_MOST_LANES, max(used, default=0) + 1)


def rail(row: Row, lanes: int) -> str:
    """One row's piece of the rail; words beside it say the same."""
    width = 2 * FIRST_PX + (lanes - 1) * LANE_PX
    node = _x(row.lane, lanes)
    lines = [f"M{_x(a, lanes):g},100L{_x(b, lanes):g},0" for a, b in row.passing]
    lines += [f"M{_x(lane, lanes):g},100L{node:g},50" for lane in row.below]
    lines += [f"M{node:g},50L{_x(lane, lanes):g},0" for lane in row.above]
    return (
        f'<svg class="rail" width="{width:g}" aria-hidden="true">'
        f'<svg width="{width:g}" height="100%" viewBox="0 0 {width:g} 100" '
        f'preserveAspectRatio="none">{svg.path("".join(lines), "rail-line")}</svg>'
        f'<circle class="rail-node" cx="{node:g}" cy="50%" r="5"/></svg>'
    )


def bare_rail(row: Row, lanes: int) -> str:
    """The rail beside what is missing below a rung: its lines, dotted, and no node."""
    width = 2 * FIRST_PX + (lanes - 1) * LANE_PX
    lines = "".join(f"M{_x(a, lanes):g},100L{_x(b, lanes):g},0" for a, b in row.passing)
    return (
        f'<svg class="rail" width="{width:g}" aria-hidden="true"><svg width="{width:g}" '
        f'height="100%" viewBox="0 0 {width:g} 100" preserveAspectRatio="none">'
        f"{svg.path(lines, 'rail-line rail-dotted')}</svg></svg>"
    )


def _x(lane: int, lanes: int) -> float:
    return FIRST_PX + min(lane, lanes - 1) * LANE_PX
