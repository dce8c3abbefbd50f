"""The drawings that pages show, each made once. Values in, SVG out: see `rungbook.drawing`."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from markupsafe import Markup

from rungbook.drawing import maps
from rungbook.drawing.curve import moment_curve
from rungbook.drawing.diagram import Diagram, draw
from rungbook.drawing.panels import moves
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.watched import Look, note, watching


@dataclass(frozen=True, slots=True)
class Map:
    """A map of progressions and the same in words; no drawing where there is no engine."""

    drawing: Markup
    sentences: tuple[str, ...]


NO_MAP = Map(Markup(), ())


def _page_beside(exercise: str) -> str:
    return f"{exercise}.html"


def _page_from_ladder(exercise: str) -> str:
    return f"../exercises/{exercise}.html"


class Maps:
    """Maps by ladder and exercise, drawn when first asked for; many at once are far cheaper.

    `warning` says why there are no drawings, once some were asked for.
    """

    def __init__(
        self, measured: MeasuredLibrary, accepted: Collection[tuple[str, str]] = ()
    ) -> None:
        self._measured = measured
        self._accepted = accepted
        self._made: dict[tuple[str, str], tuple[Map, set[Look]]] = {}
        self.warning = ""

    def prepare(
        self, exercises: Iterable[str] = (), ladders: Iterable[str] = (), areas: Iterable[str] = ()
    ) -> None:
        """Draw these maps in one go."""
        wanted: dict[tuple[str, str], tuple[Diagram, set[Look]]] = {}
        asked = [*(("ladder", key) for key in ladders), *(("exercise", key) for key in exercises)]
        for place in (*asked, *(("area", key) for key in areas)):
            with watching() as looks:
                diagram = self._diagram(*place)
            if diagram is None:
                self._made[place] = NO_MAP, looks
            else:
                wanted[place] = diagram, looks
        diagrams = [diagram for diagram, _ in wanted.values()]
        drawn = draw(diagrams, self._measured.library.settings.diagrams.engine)
        self.warning = self.warning or drawn.reason
        pictures = drawn.drawings or ("",) * len(wanted)
        for (place, (diagram, looks)), picture in zip(wanted.items(), pictures, strict=True):
            self._made[place] = Map(Markup(picture), diagram.sentences), looks

    def _diagram(self, kind: str, key: str) -> Diagram | None:
        if kind == "ladder":
            return maps.ladder_map(
                self._measured, key, href=_page_from_ladder, accepted=self._accepted
            )
        if kind == "area":
            return self._whole(key)
        return maps.neighbourhood(self._measured, key, href=_page_beside, accepted=self._accepted)

    def _whole(self, area: str) -> Diagram | None:
        library = self._measured.library
        members = [one.id for one in library.exercises.values() if one.area == area]
        term = library.vocabulary.areas.get(area)
        return maps.whole_map(
            self._measured, area, term.title if term else area, members,
            href=_page_from_ladder, accepted=self._accepted,
        )  # fmt: skip

    def forget(self) -> None:
        """Let go of what was drawn."""
        self._made.clear()

    def of_ladder(self, key: str) -> Map:
        """Every way up a ladder."""
        if ("ladder", key) not in self._made:
            self.prepare(ladders=[key])
        return self._shown("ladder", key)

    def of_exercise(self, key: str) -> Map:
        """An exercise among its neighbours."""
        if ("exercise", key) not in self._made:
            self.prepare(exercises=[key])
        return self._shown("exercise", key)

    def of_area(self, key: str) -> Map:
        """Every progression between exercises of an area."""
        if ("area", key) not in self._made:
            self.prepare(areas=[key])
        return self._shown("area", key)

    def _shown(self, kind: str, key: str) -> Map:
        found, looks = self._made[kind, key]
        note(looks)
        return found


def curves(measured: MeasuredLibrary, key: str) -> tuple[Markup, ...]:
    """The moment over the movement, for each action that has one."""
    load = measured.loads.get(key)
    if load is None:
        return ()
    return tuple(
        Markup(moment_curve(load, works, prefix=f"{key}-{number}"))
        for number, (works, demand) in enumerate(load.demands.items())
        if demand.basis == "statics" and demand.curve_nm.size
    )


def can_be_scrubbed(measured: MeasuredLibrary, key: str) -> bool:
    """Whether a handle on a curve can move the figure: it moves and has a curve."""
    load = measured.loads.get(key)
    return (
        load is not None
        and any(one.basis == "statics" and one.curve_nm.size for one in load.demands.values())
        and moves(measured.library.exercises[key], load)
    )
