"""The page of one ladder: every rung, every step, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from rungbook.filling.way_out import way_out
from rungbook.ladder.measured import MeasuredLadder
from rungbook.ladder.step import Step
from rungbook.model.ladder import IRRITABILITIES
from rungbook.site.pages import drawings
from rungbook.site.pages.catalogue import Accepted, Catalogue
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.references import Reference, references
from rungbook.site.pages.step_words import StepWords, step_words
from rungbook.site.pages.words import moment, number, percent, sentence, spaced


@dataclass(frozen=True, slots=True)
class StepUp:
    """A step from a rung to another rung of the ladder."""

    to: Link
    step: StepWords
    fill: str  # the command that would fill it, where rungs are missing
    drafts: tuple[Link, ...]  # what was proposed to fill it, not reviewed
    accepted: Accepted | None = None


@dataclass(frozen=True, slots=True)
class RungRow:
    """A rung in the ladder's table."""

    number: int
    link: Link
    demand: str
    of_goal: str
    entry: str  # for which irritability it is the entry
    goal: bool
    draft: bool
    steps: tuple[StepUp, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """Where to start, by irritability."""

    irritability: str
    link: Link


@dataclass(frozen=True, slots=True)
class LadderPage:
    """Everything on a ladder's page."""

    id: str
    title: str
    works: str
    condition: str
    goal: Link | None
    goal_met: tuple[str, ...]
    entries: tuple[Entry, ...]
    rows: tuple[RungRow, ...]
    missing: int
    staircases: tuple[Markup, Markup]  # for a phone, for a wide page
    map: drawings.Map
    restrictions: tuple[Link, ...]
    pain_rule: str
    pain_sources: tuple[Reference, ...]
    text: Markup


def _entries(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[Entry, ...]:
    entries = measured.ladder.entries
    return tuple(
        Entry(word, catalogue.exercise_link(entries[word]))
        for word in IRRITABILITIES
        if entries.get(word) in catalogue.library.exercises
    )


def _rows(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[RungRow, ...]:
    ladder = measured.ladder
    demand_on = partial(catalogue.measured.demand_on, ladder.id)
    goal_nm = demand_on(ladder.goal)
    demands = {rung: demand_on(rung) or 0.0 for rung in measured.rungs}
    entry_of: dict[str, list[str]] = {}
    for word in IRRITABILITIES:
        if word in ladder.entries:
            entry_of.setdefault(ladder.entries[word], []).append(word)
    steps: dict[str, list[StepUp]] = {}
    for step in measured.steps:
        edge = (step.from_id, step.to_id)
        steps.setdefault(step.from_id, []).append(
            StepUp(
                catalogue.exercise_link(step.to_id),
                step_words(step, accepted=edge in catalogue.accepted_steps),
                *_fill(catalogue, step),
                catalogue.accepted_steps.get(edge),
            )
        )
    return tuple(
        RungRow(
            number=number_,
            link=catalogue.exercise_link(rung),
            demand=moment(demands[rung]) if demands[rung] else "",
            of_goal=percent(demands[rung] / goal_nm) if goal_nm else "",
            entry=" and ".join(entry_of.get(rung, ())),
            goal=rung == ladder.goal,
            draft=catalogue.library.exercises[rung].draft is not None,
            steps=tuple(steps.get(rung, ())),
        )
        for number_, rung in enumerate(measured.rungs, start=1)
    )


def _fill(catalogue: Catalogue, step: Step) -> tuple[str, tuple[Link, ...]]:
    """The command that would fill a step, or what waits between its ends for a review."""
    if not step.missing:
        return "", ()
    out = way_out(catalogue.measured, step.from_id, step.to_id)
    return out.command or "", tuple(map(catalogue.exercise_link, out.drafts))


def _settled(within: str) -> str:
    """`24 hours` is a time to settle in, `next morning` one to settle by."""
    return f"Settled {'within' if within[:1].isdigit() else 'by'} {within}."


def _pain_rule(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[str, str | None]:
    """The rule in words and its source. A ladder that names none says so."""
    rule = measured.ladder.pain_rule
    if rule == "default":
        rule = catalogue.library.settings.pain_rule
    if rule is None or isinstance(rule, str):
        return "", None
    parts = (
        f"Pain up to {number(rule.during, 1)} of 10 during the exercise."
        if rule.during is not None
        else "",
        _settled(rule.settles_within) if rule.settles_within else "",
        rule.text or "",
    )
    return " ".join(part for part in parts if part), rule.source


def _restrictions(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[Link, ...]:
    terms = catalogue.library.vocabulary.restrictions
    return tuple(
        Link(
            f"restrictions.html#{key}", terms[key].title if key in terms else sentence(spaced(key))
        )
        for key in measured.ladder.restrictions
    )


def _model(catalogue: Catalogue, measured: MeasuredLadder) -> LadderPage:
    ladder = measured.ladder
    pain_rule, pain_source = _pain_rule(catalogue, measured)
    return LadderPage(
        id=ladder.id,
        title=ladder.title,
        works=", ".join(spaced(str(action)) for action in ladder.works),
        condition=spaced(ladder.condition or ""),
        goal=catalogue.exercise_link(ladder.goal)
        if ladder.goal in catalogue.library.exercises
        else None,
        goal_met=ladder.goal_met,
        entries=_entries(catalogue, measured),
        rows=_rows(catalogue, measured),
        missing=catalogue.missing(measured),
        staircases=drawings.staircases(
            catalogue.measured, ladder.id, catalogue.accepted_steps.keys()
        ),
        map=catalogue.maps.of_ladder(ladder.id),
        restrictions=_restrictions(catalogue, measured),
        pain_rule=pain_rule,
        pain_sources=references(catalogue, [pain_source] if pain_source else []),
        text=catalogue.write("../")(ladder.text),
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """One page a ladder."""
    exercises = catalogue.library.exercises
    for measured in catalogue.measured.ladders.values():
        ladder = measured.ladder
        dates = (exercises[rung].reviewed for rung in measured.rungs)
        yield Page(
            path=f"ladders/{ladder.id}.html",
            kind="ladder",
            title=ladder.title,
            description=f"{ladder.title}: rungs, loads and steps from start to goal.",
            updated=max((review.date for review in dates if review), default=None),
            model=Later(partial(_model, catalogue, measured)),
        )
