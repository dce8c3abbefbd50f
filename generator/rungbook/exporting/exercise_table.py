"""The library as a table: one row an exercise, what is written and the main computed numbers.

Columns are named by the keys of the files, `dose.sets` for a key within a key, `text: Do` for a
section below the front matter, `computed.…` for results. `rungbook intake` reads it again.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Mapping
from typing import Any

from rungbook.exporting.cells import cell, headings, shielded
from rungbook.exporting.format import Format
from rungbook.exporting.json_text import Line, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.plain import number
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Dose, Exercise, Review
from rungbook.model.record import Record, kebab
from rungbook.model.translated import own_key
from rungbook.model.written import written_once
from rungbook.reading.exercises import SECTIONS

INNER: dict[str, type[Record]] = {
    "dose": Dose,
    "reviewed": Review,
}  # fields whose keys have a column each
TEXT = "text:"
COMPUTED = "computed."
SUM = f"{COMPUTED}sum"  # of what a row says, by which changes since the export are noticed


def written_columns() -> tuple[str, ...]:
    """The columns of the front matter, in the models' order, the id first."""
    found: list[str] = []
    for name in Exercise.model_fields:
        if name in INNER:
            found += [f"{kebab(name)}.{kebab(key)}" for key in INNER[name].model_fields]
        elif name == "id" or name not in Exercise.NOT_WRITTEN:
            found.append(kebab(name))
    return tuple(found)


def is_translated(column: str) -> bool:
    """Whether it is `title (de)` or the like."""
    return own_key(column) != column and own_key(column) in Exercise.TRANSLATED


def text_column(heading: str) -> str:
    """`text: Do`; `text:` for what stands above the first heading."""
    return f"{TEXT} {heading}".rstrip()


def written_row(exercise: Exercise) -> dict[str, str]:
    """An exercise's cells by column; columns without a value are not there."""
    # Said even where they are the default: a table has nobody to ask what that is.
    row = {"id": exercise.id, "position": exercise.position, "sides": exercise.sides}
    for key, value in written_once(exercise).items():
        if kebab(key) in INNER and isinstance(value, Mapping):
            row |= {f"{key}.{inner}": cell(part) for inner, part in value.items()}
        else:
            row[key] = cell(value, key)
    return row | {text_column(heading): text for heading, text in exercise.text.items()}


def row_sum(exercise: Exercise) -> str:
    """A sum of all that an exercise's row says; letters first, so that it is no number."""
    told = json.dumps(sorted(written_row(exercise).items()), ensure_ascii=False)
    return f"sum-{hashlib.blake2b(told.encode(), digest_size=8).hexdigest()}"


def _computed(load: ExerciseLoad | None, standings: str) -> dict[str, Any]:
    if load is None:
        return {}
    peak = max(load.demands.values(), key=lambda one: one.peak_nm, default=None)
    values: dict[str, Any] = {
        "peak_nm": number(peak.peak_nm) if peak else None,
        "low_nm": number(peak.low_nm) if peak and peak.low_nm is not None else None,
        "high_nm": number(peak.high_nm) if peak and peak.high_nm is not None else None,
        "peak_at_deg": number(peak.peak_at_deg) if peak else None,
        "per_mass_nm_kg": number(peak.per_mass_nm_kg) if peak else None,
        "basis": peak.basis if peak else None,
        "works": str(peak.works) if peak else None,
        "kind_of_work": _kinds(load),
        "muscles": load.group,
        "bearing": number(load.bearing),
        "bearing_limb": load.bearing_limb,
        "range_deg": number(load.range_deg),
        "lengthening_deg": number(load.lengthening_deg),
        "peak_speed_deg_s": number(load.peak_speed_deg_s),
        "stability": load.stability,
        "impact": load.impact,
        "time_under_tension_week_s": number(load.time_under_tension_week_s),
        "volume_nms": number(load.volume_nms),
        "inertial_share": number(load.inertial_share),
        "withheld": load.withheld,
        "ladders": standings,
    }
    return {f"{COMPUTED}{name}": value for name, value in values.items()}


def _kinds(load: ExerciseLoad) -> str | None:
    """The kind of work of every action the exercise names."""
    kinds = [(name, load.kind(name)) for name in load.demands]
    return "; ".join(f"{name}: {kind.word}" for name, kind in kinds if kind is not None) or None


def _row(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, str]:
    """All cells of an exercise by column, as a spreadsheet may see them."""
    row = written_row(exercise)
    standings = measured.standings.get(exercise.id, ())
    places = "; ".join(f"{one.ladder.ladder.id} {one.rung} of {one.of}" for one in standings)
    values = _computed(measured.loads.get(exercise.id), places)
    values[SUM] = row_sum(exercise)
    if origin := measured.library.origin(exercise.file):
        values[f"{COMPUTED}base"] = origin
    row |= {name: cell(value) for name, value in values.items()}
    return {column: shielded(text) for column, text in row.items()}


def row_line(measured: MeasuredLibrary, exercise: Exercise) -> Line:
    """The cells of an exercise by column, as JSON text."""
    return line(_row(measured, exercise))


def exercise_table(measured: MeasuredLibrary, known: Mapping[str, Line] | None = None) -> str:
    """The table as CSV (RFC 4180: commas, quotes where needed, CRLF), UTF-8 without a mark.

    `known` are cells as `row_line` made them.
    """
    exercises = list(measured.library.exercises.values())
    texts = [text_column(h) for h in headings([dict(e.text) for e in exercises], SECTIONS)]
    rows: list[dict[str, str]] = []
    for exercise in exercises:
        line_known = (known or {}).get(exercise.id)
        rows.append(json.loads(line_known) if line_known else _row(measured, exercise))
    found = {name: None for row in rows for name in row if name.startswith(COMPUTED)}
    out = io.StringIO()
    abroad = sorted({name for row in rows for name in row if is_translated(name)})
    columns = [*written_columns(), *abroad, *texts, *found]
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([shielded(column) for column in columns])
    writer.writerows([row.get(column, "") for column in columns] for row in rows)
    return out.getvalue()


FORMAT = Format(
    2,
    "csv",
    "Exercises as a table",
    "exercises.csv",
    "One row an exercise, for spreadsheets and statistics; it can be taken in again.",
    exercise_table,
    row_line,
)
