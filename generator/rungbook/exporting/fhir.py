"""The library as a FHIR R5 Bundle (https://hl7.org/fhir/R5): a collection, nothing to execute.

An ActivityDefinition an exercise, a PlanDefinition a ladder, and the StructureDefinitions of the
two extensions. The shape is told by `shapes/fhir.md`.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from rungbook.exporting.fhir_artifact import ACTIVITY, related, version
from rungbook.exporting.fhir_extension import definitions, dose_extension, load_extensions, whole
from rungbook.exporting.fhir_names import address, computable_name, resource_id
from rungbook.exporting.fhir_plan import plan_definition
from rungbook.exporting.format import Format
from rungbook.exporting.json_text import Line, json_text, line
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.model.criterion import in_words
from rungbook.model.exercise import Dose, Exercise
from rungbook.model.library import Library
from rungbook.model.set_up import fill, in_units
from rungbook.model.span import Span, ends
from rungbook.reading.exercises import SECTIONS

NOTICE = (
    "For use by or under a licensed clinician. Local protocol and the surgeon's orders come "
    "first. A caution that is not listed is not a clearance. Computed figures compare exercises; "
    "they do not say that one suits a patient."
)


def fhir_bundle(
    measured: MeasuredLibrary, known: Mapping[str, Line] | None = None
) -> dict[str, Any]:
    """The Bundle, as JSON-ready values; exercises that are `known` as their text."""
    library = measured.library
    entries: list[Any] = [
        {"fullUrl": definition["url"], "resource": definition} for definition in definitions()
    ]
    for exercise in library.exercises.values():
        entries.append((known or {}).get(exercise.id) or _entry(measured, exercise))
    for one in measured.ladders.values():
        plan = plan_definition(measured, one)
        entries.append({"fullUrl": plan["url"], "resource": plan})
    return {
        "resourceType": "Bundle",
        "type": "collection",
        "language": library.settings.language,
        "entry": entries,
    }


def _entry(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Any]:
    made = activity_definition(measured, exercise)
    return {"fullUrl": made["url"], "resource": made}


def fhir_json(measured: MeasuredLibrary, known: Mapping[str, Line] | None = None) -> str:
    """The Bundle, as JSON text that ends in a newline; `known` as `entry_line` made them."""
    return json_text(fhir_bundle(measured, known))


def entry_line(measured: MeasuredLibrary, exercise: Exercise) -> Line:
    """An exercise's part of the text."""
    return line(_entry(measured, exercise))


def activity_definition(measured: MeasuredLibrary, exercise: Exercise) -> dict[str, Any]:
    """One exercise. What has no value is not there: FHIR knows no empty values."""
    library = measured.library
    reviewed = exercise.reviewed
    load = measured.loads.get(exercise.id)
    body = _body_site(library, exercise)
    values: dict[str, Any] = {
        "resourceType": ACTIVITY,
        "id": resource_id(exercise.id),
        "extension": [
            *([found] if exercise.dose and (found := dose_extension(exercise.dose)) else []),
            *(load_extensions(load) if load is not None else []),
        ],
        "url": address(library, ACTIVITY, exercise.id),
        "version": version(exercise),
        "name": computable_name(exercise.id),
        "title": exercise.title,
        "status": "active" if exercise.is_reviewed else "draft",
        "date": reviewed.date.isoformat() if reviewed else None,
        "publisher": library.settings.name,
        "description": _description(exercise),
        "purpose": "; ".join(exercise.purpose),
        "usage": _usage(library, exercise),
        "lastReviewDate": reviewed.date.isoformat() if reviewed else None,
        "reviewer": [{"name": reviewed.by}] if reviewed and reviewed.by else None,
        "relatedArtifact": related(measured, exercise),
        "kind": "ServiceRequest",
        "code": {"text": exercise.title},
        "intent": "proposal",
        "timingTiming": _timing(exercise.dose) if exercise.dose else None,
        "bodySite": [{"text": body}] if body else None,
    }
    return {key: value for key, value in values.items() if value not in (None, "", [], {})}


def _body_site(library: Library, exercise: Exercise) -> str:
    area = library.vocabulary.areas.get(exercise.area or "")
    return area.title if area else (exercise.area or "")


def _description(exercise: Exercise) -> str:
    order = [*(h for h in SECTIONS if h in exercise.text)]
    order += [h for h in exercise.text if h not in order]
    numbers = in_units(exercise)
    parts = [
        (f"## {h}\n\n" if h else "") + fill(exercise.text[h], numbers)
        for h in order
        if exercise.text[h]
    ]
    return "\n\n".join(parts)


def _usage(library: Library, exercise: Exercise) -> str:
    """Cautions, restrictions, equipment and when to step back, then the usual notice."""
    words = library.vocabulary
    listed = (
        ("Cautions", _titles(words.cautions, exercise.cautions)),
        ("Restrictions", _titles(words.restrictions, exercise.restrictions)),
        ("Equipment", _titles(words.equipment, exercise.equipment)),
        ("Step back with any one of these", list(in_words(exercise.back_off))),
    )
    parts = [f"{name}:\n" + "\n".join(f"- {one}" for one in all) for name, all in listed if all]
    return "\n\n".join([*parts, NOTICE])


def _titles(terms: Any, keys: tuple[str, ...]) -> list[str]:
    return [terms[key].title if key in terms else key for key in keys]


def _timing(dose: Dose) -> dict[str, Any] | None:
    """Sessions as a frequency; a single bout of continuous work has its length, too."""
    repeat: dict[str, Any] = {}
    if dose.duration and dose.sets in (None, 1) and not isinstance(dose.duration, Span):
        repeat |= {"duration": whole(dose.duration), "durationUnit": "s"}
    if dose.sessions:
        both = ends(dose.sessions)
        per_day = both[0] >= 7 and all(one % 7 == 0 for one in both)
        low, high = (Fraction(one / (7 if per_day else 1)).limit_denominator(100) for one in both)
        period = math.lcm(low.denominator, high.denominator)
        repeat |= {
            "frequency": int(low * period),
            **({"frequencyMax": int(high * period)} if low < high else {}),
            "period": period,
            "periodUnit": "d" if per_day else "wk",
        }
    return {"repeat": repeat} if repeat else None


FORMAT = Format(
    5,
    "fhir",
    "FHIR R5 Bundle",
    "fhir-bundle.json",
    "An ActivityDefinition an exercise and a PlanDefinition a ladder, for clinical systems.",
    fhir_json,
    entry_line,
)
