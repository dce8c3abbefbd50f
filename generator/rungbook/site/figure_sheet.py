"""All figures of a library on one page, for people to look at: what is drawn, beside its words.

With titles folded away it is a test: say of each figure what exercise it is, then look.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from markupsafe import Markup

from rungbook.ladder.words import counted
from rungbook.pipeline.analyse import Analysis
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.document import whole_document

_TITLE = re.compile(r"<title[^>]*>.*?</title>", re.DOTALL)
STYLES = ("styles/base.css", "styles/content.css", "styles/drawing.css", "documents/figures.css")


@dataclass(frozen=True, slots=True)
class Drawn:
    """One exercise: its figure, or why it has none."""

    id: str
    title: str
    file: str
    figure: Markup
    why_not: str


def figure_sheet(analysis: Analysis, titles: bool = True) -> str:
    """One HTML document; without `titles` each stands folded under its figure."""
    catalogue = Catalogue(analysis, draft=bool(analysis.counts["error"]))
    drawn = list(_drawn(catalogue, titles))
    return whole_document(
        "figures",
        STYLES,
        settings=catalogue.library.settings,
        areas=[
            (catalogue.area_title(key), [one for one in drawn if one.id in ids])
            for key, members in catalogue.areas.items()
            if (ids := {exercise.id for exercise in members})
        ],
        without=[one for one in drawn if not one.figure],
        titles=titles,
        count=counted(len(drawn), "exercise"),
    )


def _drawn(catalogue: Catalogue, titles: bool) -> Iterator[Drawn]:
    catalogue.figures.prepare(catalogue.library.exercises)
    for id, exercise in catalogue.library.exercises.items():
        figure, load = catalogue.figures.on_page(id), catalogue.measured.loads.get(id)
        if not titles:
            figure = Markup(_TITLE.sub("", figure).replace(" aria-labelledby=", " data-titled="))
        why = "" if figure else (load and load.withheld) or "no posture is computed"
        yield Drawn(id, exercise.title, exercise.file, figure, why)
