"""A rung's load on the ladder's one scale, in steps: a dot, and how far one step may reach.

Places are percentages, so that a chart is as wide as its column; the browser moves dot and band
for the patient in the room (`site_theme/scripts/rung_charts.js` reads `data-end`, the height at
the right border, and marks of class `chart-line` with `data-height`).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from rungbook.drawing import svg

HEIGHT_PX = 30
_ROOM = 0.35  # of a step beyond the highest rung, for its number


def end_of(heights: Iterable[float | None]) -> float:
    """The height at the right border, in steps."""
    return max(1.0, max((one for one in heights if one is not None), default=1.0) + _ROOM)


def rung_chart(
    height: float | None, reach: float | None, words: str, end: float, *, over: bool = False
) -> str:
    """One row of the chart.

    Args:
        height: of the rung's load, in steps; None where it is not on the scale.
        reach: up to where one step from what the way has prepared leads; None at an entry.
        words: the load, written beside the dot. over: the step is too large.
    """
    parts = [
        f'<line class="chart-line" data-height="{step}" x1="{_at(step, end)}" '
        f'x2="{_at(step, end)}" y1="0" y2="100%"/>'
        for step in range(math.floor(end) + 1)
    ]
    if reach is not None:
        low = max(0.0, reach - 1)
        parts.append(
            f'<rect class="chart-band" x="{_at(low, end)}" y="7" height="16" '
            f'width="{_share(min(reach, end) - low, end)}"/>'
        )
    if height is None:
        parts.append(f'<text class="chart-words" x="4" y="20">{svg.escape(words)}</text>')
        return _row(parts, end)
    if over and reach is not None and height > reach:
        parts.append(
            f'<line class="chart-over" x1="{_at(reach, end)}" x2="{_at(height, end)}" '
            'y1="15" y2="15"/>'
        )
    left = height > 0.6 * end
    parts.append(f'<circle class="chart-dot" cx="{_at(height, end)}" cy="15" r="6"/>')
    parts.append(
        f'<text class="chart-words" x="{_at(height, end)}" dx="{-11 if left else 11}" y="20" '
        f'text-anchor="{"end" if left else "start"}">{svg.escape(words)}</text>'
    )
    return _row(parts, end)


def chart_axis(end: float, loads: Sequence[str], standard: float | None) -> str:
    """The head of the chart: whole steps, with the load there where one action has it."""
    parts = []
    for step in range(math.floor(end) + 1):
        x = _at(step, end)
        anchor = "start" if step == 0 else "middle"
        parts.append(
            f'<text class="chart-tick" data-height="{step}" x="{x}" y="14" '
            f'text-anchor="{anchor}">{step}</text>'
        )
        if step < len(loads) and loads[step]:
            parts.append(
                f'<text class="chart-tick chart-load" data-height="{step}" x="{x}" y="30" '
                f'text-anchor="{anchor}">{svg.escape(loads[step])}</text>'
            )
    if standard is not None:
        parts.append(
            f'<line class="chart-standard" x1="{_at(standard, end)}" x2="{_at(standard, end)}" '
            'y1="17" y2="36"/>'
        )
    return _row(parts, end, 36)


def _row(parts: Sequence[str], end: float, height: int = HEIGHT_PX) -> str:
    return (
        f'<svg class="rung-chart" width="100%" height="{height}" data-end="{end:g}" '
        f'aria-hidden="true">{"".join(parts)}</svg>'
    )


def _at(height: float, end: float) -> str:
    return _share(max(0.0, height), end)


def _share(steps: float, end: float) -> str:
    return f"{100 * max(0.0, min(1.0, steps / end)):.2f}%"
