"""The moment over the movement: phase across, N·m upward, the peak marked.

The browser redraws it for the patient in the room, so the `<svg>` tells its geometry:

- `data-left`, `data-right`: x in pixels of phase 0 and phase 10;
- `data-zero`: y of 0 N·m; `data-top`: y of `data-full-nm` N·m (the highest tick);
  so `y = zero - nm * (zero - top) / full_nm`;
- `data-angles`: the 11 angles in degrees, positive under the name `data-of`; `data-works-turn` is
  -1 where that is the movement against `data-works`;
- `data-moments` of each `.curve-line`: its 11 moments.

To redraw with new moments: take `full_nm` as `nice_top` does (below), set `points` and
`data-moments` of `.curve-line` (`data-way` is `both`, `up` or `down`) and the points of
`.curve-area`, move `.curve-peak`, write `.curve-peak-label`, and write each `.curve-tick` as
`data-share` times `full_nm`.
`.curve-tolerated` is the arc the patient tolerates: a rectangle of no width until it is given.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from rungbook.drawing import svg
from rungbook.drawing.curve_words import Word, way_words
from rungbook.drawing.words import width_px
from rungbook.load.result import PHASES, Demand, ExerciseLoad, JointCurve
from rungbook.model.movement import named_way

Array = NDArray[np.float64]

WIDTH, HEIGHT = 340.0, 200.0
LEFT, RIGHT, TOP, BOTTOM = 48.0, 322.0, 34.0, 162.0
STILL_DEG = 2.0  # a joint that turns less leads nothing
_BELOW_PX = 18.0


def nice_top(peak_nm: float) -> float:
    """The highest tick: the next of 1, 1.5, 2, 3, 4, 5, 6, 8 times a power of ten."""
    if peak_nm <= 0:
        return 1.0
    power = 10.0 ** math.floor(math.log10(peak_nm))
    steps = (1, 1.5, 2, 3, 4, 5, 6, 8, 10)
    return next(step * power for step in steps if step * power >= peak_nm * (1 - 1e-9))


def moment_curve(
    load: ExerciseLoad,
    works: str | None = None,
    *,
    title: str = "",
    prefix: str | None = None,
    tolerated_deg: tuple[float, float] | None = None,
    say: svg.Say = svg.as_written,
) -> str:
    """The curve of one action as an `<svg>`: the named one, or the one with the highest peak.

    "" where no demand was computed (`load.withheld` says why).
    """
    demand = _demand(load, works)
    if demand is None:
        return ""
    ways, turn = _ways(demand), turn_of(load, demand)
    full, zero = _scale(ways)
    xs = np.linspace(LEFT, RIGHT, PHASES)

    def y(moments: Array) -> Array:
        return zero - moments * ((zero - TOP) / full)

    top = float(y(np.array(demand.peak_nm)))
    label, below = _peak_word(demand, turn, xs, top, say), _below_word(zero, say)
    body = [
        _tolerated(demand.angle_deg, xs, tolerated_deg),
        *_axes(demand, turn, full, zero, xs, below, say),
        *(_line(way, xs, moments, y(moments), zero) for way, moments in ways.items()),
        *_peak(demand, label, xs, top, say),
        *way_words(ways, xs, BOTTOM, y, [one for one in (label, below) if one], say),
    ]
    name = say("Moment over the movement, {works}").format(
        works=str(demand.works).replace("-", " ")
    )
    return svg.frame(
        body,
        css="drawn-curve",
        prefix=f"curve-{prefix or load.id}-{demand.works}",
        box=(0, 0, WIDTH, HEIGHT),
        title=f"{title}: {name}" if title else name,
        desc=_description(demand, turn, say),
        attributes=_geometry(demand, turn, full, zero),
    )


@dataclass(frozen=True)
class Turn:
    """What the axis of a curve shows: angles (11,) in degrees, positive under a movement's name.

    `sign` turns the action's own angles to these; 0 where the joint that works stays and another
    leads.
    """

    angles: Array
    of: str
    sign: int


def turn_of(load: ExerciseLoad, demand: Demand) -> Turn:
    """The movement that leads: of the joint that works, as it is written, or what turns most."""
    action, angles = demand.works, demand.angle_deg
    still = float(np.ptp(angles)) < STILL_DEG
    most = max(load.joints.values(), key=lambda one: _leads(one, load), default=None)
    if still and most is not None and float(np.ptp(most.angle_deg)) >= STILL_DEG:
        of, sign = named_way(most.joint, most.axis, *_ends(most.angle_deg))
        return Turn(sign * most.angle_deg, of, 0)
    of, sign = named_way(action.joint, action.movement, *_ends(angles))
    return Turn(sign * angles, of, sign)


def _leads(joint: JointCurve, load: ExerciseLoad) -> tuple[bool, float]:
    """Whether a joint moves as the first one that is written, and how far it turns."""
    ends = np.array([joint.angle_deg[0], joint.angle_deg[-1]])
    written = np.array(load.arc_deg)
    near = min(np.abs(ends - written).max(), np.abs(ends + written).max()) < STILL_DEG
    turned = float(np.ptp(joint.angle_deg))
    return bool(near and turned >= STILL_DEG), turned


def _ends(angles: Array) -> tuple[float, float]:
    return float(angles.min()), float(angles.max())


def _demand(load: ExerciseLoad, works: str | None) -> Demand | None:
    if works is not None:
        return load.demands.get(works)
    return max(load.demands.values(), key=lambda demand: demand.peak_nm, default=None)


def _ways(demand: Demand) -> Mapping[str, Array]:
    return dict(demand.per_way) if demand.per_way else {"both": demand.curve_nm}


def _scale(ways: Mapping[str, Array]) -> tuple[float, float]:
    """The highest tick in N·m, and y of the zero line, which rises where moments are negative."""
    every = np.concatenate(list(ways.values()))
    full = nice_top(float(every.max()))
    below = max(0.0, -float(every.min()))
    share = min(0.45, below / (full + below)) if below > 0.02 * full else 0.0
    share = max(share, _BELOW_PX / (BOTTOM - TOP)) if share else 0.0  # its words have room
    if share == 0.45:  # mostly unloaded: keep the line inside
        full = max(full, nice_top(below * (1 - share) / share))
    return full, BOTTOM - share * (BOTTOM - TOP)


def _axes(
    demand: Demand, turn: Turn, full: float, zero: float, xs: Array, below: Word | None,
    say: svg.Say,
) -> list[str]:  # fmt: skip
    out = []
    for share in (0.0, 0.5, 1.0):
        y = zero - share * (zero - TOP)
        css = "curve-zero" if share == 0 else "curve-rule"
        out.append(svg.path(f"M{LEFT:g},{svg.number(y)}H{RIGHT:g}", css))
        out.append(
            f'<text class="curve-tick" data-share="{share:g}" x="{LEFT - 7:g}" '
            f'y="{svg.number(y + 4)}" text-anchor="end">{share * full:.4g}</text>'
        )
    out.append(svg.text(LEFT - 7, TOP - 13, say("N·m"), "curve-unit", "end"))
    first, last = (svg.degrees(float(turn.angles[i])) for i in (0, -1))
    out.append(svg.text(LEFT, BOTTOM + 17, first, "curve-angle", "start"))
    out.append(svg.text(RIGHT, BOTTOM + 17, last, "curve-angle", "end"))
    if 0 < demand.peak_phase < PHASES - 1 and demand.peak_nm > 0:
        at = float(xs[demand.peak_phase])
        out.append(svg.path(f"M{svg.number(at)},{BOTTOM:g}v5", "curve-rule"))
    middle = (LEFT + RIGHT) / 2
    out.append(svg.text(middle, BOTTOM + 33, say(turn.of), "curve-axis", "middle"))
    if below is not None:
        out.append(svg.text(below.x + below.half, below.y, below.words, "curve-below", "end"))
    return out


def _below_word(zero: float, say: svg.Say) -> Word | None:
    """What the part below zero is, where there is one."""
    if zero >= BOTTOM - _BELOW_PX + 1:
        return None
    words = say("the opposite muscles work")
    half = width_px(words, 12) / 2
    return Word(words, RIGHT - 3 - half, BOTTOM - 4, half)


def _line(way: str, xs: Array, moments: Array, ys: Array, zero: float) -> str:
    points = np.stack([xs, ys], 1)
    area = np.concatenate([[[LEFT, zero]], points, [[RIGHT, zero]]])
    css = "curve-line" if way == "both" else f"curve-line curve-{way}"
    line = (
        f'<polyline class="{css}" data-way="{way}" data-moments="{_list(moments)}" '
        f'points="{svg.points_attribute(points)}"/>'
    )
    if way == "down":
        return line
    return f'<polygon class="curve-area" points="{svg.points_attribute(area)}"/>{line}'


def _peak(demand: Demand, label: Word | None, xs: Array, y: float, say: svg.Say) -> list[str]:
    if label is None:
        return [svg.text((LEFT + RIGHT) / 2, TOP - 12, say("these muscles never have to act"),
                         "curve-peak-label", "middle")]  # fmt: skip
    x = float(xs[demand.peak_phase])
    return [
        f'<circle class="curve-peak" cx="{svg.number(x)}" cy="{svg.number(y)}" r="4.5"/>',
        svg.text(label.x, label.y, label.words, "curve-peak-label", "middle"),
    ]


def _peak_word(demand: Demand, turn: Turn, xs: Array, y: float, say: svg.Say) -> Word | None:
    if demand.peak_nm <= 0:
        return None
    words = say("{moment} N·m at {angle}").format(
        moment=f"{demand.peak_nm:.3g}", angle=_at_peak(demand, turn)
    )
    half = width_px(words, 14, bold=True) / 2
    x = min(max(float(xs[demand.peak_phase]), LEFT + half + 2), WIDTH - half - 3)
    return Word(words, x, y - 11, half)


def _at_peak(demand: Demand, turn: Turn) -> str:
    angle = turn.sign * demand.peak_at_deg if turn.sign else turn.angles[demand.peak_phase]
    return svg.degrees(float(angle))


def _tolerated(angles: Array, xs: Array, arc: tuple[float, float] | None) -> str:
    """The part of the movement within the tolerated arc, phases being proportional to angle."""
    x, width = LEFT, 0.0
    span = float(angles[-1] - angles[0])
    if arc is not None and abs(span) > 1e-9:
        ends = sorted((np.array(arc) - angles[0]) / span)
        first, last = np.clip(ends, 0, 1) * (RIGHT - LEFT) + LEFT
        x, width = float(first), float(last - first)
    return (
        f'<rect class="curve-tolerated" x="{svg.number(x)}" y="{TOP:g}" '
        f'width="{svg.number(width)}" height="{BOTTOM - TOP:g}"/>'
    )


def _geometry(demand: Demand, turn: Turn, full: float, zero: float) -> str:
    numbers = {
        "left": f"{LEFT:g}", "right": f"{RIGHT:g}", "top": f"{TOP:g}", "zero": svg.number(zero),
        "full-nm": f"{full:g}", "works": str(demand.works),
        "angles": _list(turn.angles), "of": turn.of, "works-turn": str(turn.sign),
    }  # fmt: skip
    return "".join(f' data-{key}="{svg.escape(value)}"' for key, value in numbers.items())


def _list(values: Array) -> str:
    return " ".join(f"{value:g}" for value in (np.round(values, 2) + 0.0).tolist())


def _description(demand: Demand, turn: Turn, say: svg.Say) -> str:
    first, last = (svg.degrees(float(turn.angles[i])) for i in (0, -1))
    if demand.peak_nm <= 0:
        return say("From {first} to {last} these muscles never have to act.").format(
            first=first, last=last
        )
    return say(
        "From {first} to {last} of {of}: starts at {start} N·m, peaks at {peak} N·m at {angle}, "
        "ends at {end} N·m."
    ).format(
        first=first, last=last, of=say(turn.of), start=f"{demand.curve_nm[0]:.3g}",
        peak=f"{demand.peak_nm:.3g}", angle=_at_peak(demand, turn),
        end=f"{demand.curve_nm[-1]:.3g}",
    )  # fmt: skip
