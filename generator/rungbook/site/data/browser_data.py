"""Data for the scripts, in classic script files that also load from the disk.

Each file registers one value: `data/search.js`, `data/sheet/<id>.js`, `data/words/<language>.js`.
Values are made of arrays and records of our own keys, never of objects keyed by the library's
words. Files are small and loaded when first needed; the same library gives the same bytes.
"""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache, partial
from typing import Any

from rungbook.checks.review_overdue import due
from rungbook.exporting.json_text import json_bytes
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.quantity import parse_action
from rungbook.model.set_up import SetUp, set_up
from rungbook.site.data.after_data import after_record
from rungbook.site.data.angles_data import angles_record
from rungbook.site.data.answers_data import (
    edges_record,
    graph_record,
    library_record,
    moments_record,
    onward_record,
)
from rungbook.site.data.dose_record import dose_record
from rungbook.site.data.limits_data import within_record
from rungbook.site.data.motion_data import motion_record
from rungbook.site.data.node_tree import html_nodes, svg_node
from rungbook.site.data.patient_data import (
    RoundedWay,
    actions_about,
    joints_record,
    rounded_ways,
    scaling_record,
)
from rungbook.site.data.profile_data import ProfileRows, actions_of, profiles_record
from rungbook.site.data.search_data import search_index
from rungbook.site.data.start_data import start_record
from rungbook.site.pages.catalogue import Catalogue
from rungbook.site.pages.drawings import can_be_scrubbed
from rungbook.site.pages.pictures import shown
from rungbook.site.sheet.messages import languages, messages
from rungbook.site.sheet.qr import page_address, qr_svg
from rungbook.site.sheet.sheet import SheetPart, Words, missing_part, sheet_part
from rungbook.site.sheet.sheet_figures import small_figure
from rungbook.site.sheet.sheet_frame import sheet_frame

WORTH_PARSING = 50_000  # bytes: browsers read JSON in a string faster than as a program
# Older browsers take these in a string for the end of its line.
_LINE_ENDS = (("\u2028".encode(), b"\\u2028"), ("\u2029".encode(), b"\\u2029"))


def script(name: str, value: Any) -> tuple[str, bytes]:
    """The file that registers `value` as `name`: its path in the site and its bytes."""
    return script_of(name, json_bytes(value))


def script_of(name: str, json_text: bytes) -> tuple[str, bytes]:
    """As `script`, of a value that is JSON already."""
    text = json_text.replace(b"</", b"<\\/")
    if not text.isascii():
        for sign, safe in _LINE_ENDS:
            text = text.replace(sign, safe)
    if len(text) > WORTH_PARSING:
        text = b"JSON.parse('%b')" % text.replace(b"\\", b"\\\\").replace(b"'", b"\\'")
    key = json.dumps(name, ensure_ascii=False).encode()
    return f"data/{name}.js", b"rungbook.register(%b,%b);\n" % (key, text)


def shared_data(catalogue: Catalogue) -> Iterator[tuple[str, partial[Any]]]:
    """The data files that are about the whole library, in a stable order: name, what makes it."""
    yield "names", partial(names_record, catalogue)
    yield "search", partial(search_index, catalogue)
    yield "library", partial(library_record, catalogue)
    yield "graph", partial(graph_record, catalogue)
    yield "edges", partial(edges_record, catalogue)
    yield "angles", partial(angles_record, catalogue)
    yield "within", partial(within_record, catalogue)
    for number, action in enumerate(actions_of(catalogue)):
        yield f"profiles/{number}", partial(profiles_record, catalogue, action)
        yield f"moments/{number}", partial(moments_record, catalogue, parse_action(action))
    for id in catalogue.measured.ladders:
        yield f"start/{id}", partial(start_record, catalogue, id)
    for language in languages():
        yield f"words/{language}", partial(_words_record, language)
        yield f"frame/{language}", partial(_frame_record, catalogue, language)


def _words_record(language: str) -> dict[str, Any]:
    return messages(language).for_browser()


def _frame_record(catalogue: Catalogue, language: str) -> dict[str, Any]:
    return dataclasses.asdict(sheet_frame(catalogue.measured, messages(language)))


def names_record(catalogue: Catalogue) -> dict[str, Any]:
    """What there are data files of: `scripts/data.js` loads no others."""
    return {
        "exercises": list(catalogue.library.exercises),
        "ladders": list(catalogue.measured.ladders),
        "languages": languages(),
        "profiles": len(actions_of(catalogue)),
    }


def exercise_paths(id: str) -> tuple[str, ...]:
    """Where the files of `exercise_files` lie in the site."""
    data = (f"data/{kind}/{id}.js" for kind in ("sheet", "exercise", "joints", "after", "motion"))
    return *data, f"figures/{id}.svg"


def exercise_files(catalogue: Catalogue, exercise: Exercise) -> Iterator[tuple[str, bytes]]:
    """The data files of one exercise, and its thumbnail."""
    load = catalogue.measured.loads.get(exercise.id)
    ways = rounded_ways(load) if load else ()
    yield script(f"sheet/{exercise.id}", sheet_record(catalogue, exercise))
    yield script(f"exercise/{exercise.id}", exercise_record(catalogue, exercise, ways))
    yield script(f"after/{exercise.id}", after_record(catalogue.measured, exercise))
    if small := catalogue.figures.thumbnail(exercise.id):
        yield f"figures/{exercise.id}.svg", small.encode()
    joints = joints_record(load, ways) if load else None
    if joints:
        yield script(f"joints/{exercise.id}", joints)
    if load and can_be_scrubbed(catalogue.measured, exercise.id):
        yield script(f"motion/{exercise.id}", motion_record(exercise, load))


def exercise_record(
    catalogue: Catalogue, exercise: Exercise, ways: Sequence[RoundedWay]
) -> dict[str, Any]:
    """What finder, route and `For this patient` need of one exercise."""
    measured = catalogue.measured
    rows = ProfileRows()
    own = [
        rows.row(catalogue.library.exercises[key], catalogue.profile(key))
        for key in (exercise.id, *catalogue.easier(exercise.id))
        if key in measured.loads
    ]
    load = measured.loads.get(exercise.id)
    actions = actions_about(catalogue, exercise)
    return {
        "id": exercise.id,
        "title": exercise.title,
        "scaling": scaling_record(exercise, load, actions, ways) if load else None,
        "onward": onward_record(catalogue, exercise),
        "easier": catalogue.easier(exercise.id),
        "profiles": {"axes": list(rows.axes), "rows": own},
    }


def sheet_record(catalogue: Catalogue, exercise: Exercise) -> dict[str, Any]:
    """Everything a sheet prints of one exercise, in every language."""
    measured = catalogue.measured
    reviewed = exercise.reviewed.date if exercise.reviewed else None
    last = due(reviewed, measured.library.settings.review.every) if reviewed else None
    page = catalogue.exercise_paths[exercise.id]
    record: dict[str, Any] = {
        "id": exercise.id,
        "title": exercise.title,
        "oneSided": exercise.sides == "one",
        "refused": exercise.kept_off_sheets,
        "therapist": exercise.needs_a_therapist,
        "dose": _sheet_dose(exercise.dose, set_up(exercise)),
        "setUp": _set_up_record(set_up(exercise)),
        "reviewed": reviewed.isoformat() if reviewed else None,
        "altered": exercise.altered,
        "due": last.isoformat() if last else None,
    }
    if not exercise.may_go_on_a_sheet:
        return record
    address = page_address(measured.library.settings.site.url, page)
    record["qr"] = svg_node(qr_svg(address)) if address else None
    missing = {one: missing_part(measured, exercise, messages(one)) for one in languages()}
    parts = {
        language: sheet_part(measured, exercise, messages(language), page)
        for language, lacks in missing.items()
        if not lacks
    }
    record["parts"] = [[language, _part(part)] for language, part in parts.items()]
    record["missing"] = [[language, lacks] for language, lacks in missing.items() if lacks]
    small = small_figure(measured, next(iter(parts.values()))) if parts else ""
    record["small"] = svg_node(small) if small else None
    photo = next(shown(catalogue.library.folders, exercise), None)
    record["photo"] = [photo.href, photo.alt] if photo else None
    figures = catalogue.figures.for_sheet(exercise.id)
    record["figures"] = [[side, svg_node(drawn)] for side, drawn in figures.items()]
    return record


def _sheet_dose(dose: Dose | None, own: SetUp) -> dict[str, Any] | None:
    """The dose with the weight of one piece in kg and the height in cm."""
    record = dose_record(dose) or {}
    if own.weight_kg:
        record["weight"] = own.weight_kg
    if own.height_m:
        record["height"] = round(100 * own.height_m, 1)
    return record or None


def _set_up_record(own: SetUp) -> dict[str, Any]:
    return {"pieces": own.pieces, "heightOf": own.height_of, "arc": own.arc}


def _part(part: SheetPart) -> dict[str, Any]:
    record = {name: getattr(part, name) for name in _IN_EACH_LANGUAGE}
    record["words"] = _words(part.words)
    if part.easier is not None:
        record["easier"] = {
            "title": part.easier.title,
            "words": _words(part.easier.words),
            "dose": _sheet_dose(part.easier.dose, part.easier.set_up),
            "setUp": _set_up_record(part.easier.set_up),
        }
    return record


def _words(texts: Iterable[Words]) -> list[dict[str, Any]]:
    return [{"nodes": _nodes(one.html), "note": one.note} for one in texts]


# A text that is not translated is the same in every language.
_nodes = lru_cache(maxsize=64)(html_nodes)
_IN_EACH_LANGUAGE = tuple(
    field.name
    for field in dataclasses.fields(SheetPart)
    if field.name not in ("id", "one_sided", "dose")
)
