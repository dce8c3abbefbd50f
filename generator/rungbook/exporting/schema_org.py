"""An exercise as a schema.org ExercisePlan, for JSON-LD in its page and for export.

Properties are those of https://schema.org/ExercisePlan and its parents CreativeWork and
PhysicalActivity. A range is a QuantitativeValue with minValue and maxValue; units are UN/CEFACT
codes (SEC seconds, C62 one, NU newton metre).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from rungbook.exporting.format import Format
from rungbook.exporting.json_text import Line, json_text, line
from rungbook.ladder.measured import MeasuredLadder, MeasuredLibrary
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import Library, Source
from rungbook.model.span import ends

CONTEXT = "https://schema.org"


def _quantity(unit: str, low: float, high: float | None = None) -> dict[str, Any]:
    value: dict[str, Any] = {"@type": "QuantitativeValue", "unitCode": unit}
    if high is None or high == low:
        return {**value, "value": low}
    return {**value, "minValue": low, "maxValue": high}


def _dose(dose: Dose) -> dict[str, Any]:
    found: dict[str, Any] = {}
    if dose.reps:
        found["repetitions"] = _quantity("C62", dose.reps.low, dose.reps.high)
    if dose.rest is not None:
        found["restPeriods"] = _quantity("SEC", dose.rest)
    if dose.hold or dose.duration:
        found["activityDuration"] = _quantity("SEC", *ends(dose.hold or dose.duration or 0.0))
    if dose.sessions:
        found["activityFrequency"] = {
            **_quantity("C62", *ends(dose.sessions)),
            "unitText": "sessions per week",
        }
    if dose.effort:
        found["intensity"] = {
            **_quantity("C62", dose.effort.low, dose.effort.high),
            "unitText": "perceived effort of 10",
        }
    if dose.sets:
        found["additionalVariable"] = f"{dose.sets} sets"
    return found


def citation(source: Source) -> dict[str, Any]:
    """A source as a CreativeWork."""
    found: dict[str, Any] = {"@type": "CreativeWork", "name": source.title}
    if source.authors:
        found["author"] = source.authors
    if source.year:
        found["datePublished"] = str(source.year)
    if source.journal:
        found["isPartOf"] = {"@type": "CreativeWork", "name": source.journal}
    if source.doi:
        found["sameAs"] = f"https://doi.org/{source.doi.removeprefix('https://doi.org/')}"
    elif source.url and source.url.startswith(("https://", "http://")):
        found["sameAs"] = source.url
    return found


def exercise_plan(
    exercise: Exercise, library: Library, load: ExerciseLoad | None = None, url: str | None = None
) -> dict[str, Any]:
    """The exercise as JSON-LD. `url` is its page's full address, where it has one."""
    plan: dict[str, Any] = {
        "@context": CONTEXT,
        "@type": "ExercisePlan",
        "identifier": exercise.id,
        "name": exercise.title,
        "inLanguage": library.settings.language,
    }
    if url:
        plan["@id"] = plan["url"] = url
    if exercise.also_called:
        plan["alternateName"] = list(exercise.also_called)
    if exercise.purpose:
        plan["exerciseType"] = ", ".join(exercise.purpose)
    area = library.vocabulary.areas.get(exercise.area or "")
    if area:
        plan["category"] = area.title
    if exercise.reviewed:
        plan["dateModified"] = exercise.reviewed.date.isoformat()
    if exercise.dose:
        plan.update(_dose(exercise.dose))
    if load is not None and load.demands:
        plan["workload"] = {
            **_quantity("NU", round(load.demand_nm, 1)),
            "description": "peak net joint moment, reference person",
        }
    sources = [
        library.vocabulary.sources[key]
        for key in exercise.sources
        if key in library.vocabulary.sources
    ]
    if sources:
        plan["citation"] = [citation(source) for source in sources]
    return plan


def schema_org(
    measured: MeasuredLibrary, known: Mapping[str, Line] | None = None
) -> dict[str, Any]:
    """The library as one JSON-LD document: plans, and ladders as lists in order of load.

    Exercises that are `known` stand as their text.
    """
    library = measured.library
    site = (library.settings.site.url or "").rstrip("/")
    graph: list[Any] = [
        (known or {}).get(exercise.id) or _plan(measured, exercise)
        for exercise in library.exercises.values()
    ]
    graph += [_ladder(library, one, site) for one in measured.ladders.values()]
    return {"@context": CONTEXT, "@graph": graph}


def _plan(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Any]:
    library = measured.library
    site = (library.settings.site.url or "").rstrip("/")
    url = f"{site}/exercises/{exercise.id}.html" if site else None
    plan = exercise_plan(exercise, library, measured.loads.get(exercise.id), url)
    del plan["@context"]
    varied = exercise.variation_of
    if varied in library.exercises:
        plan["isBasedOn"] = _reference(varied, site)
    return {"@id": _node(exercise.id, "exercises", site), **plan}


def schema_org_json(measured: MeasuredLibrary, known: Mapping[str, Line] | None = None) -> str:
    """The document as text that ends in a newline; `known` as `plan_line` made them."""
    return json_text(schema_org(measured, known))


def plan_line(measured: MeasuredLibrary, exercise: Exercise) -> Line:
    """An exercise's part of the text."""
    return line(_plan(measured, exercise))


def _node(id: str, folder: str, site: str) -> str:
    """The name of a node: its page, or a name that is good within the document."""
    return f"{site}/{folder}/{id}.html" if site else f"_:{folder}-{id}"


def _reference(id: str | None, site: str) -> dict[str, Any]:
    return {"@id": _node(id or "", "exercises", site)}


def _ladder(library: Library, one: MeasuredLadder, site: str) -> dict[str, Any]:
    made: dict[str, Any] = {
        "@id": _node(one.ladder.id, "ladders", site),
        "@type": "ItemList",
        "identifier": one.ladder.id,
        "name": one.ladder.title,
        "itemListOrder": f"{CONTEXT}/ItemListOrderAscending",
        "numberOfItems": len(one.rungs),
        "itemListElement": [
            {"@type": "ListItem", "position": number, "item": _reference(id, site)}
            for number, id in enumerate(one.rungs, start=1)
        ],
    }
    if one.ladder.text:
        made["description"] = one.ladder.text
    return made


FORMAT = Format(
    6,
    "schema-org",
    "schema.org as JSON-LD",
    "schema-org.jsonld",
    "Exercise plans and ladders in the words of schema.org, for the web of data.",
    schema_org_json,
    plan_line,
)
