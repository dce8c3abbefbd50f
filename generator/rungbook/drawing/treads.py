"""What a staircase shows: rungs, missing rungs and the steps between them, also in words."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass

from rungbook.drawing import svg
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.ladder.step import Step
from rungbook.ladder.words import TITLES, size_text

Href = Callable[[str], str]
Edge = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Proposed:
    """An exercise that would fill a missing step, not (yet) in the library."""

    title: str
    demand_nm: float


@dataclass(frozen=True, slots=True)
class Tread:
    """One tread: an exercise of the library, or a missing one (`id` is then "")."""

    id: str
    title: str
    demand_nm: float
    height: float  # in steps; where a ladder has no scale, its rungs stand evenly
    href: str
    marks: tuple[str, ...] = ()  # "entry", "goal" in words
    notes: tuple[tuple[str, bool], ...] = ()  # a line about the step into it; True: too large
    proposed: bool = False  # an exercise that would fill the gap; else only the gap is known


def staircase_sentences(
    measured: MeasuredLibrary,
    ladder_id: str,
    *,
    proposals: Mapping[tuple[str, str], Sequence[Proposed]] | None = None,
    accepted: Collection[Edge] = (),
    say: svg.Say = svg.as_written,
) -> list[str]:
    """The same in words, one sentence a rung, easiest first."""
    out = []
    for tread in read_treads(measured, ladder_id, lambda _: "", proposals or {}, say, accepted):
        if not tread.title:
            continue
        known = bool(tread.id) or tread.proposed
        words = [say("{moment} N·m").format(moment=moment_words(tread.demand_nm))] if known else []
        words += [*tread.marks, *(note for note, _ in tread.notes)]
        out.append(f"{tread.title}: {', '.join(words)}." if words else f"{tread.title}.")
    return out


def step_words(
    step: Step, say: svg.Say = svg.as_written, accepted: Collection[Edge] = ()
) -> tuple[str, bool]:
    """A step's size in words, and whether it is too large and nobody has accepted it."""
    axis = (
        ""
        if step.worst in ("", "demand")
        else say(" in {axis}").format(axis=say(TITLES.get(step.worst, step.worst)))
    )
    if step.size <= 1 + 1e-6:
        return say("{size} of a step{axis}").format(size=size_text(step.size), axis=axis), False
    taken = (step.from_id, step.to_id) in accepted
    missing = say("{number} missing").format(number=max(1, step.missing))
    return say("{size} steps{axis}, {missing}").format(
        size=size_text(step.size), axis=axis, missing=say("accepted") if taken else missing
    ), not taken


def read_treads(
    measured: MeasuredLibrary,
    ladder_id: str,
    href: Href,
    proposals: Mapping[tuple[str, str], Sequence[Proposed]],
    say: svg.Say = svg.as_written,
    accepted: Collection[Edge] = (),
) -> list[Tread]:
    """The treads of a ladder, easiest first; rungs without a load are left out.

    Nothing is missing in a step that is too large but `accepted`.
    """
    ladder = measured.ladders[ladder_id]
    scaled = any(ladder.height(rung) is not None for rung in ladder.rungs)
    into: dict[str, list[Step]] = {}
    for step in ladder.steps:
        into.setdefault(step.to_id, []).append(step)
    treads: list[Tread] = []
    for rung in ladder.rungs:
        demand_nm = measured.demand_on(ladder_id, rung)
        exercise = measured.library.exercises.get(rung)
        height = ladder.height(rung) if scaled else float(len(treads))
        if demand_nm is None or height is None or exercise is None:
            continue
        for step in into.get(rung, []):
            if step.size > 1 + 1e-6 and (step.from_id, step.to_id) not in accepted:
                found = proposals.get((step.from_id, step.to_id), ())
                treads += _missing(step, found, ladder, say)
        marks = tuple(
            say("entry at {level} irritability").format(level=say(level))
            for level, entry in ladder.ladder.entries.items()
            if entry == rung
        ) + ((say("goal"),) if ladder.ladder.goal == rung else ())
        notes = _notes(into.get(rung, []), say, accepted)
        treads.append(Tread(rung, exercise.title, demand_nm, height, href(rung), marks, notes))
    return treads


def _notes(
    steps: Sequence[Step], say: svg.Say, accepted: Collection[Edge]
) -> tuple[tuple[str, bool], ...]:
    """Each step into a rung that is too large; else the largest one within its limit."""
    large = [step for step in steps if step.size > 1 + 1e-6]
    told = large or sorted(steps, key=lambda step: step.size)[-1:]
    return tuple(dict.fromkeys(step_words(step, say, accepted) for step in told))


def _missing(
    step: Step, proposed: Sequence[Proposed], ladder: MeasuredLadder, say: svg.Say
) -> list[Tread]:
    """Dotted treads: the proposed exercises, or as many as are missing, evenly on the scale."""
    axis, scale = step.axes.get("demand"), ladder.ruler.scale
    action = next((one for one in ladder.ladder.works if axis and str(one) == axis.works), None)
    if axis is None or scale is None or action is None:
        return []
    if proposed:
        return [
            Tread("", say("Proposed: {title}").format(title=one.title), one.demand_nm,
                  scale.height(action, one.demand_nm) or 0.0, "", proposed=True)
            for one in proposed
        ]  # fmt: skip
    if step.worst != "demand" or step.missing < 1:
        return []
    low, high = (scale.height(action, nm) or 0.0 for nm in (axis.prepared, axis.to_value))
    heights = [low + (i + 1) / (step.missing + 1) * (high - low) for i in range(step.missing)]
    one = say("a rung is missing")
    many = say("{number} rungs are missing").format(number=step.missing)
    words = [""] * step.missing
    words[(step.missing - 1) // 2] = one if step.missing == 1 else many
    return [
        Tread("", title, scale.load_at(action, height), height, "")
        for title, height in zip(words, heights, strict=True)
    ]


def moment_words(value: float) -> str:
    """A moment in N·m without needless digits."""
    return f"{value:.2g}" if value < 10 else f"{value:.0f}"
