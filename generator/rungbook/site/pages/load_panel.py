"""The load of an exercise: comparisons first, N·m beside them, then the parameters."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from rungbook.load.curves import arrays_of
from rungbook.load.others import reversed_work, works_hard
from rungbook.load.result import Demand, ExerciseLoad
from rungbook.load.strength import StrengthShare, strengths_by_age
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KindOfWork
from rungbook.model.movement import named_way
from rungbook.site.data.patient_data import SHOWN_NM
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.page import Link
from rungbook.site.pages.step_words import IMPACT, STABILITY
from rungbook.site.pages.words import (
    NARROW,
    angle,
    moment,
    number,
    percent,
    seconds,
    seconds_from_to,
    sentence,
    significant,
    spaced,
    times,
)

BRACED = ("split-stance", "half-kneeling")  # see the decisions in `rungbook.load`
FIT = "The older people of the table were few and fit: frail patients have less to spare."
PARTLY = "At some angles of the movement no curve is published."
INERTIA_WORTH_SAYING = 0.15  # of the static peak: above it, the page says by how much


@dataclass(frozen=True, slots=True)
class Comparison:
    """Against another exercise: "1.4 times", "the easier exercise"; "71 %", "of the goal"."""

    ratio: str
    of: str
    link: Link


@dataclass(frozen=True, slots=True)
class WorkLoad:
    """The load on one muscle group."""

    works: str
    peak: str
    peak_at: str  # positive, under the name `peak_of`; `turn` is -1 where that is the opposite
    peak_of: str
    turn: int
    per_mass: str
    measured: bool
    likely: str
    strength: str
    instead: str
    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class LoadPanel:
    """Everything computed about the load of an exercise.

    `withheld` says why there is no number; `notes` what to know before using one.
    """

    group: str
    comparisons: tuple[Comparison, ...]
    works: tuple[WorkLoad, ...]
    facts: tuple[tuple[str, str], ...]
    settled: tuple[tuple[str, str], ...]
    joints: tuple[tuple[str, str, str], ...]
    others: tuple[tuple[str, str, str], ...]
    withheld: str
    notes: tuple[str, ...]
    inertia: str
    person: str


def _contraction(demand: Demand) -> str:
    words = {"concentric": "lifting", "eccentric": "lowering", "held": "holding"}
    return ", ".join(
        f"{words[kind]} {percent(share)}"
        for kind, share in demand.contraction.items()
        if share >= 0.005
    )


def _kind(kind: KindOfWork | None) -> str:
    if kind is None:
        return ""
    why = f" (written, not computed: {kind.because})" if kind.because else ""
    return f"{sentence(kind.in_words)}{why}"


def _strength(demand: Demand, load: ExerciseLoad) -> str:
    """Of what average people can do at that angle, by age; where there is none, why."""
    if demand.peak_nm <= 0 or demand.basis == "measured":
        return ""
    found = strengths_by_age(demand, load.person)
    shares = [(age, one) for age, one in found if isinstance(one, StrengthShare)]
    if not shares:
        return (
            f"{sentence(str(found[0][1]))}: only a maximum measured on the patient gives a share."
        )
    who = "woman" if load.person.body == "female" else "man"
    told = ", ".join(
        f"{percent(one.share)} {age if age.startswith('over') else f'at {age}'} years"
        for age, one in shares
    )
    some = "" if all(one.whole for _, one in shares) else f" {PARTLY}"
    return f"Of what an average {who} can do at that angle: {told}. {FIT}{some}"


def _others(load: ExerciseLoad, exercise: Exercise) -> tuple[tuple[str, str, str], ...]:
    return tuple(
        (spaced(one.action), moment(one.peak_nm), f"{percent(one.share)}, {one.kind.in_words}")
        for one in works_hard(load, exercise)
    )


def _likely(demand: Demand) -> str:
    """From where to where the load lies for people of her size, where that says more."""
    if demand.low_nm is None or demand.high_nm is None or demand.basis != "statics":
        return ""
    low, high = significant(demand.low_nm), significant(demand.high_nm)
    return "" if low == high else f"{low} to {high}{NARROW}N·m"


def _work_load(demand: Demand, load: ExerciseLoad) -> WorkLoad:
    instead = reversed_work(load, demand)
    angles = demand.angle_deg if demand.angle_deg.size else np.zeros(1)
    action = demand.works
    of, turn = named_way(action.joint, action.movement, float(angles.min()), float(angles.max()))
    rows = (
        ("Kind of work", _kind(load.kind(demand.works))),
        ("Mean over the movement", moment(demand.mean_nm)),
        ("Impulse per repetition", f"{significant(demand.impulse_per_rep_nms)}{NARROW}N·m·s"),
        ("Muscle works by", _contraction(demand)),
        (
            "Of the measured maximum",
            percent(demand.capacity_share) if demand.capacity_share is not None else "",
        ),
    )
    return WorkLoad(
        works=spaced(str(demand.works)),
        peak=moment(demand.peak_nm),
        peak_at=angle(turn * demand.peak_at_deg),
        peak_of=of,
        turn=turn,
        per_mass=f"{number(demand.per_mass_nm_kg, 2)}{NARROW}N·m/kg",
        measured=demand.basis == "measured",
        likely=_likely(demand),
        strength=_strength(demand, load),
        instead=sentence(instead.instead_in_words) + "." if instead else "",
        rows=tuple((heading, value) for heading, value in rows if value),
    )


def _comparison(ratio: float, words: str, link: Link) -> Comparison:
    if 0.995 <= ratio < 1.005:
        return Comparison("as much", f"as {words}", link)
    if ratio < 1:
        return Comparison(percent(ratio), f"of {words}", link)
    return Comparison(times(ratio), words, link)


def _comparisons(catalogue: Catalogue, exercise: Exercise) -> tuple[Comparison, ...]:
    """Against neighbours and goal, where they work what this exercise works."""
    here = catalogue.demand_nm(exercise.id)
    if not here:
        return ()
    wanted = [(other, "the easier exercise") for other in catalogue.easier(exercise.id)[:1]]
    wanted += [(other, "the harder exercise") for other in catalogue.harder(exercise.id)[:1]]
    wanted += [
        (standing.ladder.ladder.goal, "the goal")
        for standing in catalogue.standings.get(exercise.id, ())[:1]
        if standing.rung < standing.of
    ]
    seen: set[str] = set()
    found = []
    for other, words in wanted:
        there = catalogue.demand_nm(other)
        if other in seen or not there or other not in catalogue.library.exercises:
            continue
        if set(exercise.works) & set(catalogue.library.exercises[other].works):
            seen.add(other)
            found.append(_comparison(here / there, words, catalogue.exercise_link(other)))
    return tuple(found)


def _facts(load: ExerciseLoad, exercise: Exercise) -> tuple[tuple[str, str], ...]:
    low, high = load.arc_deg
    rows = (
        ("Arc of the movement", f"{angle(low)} to {angle(high)}" if low != high else angle(low)),
        (
            "Weight-bearing of the working " + load.bearing_limb,
            percent(load.bearing) + " of body weight" if load.bearing else "",
        ),
        ("Balance", STABILITY[min(max(load.stability, 0), len(STABILITY) - 1)]),
        ("Impact", IMPACT[("none", "both feet", "one foot").index(load.impact)]),
        ("Stretched position", angle(load.lengthening_deg) if load.lengthening_deg else ""),
        (
            "Peak speed",
            f"{number(load.peak_speed_deg_s)}{NARROW}°/s" if load.peak_speed_deg_s else "",
        ),
        (
            "Time under tension",
            f"{seconds(load.time_under_tension_s)} a session, "
            f"{seconds_from_to(*load.time_under_tension_week_range_s)} a week"
            if load.time_under_tension_s
            else "",
        ),
        (
            "Impulse per week",
            f"{significant(load.volume_nms)}{NARROW}N·m·s" if load.volume_nms else "",
        ),
        *(("The start" if one.phase == 0 else "The end", one.in_words) for one in load.left),
        *(
            (f"Carried at the {spaced(force.at)}", percent(force.share) + " of body weight")
            for force in load.assistance
        ),
    )
    return tuple((heading, value) for heading, value in rows if value)


def _settled(load: ExerciseLoad) -> tuple[tuple[str, str], ...]:
    """What gave way, largest first; both sides in one where they gave way alike."""
    sides: dict[str, set[int]] = {}
    for joint, by in load.settled.items():
        name = joint.removeprefix("working ").removeprefix("other ")
        sides.setdefault(name, set()).add(round(by))
    alike = {name for name, values in sides.items() if len(values) == 1}
    told: dict[str, float] = {}
    for joint, by in load.settled.items():
        name = joint.removeprefix("working ").removeprefix("other ")
        told[name if name in alike else joint] = by
    largest_first = sorted(told.items(), key=lambda item: (-abs(item[1]), item[0]))
    return tuple((spaced(joint), angle(by)) for joint, by in largest_first)


def _joints(load: ExerciseLoad) -> tuple[tuple[str, str, str], ...]:
    """Peak moment at every joint axis that carries something, largest first."""
    angles, moments = arrays_of(load.joints)
    if not moments.size:
        return ()
    rows = zip(
        load.joints,
        np.abs(moments).max(axis=1, initial=0.0).tolist(),
        angles[:, [0, -1]].tolist(),
        strict=True,
    )
    carrying = [row for row in rows if row[1] >= SHOWN_NM]
    return tuple(
        (spaced(name), moment(peak), f"{angle(start)} to {angle(end)}")
        for name, peak, (start, end) in sorted(carrying, key=lambda row: (-row[1], row[0]))
    )


def _notes(load: ExerciseLoad, exercise: Exercise) -> tuple[str, ...]:
    notes = []
    if exercise.position in BRACED and load.withheld is None:
        notes.append(
            "In this stance a person can push one leg against the other more or less than is "
            "assumed here, which moves load between hips and knees: read the hip and knee moments "
            "of this page as rough."
        )
    if any(demand.basis == "measured" for demand in load.demands.values()):
        notes.append("The figure is a published measurement, not computed here.")
    return tuple(notes)


def _inertia(load: ExerciseLoad) -> str:
    if load.inertial_share <= INERTIA_WORTH_SAYING:
        return ""
    return (
        f"At this tempo speeding up and slowing down adds about {percent(load.inertial_share)}"
        " to the static peak."
    )


def load_panel(catalogue: Catalogue, exercise: Exercise) -> LoadPanel | None:
    """The panel, or None where nothing was computed."""
    load = catalogue.measured.loads.get(exercise.id)
    if load is None:
        return None
    person = load.person
    return LoadPanel(
        group=load.group,
        comparisons=_comparisons(catalogue, exercise),
        works=tuple(_work_load(demand, load) for demand in load.demands.values()),
        facts=_facts(load, exercise),
        settled=_settled(load),
        joints=_joints(load),
        others=_others(load, exercise),
        withheld=load.withheld or "",
        notes=_notes(load, exercise),
        inertia=_inertia(load),
        person=f"{number(person.mass_kg, 1)}{NARROW}kg, {number(person.stature_m, 2)}{NARROW}m, "
        f"{person.body} body table",
    )
