"""The page of one ladder: every rung, every step, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from rungbook.drawing.rail import Row, bare_rail, lanes_of, rail, rail_rows
from rungbook.drawing.rung_chart import chart_axis, end_of, rung_chart
from rungbook.ladder.graph import draft_way
from rungbook.ladder.measured import MeasuredLadder
from rungbook.ladder.question import fill_command
from rungbook.ladder.words import counted, steps_text
from rungbook.model.criterion import in_words
from rungbook.model.ladder import IRRITABILITIES
from rungbook.site.pages import drawings
from rungbook.site.pages.catalogue import Accepted, Catalogue
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.references import Reference, references
from rungbook.site.pages.step_words import StepWords, step_words
from rungbook.site.pages.words import NARROW, moment, number, sentence, significant, spaced


@dataclass(frozen=True, slots=True)
class StepIn:
    """A step into a rung, from a rung below it."""

    start: Link
    step: StepWords
    others: bool  # other steps lead into the rung too: the words name this one's start
    accepted: Accepted | None = None


@dataclass(frozen=True, slots=True)
class MissingRung:
    """What is missing below a rung: the command that proposes what would fill it, or drafts."""

    words: str
    fill: str
    drafts: tuple[Link, ...]  # proposed, not reviewed


@dataclass(frozen=True, slots=True)
class RungRow:
    """A rung: its place on the rail, its load on the ladder's scale, the steps into it."""

    number: int
    id: str
    link: Link
    pictured: bool
    rail: Markup
    chart: Markup
    demand: str
    entry: str  # for which irritability it is the entry
    goal: bool
    standard: bool
    draft: bool
    steps: tuple[StepIn, ...]
    missing: tuple[MissingRung, ...]
    bare_rail: Markup  # for the rows of what is missing below it


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
    axis: Markup
    axis_title: str
    scaled: bool
    map: drawings.Map | None
    restrictions: tuple[Link, ...]
    pain_rule: str
    pain_sources: tuple[Reference, ...]
    text: Markup
    origin: str  # the library that it comes from, where it is another


def _entries(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[Entry, ...]:
    entries = measured.ladder.entries
    return tuple(
        Entry(word, catalogue.exercise_link(entries[word]))
        for word in IRRITABILITIES
        if entries.get(word) in catalogue.library.exercises
    )


def _entry_words(measured: MeasuredLadder) -> dict[str, str]:
    """For which irritability each entry is, in words."""
    entry_of: dict[str, list[str]] = {}
    for word in IRRITABILITIES:
        if word in measured.ladder.entries:
            entry_of.setdefault(measured.ladder.entries[word], []).append(word)
    return {rung: " and ".join(words) for rung, words in entry_of.items()}


def _steps_into(catalogue: Catalogue, measured: MeasuredLadder, rung: str) -> tuple[StepIn, ...]:
    into = [step for step in measured.steps if step.to_id == rung]
    return tuple(
        StepIn(
            catalogue.exercise_link(step.from_id),
            step_words(step, accepted=(step.from_id, rung) in catalogue.accepted_steps),
            len(into) > 1,
            catalogue.accepted_steps.get((step.from_id, rung)),
        )
        for step in into
    )


def _missing_below(
    catalogue: Catalogue, measured: MeasuredLadder, rung: str
) -> tuple[MissingRung, ...]:
    """A dotted row for every step into the rung that is too large and that nobody accepted."""
    return tuple(
        MissingRung(
            f"{steps_text(step.size)} from {catalogue.exercise_link(step.from_id).title}: "
            f"{counted(step.missing, 'rung')} missing",
            fill_command(catalogue.measured, step.from_id, rung, measured.ladder.id) or "",
            tuple(
                map(
                    catalogue.exercise_link,
                    draft_way(catalogue.measured.with_drafts, step.from_id, rung),
                )
            ),
        )
        for step in measured.steps
        if step.to_id == rung
        and step.missing
        and (step.from_id, rung) not in catalogue.accepted_steps
    )


def _reach(measured: MeasuredLadder, rung: str) -> float | None:
    """Up to where one step from the rungs below leads: from the one that prepares most."""
    scale = measured.ruler.scale
    reaches = [
        height + 1
        for step in measured.steps
        if step.to_id == rung and scale is not None
        for action, nm in measured.prepared.get(step.from_id, {}).items()
        if (height := scale.height(action, nm)) is not None
    ]
    return max(reaches, default=None)


def _rows(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[RungRow, ...]:
    ladder, exercises = measured.ladder, catalogue.library.exercises
    entries = _entry_words(measured)
    rails = rail_rows(measured.rungs, [(step.from_id, step.to_id) for step in measured.steps])
    lanes = lanes_of(rails)
    end = end_of(measured.height(rung) for rung in measured.rungs)
    standards = {ladder.standard_of(action) for action in ladder.works}
    rows = []
    for number_, (rung, place) in enumerate(zip(measured.rungs, rails, strict=True), start=1):
        demand = catalogue.measured.demand_on(ladder.id, rung)
        words = moment(demand) if demand else ""
        steps = _steps_into(catalogue, measured, rung)
        through = Row(
            place.lane,
            tuple((lane, lane) for lane in (*place.below, *(a for a, _ in place.passing))),
            (),
            (),
        )
        rows.append(
            RungRow(
                number=number_,
                id=rung,
                link=catalogue.exercise_link(rung),
                pictured=catalogue.pictured(rung),
                rail=Markup(rail(place, lanes)),
                chart=Markup(
                    rung_chart(
                        measured.height(rung),
                        _reach(measured, rung),
                        words or "no number",
                        end,
                        over=any(item.step.over for item in steps),
                    )
                ),
                demand=words,
                entry=entries.get(rung, ""),
                goal=rung == ladder.goal,
                standard=rung in standards,
                draft=exercises[rung].draft is not None,
                steps=steps,
                missing=_missing_below(catalogue, measured, rung),
                bare_rail=Markup(bare_rail(through, lanes)),
            )
        )
    return tuple(rows)


def _axis(catalogue: Catalogue, measured: MeasuredLadder) -> tuple[Markup, str]:
    """The head of the rungs' chart, and what it shows."""
    scale, ladder = measured.ruler.scale, measured.ladder
    actions = list(scale.standards) if scale is not None else []
    end = end_of(measured.height(rung) for rung in measured.rungs)
    loads: list[str] = []
    standard = None
    if scale is not None and len(actions) == 1:
        loads = [significant(scale.load_at(actions[0], step)) for step in range(int(end) + 1)]
        standard = scale.height(actions[0], scale.standards[actions[0]])
    works = ", ".join(spaced(str(action)) for action in actions or ladder.works)
    title = f"steps · {works}" + (f", {NARROW}N·m below" if loads else "")
    return Markup(chart_axis(end, loads, standard)), title.replace(f", {NARROW}", ", ")


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


def _parallel(measured: MeasuredLadder) -> bool:
    """Whether three ways or more run side by side somewhere: then a map helps."""
    edges = [(step.from_id, step.to_id) for step in measured.steps]
    return any(
        len(row.passing) + max(len(row.below), len(row.above)) >= 3
        for row in rail_rows(measured.rungs, edges)
    )


def _model(catalogue: Catalogue, measured: MeasuredLadder) -> LadderPage:
    ladder = measured.ladder
    pain_rule, pain_source = _pain_rule(catalogue, measured)
    axis, axis_title = _axis(catalogue, measured)
    return LadderPage(
        id=ladder.id,
        title=ladder.title,
        works=", ".join(spaced(str(action)) for action in ladder.works),
        condition=spaced(ladder.condition or ""),
        goal=catalogue.exercise_link(ladder.goal)
        if ladder.goal in catalogue.library.exercises
        else None,
        goal_met=in_words(ladder.goal_met),
        entries=_entries(catalogue, measured),
        rows=_rows(catalogue, measured),
        missing=catalogue.missing(measured),
        axis=axis,
        axis_title=axis_title,
        scaled=any(measured.height(rung) is not None for rung in measured.rungs),
        map=catalogue.maps.of_ladder(ladder.id) if _parallel(measured) else None,
        restrictions=_restrictions(catalogue, measured),
        pain_rule=pain_rule,
        pain_sources=references(catalogue, [pain_source] if pain_source else []),
        text=catalogue.write("../")(ladder.text),
        origin=catalogue.analysed.measured.library.origin(ladder.place().file),
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
