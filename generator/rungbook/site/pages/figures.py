"""The figures that the site shows of each exercise: one on its page, one a side for the sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Literal

from markupsafe import Markup

from rungbook.drawing.figure import Wanted, exercise_figures
from rungbook.drawing.thumbnail import thumbnails
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.exercise import Exercise
from rungbook.model.watched import Look, note, watching
from rungbook.site.sheet.messages import messages
from rungbook.site.sheet.sheet_figures import in_em, wanted_figure

Sheets = Mapping[Literal["right", "left"], str]


class Figures:
    """Figures by exercise, drawn when first asked for; many at once are cheaper."""

    def __init__(self, measured: MeasuredLibrary) -> None:
        self._measured = measured
        # The few words in them are English, and the script has them in the catalogue. As the
        # figures of an exercise speak alike, one picture does for those of one size.
        self._say = messages("en").phrase
        self._made: dict[str, tuple[Markup, Sheets]] = {}
        self._looks: dict[str, set[Look]] = {}
        self._small: dict[str, str] = {}

    def prepare(self, keys: Iterable[str]) -> None:
        """Draw the figures of these exercises in one go."""
        wanted: list[tuple[str, Literal["page", "right", "left"], Wanted]] = []
        for key in keys:
            self._made[key] = Markup(), {}
            with watching() as self._looks[key]:
                exercise = self._measured.library.exercises[key]
                load = self._measured.loads.get(key)
                if load is not None and load.skeleton is not None:
                    wanted.append((key, "page", Wanted(exercise, load, say=self._say)))
                    wanted += [(key, side, one) for side, one in self._for_sheet(exercise)]
        known = [one for _, place, one in wanted if place == "page"]
        small = thumbnails([(one.exercise, one.load) for one in known])
        self._small.update(zip((one.exercise.id for one in known), small, strict=True))
        drawn = exercise_figures([one for _, _, one in wanted])
        sheets: dict[str, dict[Literal["right", "left"], str]] = {}
        for (key, place, _), picture in zip(wanted, drawn, strict=True):
            if place == "page":
                self._made[key] = Markup(picture), sheets.setdefault(key, {})
            elif fitted := in_em(picture):
                sheets.setdefault(key, {})[place] = fitted

    def _for_sheet(self, exercise: Exercise) -> Iterable[tuple[Literal["right", "left"], Wanted]]:
        sides: tuple[Literal["right", "left"], ...] = ("right", "left")
        for side in sides if exercise.sides == "one" else sides[:1]:
            one = wanted_figure(self._measured, exercise, side, self._say)
            if one is not None:
                yield side, one

    def on_page(self, key: str) -> Markup:
        """Start and end posture of an exercise; nothing where no posture is computed."""
        return self._of(key)[0]

    def thumbnail(self, key: str) -> str:
        """The hardest posture as a small SVG file; "" where no posture is computed."""
        self._of(key)
        return self._small.get(key, "")

    def for_sheet(self, key: str) -> Sheets:
        """The same by side, as a sheet shows it."""
        return self._of(key)[1]

    def forget(self) -> None:
        """Let go of what was drawn."""
        self._made.clear()
        self._small.clear()

    def _of(self, key: str) -> tuple[Markup, Sheets]:
        if key not in self._made:
            self.prepare([key])
        note(self._looks[key])
        return self._made[key]
