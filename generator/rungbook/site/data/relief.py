"""Ways to ask less of each exercise, computed when the site is built, for the finder.

Computing them costs about twenty postures an exercise, so it is done in batches, by several
processes, kept for the next build by content, and not at all for a very large library: there the
finder offers the library's own exercises, and `rungbook easier` computes the rest. The engine
gives an exercise the same digits in any company: what was kept and what is computed anew are the
same.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from rungbook.filling.series import relief_of
from rungbook.ladder.filters import equipment_of
from rungbook.ladder.less_of_the_same import Relief, Variant
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.ladder.words import counted
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Exercise
from rungbook.model.library import Library
from rungbook.pipeline import cache
from rungbook.pipeline.workers import each, processors
from rungbook.site.data.angles_data import angle_curves
from rungbook.site.data.answers_data import kinds_record
from rungbook.site.data.dose_record import dose_record
from rungbook.site.data.limits_data import breaks_record
from rungbook.site.data.numbers import short
from rungbook.site.data.patient_data import scaling_record
from rungbook.site.data.profile_data import ProfileRows

MOST = 150  # exercises for which relief is computed
GROUP = 12  # exercises computed together, at most
Record = Mapping[str, Any]


def relief_records(
    measured: MeasuredLibrary, say: Callable[[str], None] | None = None
) -> dict[str, Record]:
    """By exercise: `{"same": …, "solved": …}`, ready for the browser; empty for a large library."""
    exercises = measured.library.exercises
    if not 0 < len(exercises) <= MOST:
        return {}
    ground = _ground(measured.library)
    digests = {
        key: _digest(ground, exercise)
        for key, exercise in exercises.items()
        if key in measured.loads
    }
    place = measured.library.root / "relief"
    kept = {
        key: record for key, (digest, record) in _kept(place).items() if digests.get(key) == digest
    }
    missing = [key for key in digests if key not in kept]
    if missing:
        (say or (lambda phase: None))(f"computing less of {counted(len(missing), 'exercise')}")
        groups = [missing[at : at + GROUP] for at in range(0, len(missing), GROUP)]
        for _, records in each(lambda group: _records(measured, group), groups, processors()):
            kept.update(records)
        cache.keep(place, {key: [digests[key], kept[key]] for key in digests})
    return {key: kept[key] for key in digests}


def _kept(place: Any) -> dict[str, tuple[str, Record]]:
    found = cache.load(place) or {}
    return {
        key: (entry[0], entry[1])
        for key, entry in found.items()
        if isinstance(entry, list) and len(entry) == 2
    }


def _ground(library: Library) -> str:
    """All of the library, beside the exercise itself, that its relief depends on."""
    return repr(
        (
            library.settings.person,
            library.settings.levers,
            dict(library.vocabulary.equipment),
            dict(library.vocabulary.restrictions),
        )
    )


def _digest(ground: str, exercise: Exercise) -> str:
    told = f"{exercise!r}\n{ground}".encode("utf-8", "replace")
    return hashlib.blake2b(told, digest_size=16).hexdigest()


def _records(measured: MeasuredLibrary, keys: Sequence[str]) -> dict[str, Record]:
    found = relief_of(measured, keys)
    # Through JSON, so that kept and fresh records are the same to the last bit.
    return {key: json.loads(json.dumps(relief_record(measured, found[key]))) for key in keys}


def relief_record(measured: MeasuredLibrary, relief: Relief) -> Record:
    """The relief of one exercise, ready for the browser."""
    return {"same": _file(measured, relief.same), "solved": _file(measured, relief.solved)}


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
            "dose": dose_record(variant.exercise.dose) if "dose" in variant.changes else None,
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
