"""Ways to ask less of each exercise, computed when the site is built, for the finder alone.

Computing them costs about twenty postures an exercise, so it is done in batches, by several
processes, and what was computed is kept by all that it was made from. The engine gives an
exercise the same digits in any company: what was kept and what is computed anew are the same.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from rungbook.exporting.json_text import json_bytes
from rungbook.filling.series import relief_of, series
from rungbook.ladder.filters import equipment_of
from rungbook.ladder.less_of_the_same import Variant
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.words import counted
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.pipeline import store
from rungbook.pipeline.workers import each, processors
from rungbook.site.data.angles_data import angle_curves
from rungbook.site.data.answers_data import kinds_record
from rungbook.site.data.dose_record import dose_record
from rungbook.site.data.limits_data import breaks_record, fitting_record
from rungbook.site.data.numbers import short
from rungbook.site.data.patient_data import scaling_record
from rungbook.site.data.profile_data import ProfileRows

GROUP = 48  # exercises computed together, at most
DOSES = frozenset({"dose", "tempo"})  # changes that a dose line says whole
LONG = 6  # numbers in a row that is said once, wherever it comes back
Say = Callable[[str], None]


class Relief:
    """The records of a library's exercises as JSON, found or computed; many at once are cheaper."""

    def __init__(self, measured: MeasuredLibrary) -> None:
        self._measured = measured
        self._made: dict[str, bytes] = {}

    def key(self, id: str) -> str | None:
        """Names all that a record is made from; None where there is none, for want of a load."""
        measured = self._measured
        has_load = id in measured.loads
        return _key(measured, measured.library.exercises[id]) if has_load else None

    def prepare(self, ids: Iterable[str], say: Say = lambda phase: None) -> None:
        """Find or compute the records of some exercises that have a load."""
        keys = {id: key for id in ids if (key := self.key(id)) is not None}
        pieces = store.find(keys.values())
        self._made |= {id: pieces[key] for id, key in keys.items() if key in pieces}
        missing = [id for id in keys if id not in self._made]
        if missing:
            say(f"computing less of {counted(len(missing), 'exercise')}")
            groups = [missing[at : at + GROUP] for at in range(0, len(missing), GROUP)]
            for _, made in each(lambda some: _made(self._measured, some), groups, processors()):
                store.keep({keys[id]: record for id, record in made.items()})
                self._made |= made

    def of(self, id: str) -> bytes:
        """The record of an exercise that has a load."""
        if id not in self._made:
            self.prepare([id])
        return self._made[id]


# What a variation does otherwise than its base, which the key of the base does not name.
_CHANGED = ("position", "posture", "movement", "contacts", "assist", "resistance", "equipment")


def _key(measured: MeasuredLibrary, exercise: Exercise) -> str:
    """Names all that the relief of an exercise is made from: its variations use what others do."""
    library = measured.library
    words = library.vocabulary
    ground = (library.settings.person, library.settings.levers)
    solved = [
        (one.changes, [getattr(one.exercise, name) for name in _CHANGED])
        for one in series(measured, exercise)
    ]
    return store.key_of(
        "relief", exercise, ground, dict(words.equipment), dict(words.restrictions), solved
    )


def _made(measured: MeasuredLibrary, ids: Sequence[str]) -> dict[str, bytes]:
    found = relief_of(measured, ids)
    return {
        id: json_bytes(
            said_once(
                {
                    "same": _file(measured, found[id].same),
                    "solved": _file(measured, found[id].solved),
                }
            )
        )
        for id in ids
    }


def _file(
    measured: MeasuredLibrary, variants: Sequence[tuple[Variant, ExerciseLoad]]
) -> dict[str, Any]:
    """Rows as in a file of profiles, each with what filters ask and what is changed."""
    rows = ProfileRows()
    made = [
        {
            "row": rows.one(variant.exercise, load),
            "feature": _feature(measured, variant, load),
            "scaling": scaling_record(variant.exercise, load, variant.exercise.works),
            "changes": [list(change) for change in variant.changes.items()],
            "dose": dose_record(variant.exercise.dose) if DOSES & variant.changes.keys() else None,
            "cut": fitting_record(variant.exercise, load),
        }
        for variant, load in variants
    ]
    return {"axes": list(rows.axes), "variants": made}


def _feature(measured: MeasuredLibrary, variant: Variant, load: ExerciseLoad) -> dict[str, Any]:
    one = variant.exercise
    numbers = {key: n for n, key in enumerate(measured.library.vocabulary.restrictions)}
    return {
        "title": one.title,
        "position": one.position,
        "equipment": sorted(equipment_of(one)),
        "cautions": list(one.cautions),
        "bearing": short(load.bearing),
        "angles": [[name, *angles] for name, angles in angle_curves(one, load)],
        "breaks": list(breaks_record(measured, one, load, numbers)),
        "kinds": kinds_record(one, load),
        "area": one.area,
    }


def said_once(value: Any) -> dict[str, Any]:
    """`value` with `{"=": n}` for each long row of numbers, and these rows: most come often."""
    rows: dict[tuple[float, ...], int] = {}

    def within(part: Any) -> Any:
        if isinstance(part, dict):
            return {key: within(one) for key, one in part.items()}
        if not isinstance(part, list | tuple):
            return part
        if len(part) < LONG or not all(type(one) in (int, float) for one in part):
            return [within(one) for one in part]
        return {"=": rows.setdefault(tuple(part), len(rows))}

    shared = within(value)
    return {"rows": list(rows), "value": shared}
