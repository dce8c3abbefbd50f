"""The page of one exercise, in the order a flare-up asks for it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from markupsafe import Markup

from rungbook.checks.review_overdue import due
from rungbook.exporting.schema_org import exercise_plan
from rungbook.ladder.less_of_the_same import less_of_the_same
from rungbook.model.criterion import in_words
from rungbook.model.exercise import Exercise
from rungbook.model.languages import home_language, patient_text
from rungbook.model.set_up import fill, set_up
from rungbook.site.data.patient_data import SHOWN_NM
from rungbook.site.pages import drawings
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.dose_words import dose_address, dose_line, dose_more, dose_rows
from rungbook.site.pages.load_panel import LoadPanel, load_panel
from rungbook.site.pages.neighbours import (
    Neighbour,
    easier_neighbours,
    harder_neighbours,
)
from rungbook.site.pages.page import Later, Link, Page
from rungbook.site.pages.pictures import Photograph, shown
from rungbook.site.pages.references import Reference, references
from rungbook.site.pages.words import day, factor, sentence, spaced
from rungbook.site.sheet.messages import FALLBACK, languages, messages
from rungbook.site.sheet.patient_dose import patient_numbers
from rungbook.site.sheet.qr import page_address

PATIENT = "For the patient"
DO, WATCH = "Do", "Watch for"


@dataclass(frozen=True, slots=True)
class Rung:
    """Where the exercise stands on a ladder."""

    ladder: Link
    rung: int
    of: int


@dataclass(frozen=True, slots=True)
class Warning:
    """A caution, danger sign or restriction with its full text."""

    title: str
    text: Markup
    anchor: str  # its entry on the vocabulary's page
    red_flag: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A part of the exercise's own text."""

    title: str
    text: Markup


@dataclass(frozen=True, slots=True)
class Less:
    """The same exercise with less: in words, its dose line, and its dose as an address has it."""

    words: str
    line: str
    address: str


@dataclass(frozen=True, slots=True)
class ExercisePage:
    """Everything on an exercise's page."""

    id: str
    title: str
    area: Link | None
    rungs: tuple[Rung, ...]
    also_called: tuple[str, ...]
    purpose: tuple[str, ...]
    draft: str
    one_sided: bool
    kept_off_sheets: str
    replaced_by: Link | None
    warnings: tuple[Warning, ...]
    danger_signs: tuple[Warning, ...]
    other_cautions: tuple[Warning, ...]
    restrictions: tuple[Warning, ...]
    figure: Markup
    curves: tuple[Markup, ...]
    scrubbed: bool
    load: LoadPanel | None
    less: tuple[Less, ...]
    easier: tuple[Neighbour, ...]
    harder: tuple[Neighbour, ...]
    drafts: tuple[tuple[str, Link], ...]  # easier or harder, by progressions that are drafts
    easier_ratio: str
    harder_ratio: str
    dose_line: str
    dose_more: str
    dose_rows: tuple[tuple[str, str], ...]
    do: tuple[Section, ...]
    watch: tuple[Section, ...]
    sections: tuple[Section, ...]  # the rest of its own text
    patient: Markup
    back_off: tuple[str, ...]
    neighbourhood: drawings.Map
    is_goal: bool
    is_start: bool
    equipment: tuple[Link, ...]
    position: str
    position_key: str
    photographs: tuple[Photograph, ...]
    sources: tuple[Reference, ...]
    reviewed: str
    reviewed_date: str
    standing: str  # what the review is worth
    review_due: str
    origin: str  # the library that it comes from, where it is another
    json_ld: dict[str, Any]


def _warnings(catalogue: Catalogue, exercise: Exercise) -> tuple[Warning, ...]:
    """Danger signs first, then the other cautions as written."""
    write = catalogue.write("../")
    terms = catalogue.library.vocabulary.cautions
    found = []
    for key in exercise.cautions:
        term = terms.get(key)
        found.append(
            Warning(
                title=term.title if term else sentence(spaced(key)),
                text=write(term.text) if term else Markup(),
                anchor=f"cautions.html#{key}",
                red_flag=bool(term and term.red_flag),
            )
        )
    return tuple(sorted(found, key=lambda item: not item.red_flag))


def _restrictions(catalogue: Catalogue, exercise: Exercise) -> tuple[Warning, ...]:
    """Those of the exercise, then those of the ladders it is on."""
    write = catalogue.write("../")
    keys = list(exercise.restrictions)
    for standing in catalogue.standings.get(exercise.id, ()):
        keys.extend(standing.ladder.ladder.restrictions)
    terms = catalogue.library.vocabulary.restrictions
    return tuple(
        Warning(
            title=terms[key].title if key in terms else sentence(spaced(key)),
            text=write(terms[key].text) if key in terms else Markup(),
            anchor=f"restrictions.html#{key}",
        )
        for key in dict.fromkeys(keys)
    )


def _equipment(catalogue: Catalogue, exercise: Exercise) -> tuple[Link, ...]:
    terms = catalogue.library.vocabulary.equipment
    return tuple(
        Link(
            f"equipment.html#{key}",
            terms[key].title if key in terms else sentence(spaced(key)),
        )
        for key in exercise.equipment
    )


def _less(exercise: Exercise) -> tuple[Less, ...]:
    """The same exercise with less."""
    found = []
    for variant in less_of_the_same(exercise):
        words = ", ".join(variant.changes.values())
        dose = variant.exercise.dose
        line = dose_line(dose) if dose else ""
        if variant.exercise.movement != exercise.movement:
            line = f"{line} · {words}" if line else words
        found.append(Less(words, line, dose_address(exercise.dose, dose)))
    return tuple(found)


def _ratio(catalogue: Catalogue, other: tuple[Neighbour, ...], key: str) -> str:
    """How many times this exercise's load the nearest of the others has."""
    if not other:
        return ""
    loads = catalogue.measured.loads
    here, there = loads.get(key), loads.get(other[0].id)
    if here is None or there is None or here.demand_nm < SHOWN_NM:
        return ""
    return factor(there.demand_nm / here.demand_nm)


def _sections(sections: tuple[Section, ...], title: str | None) -> tuple[Section, ...]:
    """Those of one title; without one, those that have no place of their own."""
    named = (DO, WATCH)
    return tuple(s for s in sections if (s.title == title if title else s.title not in named))


def review_due(catalogue: Catalogue, exercise: Exercise) -> str:
    """The last day its review is good for (ISO); the browser compares it with its own day."""
    if exercise.reviewed is None:
        return ""
    last = due(exercise.reviewed.date, catalogue.library.settings.review.every)
    return last.isoformat() if last else ""


def _sources(catalogue: Catalogue, exercise: Exercise) -> tuple[Reference, ...]:
    measured = (figure.source for figure in exercise.figures)
    steps = (key for progression in exercise.ways for key in progression.sources)
    return references(catalogue, (*exercise.sources, *measured, *steps))


def _drafts(catalogue: Catalogue, key: str) -> tuple[tuple[str, Link], ...]:
    """What progressions that are still drafts lead from and to."""
    graph = catalogue.measured.with_drafts
    easier = (one for one in sorted(graph.pred[key]) if graph.edges[one, key]["draft"])
    harder = (one for one in graph[key] if graph.edges[key, one]["draft"])
    return (
        *(("easier", catalogue.exercise_link(one)) for one in easier),
        *(("harder", catalogue.exercise_link(one)) for one in harder),
    )


def _patient_words(catalogue: Catalogue, exercise: Exercise) -> str:
    """The words for the patient with the exercise's own numbers."""
    home = home_language(catalogue.library.settings)
    say = messages(home if home in languages() else FALLBACK)
    numbers = patient_numbers(exercise.dose, set_up(exercise), say)
    return fill(patient_text(exercise, home, home) or "", numbers)


def _model(catalogue: Catalogue, exercise: Exercise) -> ExercisePage:
    write = catalogue.write("../")
    easier = easier_neighbours(catalogue, exercise.id)
    harder = harder_neighbours(catalogue, exercise.id)
    reviewed, area = exercise.reviewed, catalogue.area_of(exercise)
    warnings = _warnings(catalogue, exercise)
    sections = tuple(
        Section(title, write(text))
        for title, text in exercise.text.items()
        if text.strip() and not title.startswith(PATIENT)
    )
    return ExercisePage(
        id=exercise.id,
        title=exercise.title,
        area=Link(f"areas/{area}.html", catalogue.area_title(area)) if area else None,
        rungs=tuple(
            Rung(
                Link(f"ladders/{item.ladder.ladder.id}.html", item.ladder.ladder.title),
                item.rung,
                item.of,
            )
            for item in catalogue.standings.get(exercise.id, ())
        ),
        also_called=exercise.also_called,
        purpose=exercise.purpose,
        draft=exercise.draft or "",
        one_sided=exercise.sides == "one",
        kept_off_sheets=exercise.kept_off_sheets or "",
        replaced_by=catalogue.exercise_link(exercise.replaced_by)
        if exercise.replaced_by and exercise.replaced_by in catalogue.library.exercises
        else None,
        warnings=warnings,
        danger_signs=tuple(item for item in warnings if item.red_flag),
        other_cautions=tuple(item for item in warnings if not item.red_flag),
        restrictions=_restrictions(catalogue, exercise),
        figure=catalogue.figures.on_page(exercise.id),
        curves=drawings.curves(catalogue.measured, exercise.id),
        scrubbed=drawings.can_be_scrubbed(catalogue.measured, exercise.id),
        load=load_panel(catalogue, exercise),
        less=_less(exercise),
        easier=easier,
        harder=harder,
        drafts=_drafts(catalogue, exercise.id),
        easier_ratio=_ratio(catalogue, easier, exercise.id),
        harder_ratio=_ratio(catalogue, harder, exercise.id),
        dose_line=dose_line(exercise.dose) if exercise.dose else "",
        dose_more=dose_more(exercise.dose) if exercise.dose else "",
        dose_rows=dose_rows(exercise.dose) if exercise.dose else (),
        do=_sections(sections, DO),
        watch=_sections(sections, WATCH),
        sections=_sections(sections, None),
        patient=write(_patient_words(catalogue, exercise)),
        back_off=in_words(exercise.back_off),
        neighbourhood=catalogue.maps.of_exercise(exercise.id),
        is_goal=any(
            item.ladder.ladder.goal == exercise.id
            for item in catalogue.standings.get(exercise.id, ())
        ),
        is_start=any(
            exercise.id in item.ladder.ladder.entries.values()
            for item in catalogue.standings.get(exercise.id, ())
        ),
        equipment=_equipment(catalogue, exercise),
        position=spaced(exercise.position),
        position_key=exercise.position,
        photographs=tuple(shown(catalogue.library.folders, exercise)),
        sources=_sources(catalogue, exercise),
        reviewed=f"{day(reviewed.date)} by {reviewed.by}" if reviewed else "",
        reviewed_date=reviewed.date.isoformat() if reviewed else "",
        standing=exercise.standing,
        review_due=review_due(catalogue, exercise),
        origin=catalogue.analysed.measured.library.origin(exercise.file),
        json_ld=exercise_plan(
            exercise,
            catalogue.library,
            catalogue.measured.loads.get(exercise.id),
            page_address(
                catalogue.library.settings.site.url, catalogue.exercise_paths[exercise.id]
            ),
        ),
    )


def pages(catalogue: Catalogue) -> Iterator[Page]:
    """One page an exercise."""
    for exercise in catalogue.library.exercises.values():
        yield Page(
            path=catalogue.exercise_paths[exercise.id],
            kind="exercise",
            title=exercise.title,
            description=f"{exercise.title}: load, dose, easier and harder exercises.",
            updated=exercise.reviewed.date if exercise.reviewed else None,
            model=Later(partial(_model, catalogue, exercise)),
        )
