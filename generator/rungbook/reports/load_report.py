"""Loads as text with a curve in characters, as JSON values, and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from rungbook.load.others import reversed_work, works_hard
from rungbook.load.person import Person
from rungbook.load.plain import load_values, number
from rungbook.load.result import Demand, ExerciseLoad, Left
from rungbook.load.strength import Maximum, strength_of
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindOfWork
from rungbook.model.movement import MOVEMENTS, Action

Array = NDArray[np.float64]
Maxima = Mapping[Action, Maximum]
NONE_MEASURED: Maxima = {}
BARS = " ▁▂▃▄▅▆▇█"
CURVE_ROWS = 5
MOST_SETTLED = 6
NOTICE = (
    "Net joint moments of an average build, by statics. They compare exercises; they do not say "
    "that one suits a patient. Local protocol and the surgeon's orders come first."
)


def load_json(
    person: Person,
    loads: Sequence[ExerciseLoad],
    exercises: Mapping[str, Exercise],
    maxima: Maxima = NONE_MEASURED,
) -> dict[str, Any]:
    """The loads as plain values, in the order given."""
    age = {} if person.age is None else {"age": person.age}
    return {
        "person": {
            "mass_kg": person.mass_kg,
            "stature_m": person.stature_m,
            "body": person.body,
            **age,
        },
        "exercises": [load_values(load, exercises[load.id], maxima) for load in loads],
    }


def load_csv(loads: Sequence[ExerciseLoad]) -> str:
    """One line a joint axis and phase."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["exercise", "joint", "phase", "angle_deg", "moment_nm"])
    for load in loads:
        for name, curve in load.joints.items():
            for phase in range(11):
                angle, moment = number(curve.angle_deg[phase]), number(curve.moment_nm[phase])
                writer.writerow([load.id, name, phase / 10, angle, moment])
    return text.getvalue()


def load_text(
    person: Person,
    loads: Sequence[ExerciseLoad],
    exercises: Mapping[str, Exercise],
    maxima: Maxima = NONE_MEASURED,
) -> str:
    """A table of all, and below it, for a few exercises, each one's curve and parameters."""
    who = f"{person.mass_kg:g} kg, {person.stature_m:.2f} m, segment table {person.body}"
    parts = [f"For {who}.\n{NOTICE}\n"]
    if len(loads) <= 3:
        parts += [_sheet(load, exercises[load.id], maxima) for load in loads]
    else:
        parts.append(_table(loads))
    return "\n".join(parts) + "\n"


def _table(loads: Sequence[ExerciseLoad]) -> str:
    width = max((len(load.id) for load in loads), default=8)
    lines = [
        f"{'exercise':{width}}  {'works':24} {'peak':>9} {'at':>6}  {'over the movement':17} weight"
    ]
    for load in loads:
        if not load.demands:
            lines.append(f"{load.id:{width}}  {load.withheld or 'no action named'}")
        for name, demand in load.demands.items():
            at = f"{abs(demand.peak_at_deg):.0f}°" if demand.basis == "statics" else "meas."
            bars = sparkline(demand.curve_nm)
            lines.append(
                f"{load.id:{width}}  {name:24} {demand.peak_nm:6.1f} N·m {at:>5}  {bars:17} "
                f"{load.bearing:4.0%}"
            )
    return "\n".join(lines)


def sparkline(curve: Array) -> str:
    """The curve in one line of eleven bars, from nothing to its peak."""
    peak = float(np.max(curve))
    if peak <= 0:
        return BARS[0] * len(curve)
    return "".join(BARS[round(max(0.0, float(value)) / peak * (len(BARS) - 1))] for value in curve)


def _sheet(load: ExerciseLoad, exercise: Exercise, maxima: Maxima) -> str:
    lines = [f"{exercise.title} ({load.id})", f"  works: {load.group}"]
    if load.withheld:
        lines.append(f"  not computed: {load.withheld}")
    for name, demand in load.demands.items():
        lines += _demand_lines(name, demand, load.left)
        kind = load.kind(name)
        if kind is not None:
            lines.append(f"    kind of work: {kind.in_words}{_because(kind)}")
        lines += _strength_lines(demand, load, maxima)
    lines += _others(load, exercise)
    lines += _parameters(load)
    lines += [
        f"  {fault.check}: {fault.message}"
        for fault in load.faults
        if fault.message != load.withheld
    ]
    return "\n".join(lines) + "\n"


def _strength_lines(demand: Demand, load: ExerciseLoad, maxima: Maxima) -> Iterator[str]:
    """The share of strength at its worst angle, and at the peak where that is another."""
    instead = reversed_work(load, demand)
    if instead is not None:
        yield f"    {instead.instead_in_words}"
    if demand.peak_nm <= 0:
        return
    found = strength_of(demand, load.person, maxima.get(demand.works))
    if isinstance(found, str):
        yield f"    strength: {found}"
        return
    at = angle_in_words(demand.works, found.at_deg)
    peak = ""
    if found.at_peak is not None and found.share - found.at_peak > 0.005:
        peak = f"; {found.at_peak:.0%} at the peak"
    yield f"    strength: {found.in_words}, at {at}{peak}"


def _others(load: ExerciseLoad, exercise: Exercise) -> Iterator[str]:
    others = works_hard(load, exercise)
    if others:
        told = ", ".join(f"{one.action} {one.peak_nm:.0f} N·m ({one.share:.0%})" for one in others)
        yield f"  other joints that work hard, by share of strength: {told}"


def _because(kind: KindOfWork) -> str:
    return f" (written, not computed: {kind.because})" if kind.because else ""


def _demand_lines(name: str, demand: Demand, left: Sequence[Left]) -> list[str]:
    if demand.basis == "measured":
        return [f"  {name}: {demand.peak_nm:.1f} N·m (a published figure)"]
    capacity = (
        "" if demand.capacity_share is None else f", {demand.capacity_share:.0%} of the maximum"
    )
    lines = [
        f"  {name}: peak {demand.peak_nm:.1f} N·m ({demand.per_mass_nm_kg:.2f} N·m/kg) "
        f"at {angle_in_words(demand.works, demand.peak_at_deg)}{capacity}"
    ]
    low, high = (f"{one or 0:.0f}" for one in (demand.low_nm, demand.high_nm))
    if demand.low_nm is not None and low != high:
        lines.append(
            f"    likely {low} to {high} N·m: build, bracing and "
            "relative strength differ between people"
        )
    lines += [f"    {'starts' if one.phase == 0 else 'ends'} with {one.in_words}" for one in left]
    lines += [f"    {line}" for line in curve_in_characters(demand.curve_nm, demand.angle_deg)]
    parts = [f"{word} {share:.0%}" for word, share in demand.contraction.items() if share > 0.005]
    lines.append(
        f"    mean {demand.mean_nm:.1f} N·m, {demand.impulse_per_rep_nms:.0f} N·m·s a repetition"
    )
    if parts:
        lines.append(f"    muscles at work: {', '.join(parts)} of the repetition")
    return lines


def angle_in_words(action: Action, degrees: float) -> str:
    """An angle toward an action, under the name of the movement it lies toward."""
    if degrees < -0.5:
        names = MOVEMENTS[action.joint].items()
        opposite = [n for n, (axis, sign) in names if axis == action.axis and sign != action.sign]
        return f"{-degrees:.0f}° {opposite[0] if opposite else action.movement}"
    return f"{abs(degrees):.0f}° {action.movement}"


def curve_in_characters(curve: Array, angle: Array) -> list[str]:
    """The curve as columns of blocks, five characters a phase, with angles below."""
    peak = float(np.max(curve))
    if peak <= 0:
        return ["these muscles never have to act"]
    lines = []
    for row in range(CURVE_ROWS, 0, -1):
        label = f"{peak * row / CURVE_ROWS:6.1f} |"
        cells = [_cell(float(value) / peak * CURVE_ROWS - (row - 1)) for value in curve]
        lines.append(label + "".join(f" {cell * 3} " for cell in cells).rstrip())
    lines.append("   0.0 +" + "-" * (5 * len(curve)))
    lines.append(" " * 8 + "".join(f"{abs(value):^5.0f}" for value in angle).rstrip() + " °")
    return lines


def _cell(filled: float) -> str:
    return BARS[round(min(1.0, max(0.0, filled)) * (len(BARS) - 1))]


def _from_to(low: float, high: float) -> str:
    return f"{high:.0f}" if low == high else f"{low:.0f} to {high:.0f}"


def _parameters(load: ExerciseLoad) -> list[str]:
    lines = [
        f"  weight through the working {load.bearing_limb}: {load.bearing:.0%} of body weight",
        f"  range {load.range_deg + 0.0:.0f}°, stretched position {load.lengthening_deg:.0f}°, "
        f"up to {load.peak_speed_deg_s:.0f}°/s, stability class {load.stability}",
    ]
    if load.time_under_tension_week_s:
        lines.append(
            f"  time under tension {load.time_under_tension_s:.0f} s a session, "
            f"{_from_to(*load.time_under_tension_week_range_s)} s a week; "
            f"volume {load.volume_nms:.0f} N·m·s a week"
        )
    for word, forces in (("rests on", load.reactions), ("is helped at", load.assistance)):
        for force in forces:
            size = float(np.linalg.norm(force.force_n))
            lines.append(f"  {word} {force.at}: {size:.0f} N ({force.share:.0%} of body weight)")
    if load.settled:
        most = sorted(load.settled.items(), key=lambda item: -abs(item[1]))
        given = ", ".join(f"{name} {value:+.0f}°" for name, value in most[:MOST_SETTLED])
        more = f", {len(most) - MOST_SETTLED} more" if len(most) > MOST_SETTLED else ""
        lines.append(f"  adjusted to the contacts: {given}{more}")
    if load.inertial_share > 0.15:
        lines.append(f"  statics doubtful: inertia would add about {load.inertial_share:.0%}")
    return lines
