"""The staircase of demand: each rung a tread at its height in steps, easier at lower left.

Made for a phone first: at 340 px every title is beside the stairs in its own lines, joined to
its tread by a thin line; a wider one has more room for words and for the stairs. Too large a
step is hatched and says so in words; what is missing in it is a dotted tread. A line on the scale
is one step (`rungbook.ladder.scale`); where the ladder works one action, it has its N·m.

The browser redraws it for the patient in the room: the `<svg>` has `data-top` and `data-bottom`
(y in pixels of the greatest and the least height) and, on a ladder with a scale, `data-scaled`.
With `low` and `high` the least and the greatest height over all treads,
`y = bottom - (height - low) * (bottom - top) / (high - low)`.
Each `.stair-tread` has `data-rung`, `data-height`, `data-x0`, `data-x1`; each `.stair-riser` and
`.stair-bracket` has `data-from`, `data-to`, `data-x` (and the bracket `data-above`, where it ends
above its own tread, in steps); each `.stair-leader` has `data-rung`, `data-x` and keeps its second
point; `.stair-demand` holds the number of its `data-rung`.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from rungbook.drawing import svg
from rungbook.drawing.surfaces import HATCH_PX
from rungbook.drawing.treads import (
    Edge,
    Href,
    Proposed,
    Tread,
    moment_words,
    read_treads,
    staircase_sentences,
)
from rungbook.drawing.words import width_px, wrap
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.step import AxisStep, Step

NARROW_PX, WIDE_PX = 340.0, 720.0
TITLE_PX, NOTE_PX, LINE_PX = 14.0, 12.5, 17.0
BOLD = 1.12  # semi-bold words are this much wider
MARGIN, AXIS = 8.0, 34.0


def staircase(
    measured: MeasuredLibrary,
    ladder_id: str,
    *,
    href: Href,
    proposals: Mapping[tuple[str, str], Sequence[Proposed]] | None = None,
    width_px: float = NARROW_PX,
    prefix: str | None = None,
    accepted: Collection[Edge] = (),
    say: svg.Say = svg.as_written,
) -> str:
    """The staircase of one ladder as an `<svg>`; "" where no rung has a load.

    `href` gives an exercise's page from its id; `proposals` what would fill a step (from, to);
    `accepted` steps are above their limit for a reason somebody gave.
    """
    ladder = measured.ladders[ladder_id]
    treads = read_treads(measured, ladder_id, href, proposals or {}, say, accepted)
    if not treads:
        return ""
    plan = _plan(treads, width_px)
    key = prefix or f"{ladder_id}-{width_px:.0f}"
    body = [
        *_axis(plan, ladder, say),
        *(part for step in ladder.steps for part in _step(step, plan, ladder)),
        *_stairs(plan),
        *(_label(i, plan, say) for i in range(len(treads))),
    ]
    return svg.frame(
        body,
        css="drawn-staircase " + ("drawn-wide" if width_px > 500 else "drawn-narrow"),
        prefix=f"stairs-{key}",
        box=(0, 0, width_px, plan.height),
        title=say("Staircase of demand: {ladder}").format(ladder=ladder.ladder.title),
        desc=" ".join(
            staircase_sentences(
                measured, ladder_id, proposals=proposals, accepted=accepted, say=say
            )
        ),
        attributes=f' data-top="{plan.top:g}" data-bottom="{svg.number(plan.bottom)}" '
        f'data-scaled="{_scaled(ladder)}"',
    )


@dataclass(frozen=True)
class _Plan:
    """Where everything lies, in pixels."""

    treads: list[Tread]
    lines: list[list[tuple[str, str]]]  # each label's (words, class)
    label_y: list[float]  # the middle of each label
    label_x: float
    stairs: tuple[float, float]  # from x to x
    top: float
    bottom: float
    height: float
    low: float
    high: float

    def y(self, height: float) -> float:
        span = self.high - self.low
        share = (height - self.low) / span if span > 0 else 0.0
        return self.bottom - share * (self.bottom - self.top)

    def x(self, index: int) -> float:
        return self.stairs[0] + (self.stairs[1] - self.stairs[0]) * index / len(self.treads)

    def index(self, rung: str) -> int | None:
        return next((i for i, tread in enumerate(self.treads) if tread.id == rung), None)


def _plan(treads: list[Tread], width: float) -> _Plan:
    stairs = (
        MARGIN + AXIS,
        MARGIN + AXIS + (width - MARGIN - AXIS) * (0.34 if width < 500 else 0.5),
    )
    label_x = stairs[1] + 22
    room = width - label_x - MARGIN
    lines = [_label_lines(tread, room) for tread in treads]
    heights = [len(label) * LINE_PX + 9 if label else 0.0 for label in lines]
    steps = [tread.height for tread in treads]
    low, high = min(steps), max(steps)
    top = MARGIN + 24
    reach = max(sum(heights) - (heights[0] + heights[-1]) / 2, 28.0 * len(treads), 120.0)
    bottom = top + reach + max(0.0, heights[-1] / 2 - 24)
    top += max(0.0, heights[-1] / 2 - 24)
    span = high - low
    wanted = [bottom - ((v - low) / span if span > 0 else 0) * (bottom - top) for v in steps]
    label_y = _spread(wanted, heights, top - heights[-1] / 2, bottom + heights[0] / 2)
    height = bottom + max(heights[0] / 2, 14) + MARGIN
    return _Plan(treads, lines, label_y, label_x, stairs, top, bottom, height, low, high)


def _label_lines(tread: Tread, room: float) -> list[tuple[str, str]]:
    if not tread.title:
        return []
    css = "stair-title" if tread.id else "stair-title stair-missing-title"
    lines = [(line, css) for line in wrap(tread.title, BOLD * TITLE_PX, room)]
    if tread.id or tread.proposed:
        lines.append(
            (f"{moment_words(tread.demand_nm)}\N{NARROW NO-BREAK SPACE}N·m", "stair-demand")
        )
    for mark in tread.marks:
        lines += [(line, "stair-mark") for line in wrap(mark, NOTE_PX, room)]
    for note, too_large in tread.notes:
        css = "stair-note stair-too-large" if too_large else "stair-note"
        size = BOLD * NOTE_PX if too_large else NOTE_PX
        lines += [(line, css) for line in wrap(note, size, room)]
    return lines


def _spread(
    wanted: Sequence[float], heights: Sequence[float], top: float, bottom: float
) -> list[float]:
    """Middles of labels, the first lowest, near where they are wanted, without overlap.

    Pooled neighbours move together (isotonic regression on the free space between them).
    """
    gaps = [0.0]
    for below, above in pairwise(heights):
        gaps.append(gaps[-1] + (below + above) / 2)
    pools: list[list[float]] = []  # [sum, count] of free positions, which must not fall
    for want, gap in zip(wanted, gaps, strict=True):
        pools.append([bottom - heights[0] / 2 - want - gap, 1])
        while len(pools) > 1 and pools[-2][0] / pools[-2][1] > pools[-1][0] / pools[-1][1]:
            total, count = pools.pop()
            pools[-1] = [pools[-1][0] + total, pools[-1][1] + count]
    free = [total / count for total, count in pools for _ in range(int(count))]
    most = bottom - top - heights[0] / 2 - heights[-1] / 2 - gaps[-1]
    return [
        bottom - heights[0] / 2 - (min(max(f, 0.0), max(most, 0.0)) + gap)
        for f, gap in zip(free, gaps, strict=True)
    ]


def _scaled(ladder: MeasuredLadder) -> str:
    """`steps` on a ladder with a scale, `moments` where its one action gives the lines a load."""
    scale = ladder.ruler.scale
    if scale is None or not scale.standards:
        return ""
    return "moments" if len(ladder.ladder.works) == 1 else "steps"


def _axis(plan: _Plan, ladder: MeasuredLadder, say: svg.Say) -> list[str]:
    """One line a step, with the load there where one action has it."""
    kind, scale = _scaled(ladder), ladder.ruler.scale
    if not kind or scale is None:
        return []
    title = say("N·m") if kind == "moments" else say("steps")
    out = [svg.text(plan.stairs[0] - 6, plan.top - 14, title, "stair-tick", "end")]
    last_y = math.inf
    for step in range(math.ceil(plan.low - 1e-6), math.floor(plan.high + 1e-6) + 1):
        y = plan.y(step)
        if last_y - y < 16:
            continue
        last_y = y
        x0, x1 = plan.stairs
        action = ladder.ladder.works[0]
        words = moment_words(scale.load_at(action, step)) if kind == "moments" else f"{step}"
        out.append(svg.path(f"M{x0:g},{svg.number(y)}H{svg.number(x1)}", "stair-rule"))
        out.append(svg.text(x0 - 6, y + 4, words, "stair-tick", "end"))
    return out


def _stairs(plan: _Plan) -> list[str]:
    out = []
    for i, tread in enumerate(plan.treads):
        x0, x1, y = (svg.number(v) for v in (plan.x(i), plan.x(i + 1), plan.y(tread.height)))
        if i + 1 < len(plan.treads):
            above = plan.treads[i + 1]
            out.append(
                f'<path class="stair-riser" data-from="{svg.escape(tread.id)}" '
                f'data-to="{svg.escape(above.id)}" data-x="{x1}" '
                f'd="M{x1},{y}V{svg.number(plan.y(above.height))}"/>'
            )
        css = "stair-tread" if tread.id else "stair-tread stair-missing"
        out.append(
            f'<path class="{css}" data-rung="{svg.escape(tread.id)}" '
            f'data-height="{tread.height:.4g}" data-x0="{x0}" data-x1="{x1}" d="M{x0},{y}H{x1}"/>'
        )
    return out


def _step(step: Step, plan: _Plan, ladder: MeasuredLadder) -> list[str]:
    """The permitted step as a bracket from the lower tread; what goes beyond it is hatched."""
    first, last = plan.index(step.from_id), plan.index(step.to_id)
    axis = step.axes.get("demand")
    if first is None or last is None:
        return []
    low, high = (plan.treads[i].height for i in (first, last))
    y0, y1 = plan.y(low), plan.y(high)
    too_large = step.size > 1 + 1e-6
    out, allowed = [], y0
    reach = _reach(axis, ladder)
    if reach is not None:
        above = reach - low
        allowed = plan.y(low + above)
        if too_large or not any(tread.id for tread in plan.treads[first + 1 : last]):
            out.append(_bracket(step, above, plan.x(first + 1) - 5, y0, allowed, plan.top))
    if too_large:
        riser = plan.x(last)
        if step.worst == "demand":
            out.append(_hatched(max(plan.x(last - 1) + 2, riser - 22), riser, allowed, y1))
        else:  # too large in another way than its height: marked below the tread
            out.append(_hatched(riser, plan.x(last + 1), y1 + 13, y1 + 3))
    return out


def _reach(axis: AxisStep | None, ladder: MeasuredLadder) -> float | None:
    """How high one step may lead, from what the way so far has prepared."""
    scale = ladder.ruler.scale
    action = next((one for one in ladder.ladder.works if axis and str(one) == axis.works), None)
    if axis is None or action is None or scale is None:
        return None
    base = scale.height(action, axis.prepared)
    return None if base is None else base + 1


def _bracket(step: Step, above: float, x: float, y0: float, y1: float, top: float) -> str:
    shown = max(y1, top - 20)
    tip = "h-4" if shown == y1 else ""
    return (
        f'<path class="stair-bracket" data-from="{svg.escape(step.from_id)}" '
        f'data-to="{svg.escape(step.to_id)}" data-above="{above:.4g}" '
        f'data-x="{svg.number(x)}" d="M{svg.number(x - 4)},{svg.number(y0)}h4'
        f'V{svg.number(shown)}{tip}"/>'
    )


def _hatched(x0: float, x1: float, y0: float, y1: float) -> str:
    """A hatched band between two x, from `y0` up to `y1`."""
    x0 = min(x0, x1 - 10)
    top, bottom = min(y0, y1), max(y0, y1)
    width = x1 - x0
    strokes = []
    y = bottom
    while y - top > 2:
        rise = min(width, y - top)
        strokes.append(f"M{svg.number(x0)},{svg.number(y)}l{svg.number(rise)},{svg.number(-rise)}")
        y -= HATCH_PX
    return svg.path("".join(strokes), "stair-hatch")


def _label(index: int, plan: _Plan, say: svg.Say) -> str:
    tread, lines = plan.treads[index], plan.lines[index]
    if not lines:
        return ""
    y = plan.label_y[index]
    tread_y = plan.y(tread.height)
    x1 = plan.x(index + 1)
    elbow = plan.stairs[1] + 6
    leader = (
        f'<path class="stair-leader" data-rung="{svg.escape(tread.id)}" data-x="{svg.number(x1)}" '
        f'd="M{svg.number(x1 + 2)},{svg.number(tread_y)}H{svg.number(elbow)}'
        f'L{svg.number(plan.label_x - 4)},{svg.number(y)}"/>'
    )
    first = y - len(lines) * LINE_PX / 2 + LINE_PX * 0.76
    rows = []
    for i, (words, css) in enumerate(lines):
        mark = f' data-rung="{svg.escape(tread.id)}"' if css == "stair-demand" else ""
        rows.append(
            f'<text class="{css}"{mark} x="{svg.number(plan.label_x)}" '
            f'y="{svg.number(first + i * LINE_PX)}">{svg.escape(words)}</text>'
        )
    titles = [row for row, (_, css) in zip(rows, lines, strict=True) if "stair-title" in css]
    rest = [row for row, (_, css) in zip(rows, lines, strict=True) if "stair-title" not in css]
    words = "".join(titles)
    if tread.href:
        longest = max(
            width_px(line, BOLD * TITLE_PX) for line, css in lines if "stair-title" in css
        )
        area = (
            f'<rect class="stair-target" x="{svg.number(plan.label_x - 4)}" '
            f'y="{svg.number(first - LINE_PX * 0.86)}" width="{svg.number(longest + 8)}" '
            f'height="{svg.number(max(24.0, len(titles) * LINE_PX + 4))}"/>'
        )
        words = f'<a href="{svg.escape(tread.href)}">{area}{words}</a>'
    return f'<g class="stair-label">{leader}{words}{"".join(rest)}</g>'
