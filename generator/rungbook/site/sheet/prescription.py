"""A plain-text prescription for the notes: one exercise in one line.

It covers what the library knows of the items of the Consensus on Exercise Reporting Template
(Slade et al. 2016): 1 equipment, 5 adherence (the diary), 7 when and how to progress, 8 where
it is described, 9 and 12 at home, 13 dose and load, 15 the starting level; back-off criteria
stand for 11, adverse events. Who treats, motivation and fidelity are for the clinician to add.
`scripts/prescription.js` writes the same line.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.person import Person
from rungbook.model.criterion import in_words
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.movement import Action
from rungbook.model.quantity import After
from rungbook.site.pages.words import spaced
from rungbook.site.sheet.messages import Messages


@dataclass(frozen=True, slots=True)
class Peak:
    """The peak moment of one action, with its share of a measured maximum where known."""

    works: str
    peak_nm: float
    capacity_share: float | None = None


@dataclass(frozen=True, slots=True)
class Prescription:
    """Everything of the line that is the same for every patient."""

    title: str
    one_sided: bool
    equipment: tuple[str, ...]
    position: str
    levels: tuple[tuple[int, int, str], ...]  # rung, of how many, the ladder's title
    go_on: tuple[str, ...]
    after: After | None
    following: str | None
    back_off: tuple[str, ...]
    library: str
    page: str


def prescription(measured: MeasuredLibrary, exercise: Exercise, page: str) -> Prescription:
    """What the library knows; `page` is the exercise's address."""
    library = measured.library
    terms = library.vocabulary.equipment
    onward = next(iter(exercise.ways), None)
    following = library.exercises.get(onward.to) if onward else None
    return Prescription(
        title=exercise.title,
        one_sided=exercise.sides == "one",
        equipment=tuple(terms[key].title if key in terms else key for key in exercise.equipment),
        position=spaced(exercise.position),
        levels=tuple(
            (standing.rung, standing.of, standing.ladder.ladder.title)
            for standing in measured.standings.get(exercise.id, ())
        ),
        go_on=in_words(onward.when) if onward else (),
        after=onward.after if onward else None,
        following=following.title if following else None,
        back_off=in_words(exercise.back_off),
        library=library.settings.name,
        page=page,
    )


def peaks(measured: MeasuredLibrary, exercise: str) -> tuple[Peak, ...]:
    """The demands of an exercise as computed for `measured`'s person."""
    load = measured.loads.get(exercise)
    if load is None or load.withheld:
        return ()
    return tuple(
        Peak(_action(demand.works), demand.peak_nm, demand.capacity_share)
        for demand in load.demands.values()
    )


def _action(action: Action) -> str:
    return spaced(str(action))


def _seconds(seconds: float, say: Messages) -> str:
    return f"{say.number(seconds)} s"


def dose_notation(dose: Dose | None, say: Messages) -> str | None:
    """`3 × 8-12, up 2 s, pause 1 s, down 3 s, rest 60 s, 3 per week, effort 4-6 of 10`."""
    if dose is None:
        return None
    parts = [part for part in _amount(dose, say) if part]
    for key in ("up", "pause", "down", "rest"):
        time = getattr(dose, key)
        if time:
            parts.append(say(f"rx.{key}", time=_seconds(time, say)))
    if dose.sessions:
        daily = dose.sessions % 7 == 0
        rate = dose.sessions / 7 if daily else dose.sessions
        parts.append(say("rx.per-day" if daily else "rx.per-week", n=rate))
    if dose.effort:
        effort = _range(dose.effort.low, dose.effort.high, say)
        parts.append(say("rx.effort", effort=effort))
    return ", ".join(parts) or None


def _range(low: float, high: float, say: Messages) -> str:
    return say.number(low) if low == high else f"{say.number(low)}-{say.number(high)}"


def _amount(dose: Dose, say: Messages) -> Iterator[str]:
    times = f"{dose.sets} × " if dose.sets else ""
    if dose.reps:
        yield times + _range(dose.reps.low, dose.reps.high, say)
        if dose.hold:
            yield say("rx.hold", time=_seconds(dose.hold, say))
    elif dose.hold or dose.duration:
        yield times + _seconds(dose.hold or dose.duration or 0.0, say)
    elif dose.sets:
        yield say("dose.sets", n=dose.sets)


def person_words(person: Person, say: Messages) -> str:
    """`70 kg, 1.7 m, female body table`."""
    return say(
        "rx.person",
        mass=say.number(person.mass_kg),
        stature=say.number(person.stature_m),
        body=person.body,
    )


def moment_figure(value_nm: float, say: Messages) -> str:
    """About two figures, as far as a moment is known; never an exponent."""
    return say.number(value_nm, 0 if value_nm >= 10 else 1)


def _load(found: tuple[Peak, ...], person: Person, say: Messages) -> str:
    if not found:
        return say("rx.no-load")
    loads = []
    for peak in found:
        text = say("rx.peak", works=peak.works, moment=moment_figure(peak.peak_nm, say))
        if peak.capacity_share is not None:
            text += ", " + say("rx.capacity", share=say.number(100 * peak.capacity_share, 0))
        loads.append(text)
    return say("rx.load", loads="; ".join(loads), person=person_words(person, say))


def prescription_line(
    known: Prescription,
    side: str | None,
    dose: Dose | None,
    found: tuple[Peak, ...],
    person: Person,
    date: datetime.date,
    say: Messages,
) -> str:
    """One line of plain text. `side` is left, right, both, or None where both work together."""
    notation = dose_notation(dose, say)
    parts = [
        f"{date.isoformat()} {known.title}",
        say("rx.side", side=say(f"rx.{side or 'together'}")) if side or not known.one_sided else "",
        say("rx.dose", dose=notation) if notation else say("rx.no-dose"),
        _load(found, person, say),
        say("rx.equipment", equipment=", ".join(known.equipment))
        if known.equipment
        else say("rx.no-equipment"),
        say("rx.position", position=known.position),
        *_levels(known, say),
        *_criteria(known, say),
        say("rx.diary"),
        say("rx.described", library=known.library, page=known.page),
    ]
    return " | ".join(" ".join(part.split()) for part in parts if part)


def _levels(known: Prescription, say: Messages) -> Iterator[str]:
    if known.levels:
        rungs = (
            say("rx.rung", rung=rung, of=of, ladder=ladder) for rung, of, ladder in known.levels
        )
        yield say("rx.start", levels="; ".join(rungs))


def _criteria(known: Prescription, say: Messages) -> Iterator[str]:
    if known.go_on:
        criteria = "; ".join(known.go_on)
        if known.after:
            key = "progress.sessions" if known.after.unit == "sessions" else "progress.days"
            after = say(key, n=known.after.count)
            criteria += "; " + say("rx.after", after=after)
        yield say("rx.go-on", criteria=criteria)
    if known.following:
        yield say("rx.next", title=known.following)
    if known.back_off:
        yield say("rx.back-off", criteria="; ".join(known.back_off))


def for_browser(known: Prescription) -> dict[str, Any]:
    """The same as the scripts read it."""
    return {
        "title": known.title,
        "oneSided": known.one_sided,
        "equipment": known.equipment,
        "position": known.position,
        "levels": known.levels,
        "goOn": known.go_on,
        "after": [known.after.count, known.after.unit] if known.after else None,
        "following": known.following,
        "backOff": known.back_off,
        "library": known.library,
        "page": known.page,
    }
