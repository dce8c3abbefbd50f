"""What FHIR has no field for: sets, repetitions and tempo, and the computed load.

Two complex extensions of ActivityDefinition; their StructureDefinitions go into each Bundle.
Units are UCUM.
"""

from __future__ import annotations

from typing import Any

from rungbook.exporting.fhir_names import EXTENSIONS, UCUM, computable_name
from rungbook.load.plain import number
from rungbook.load.result import ExerciseLoad
from rungbook.model.exercise import Dose
from rungbook.model.span import Span

DOSE = f"{EXTENSIONS}/exercise-dose"
LOAD = f"{EXTENSIONS}/exercise-load"
# part -> (type of its value, what it is)
DOSE_PARTS: dict[str, tuple[str, str]] = {
    "sets": ("positiveInt", "Sets of a session"),
    "setsRange": ("Range", "Sets of a session, from low to high"),
    "repetitions": ("Range", "Repetitions of a set, from low to high"),
    "hold": ("Duration", "How long each repetition is held still"),
    "holdRange": ("Range", "How long each repetition is held still, from low to high, s"),
    "duration": ("Duration", "How long a set of continuous work lasts"),
    "durationRange": ("Range", "How long a set lasts, from low to high, s"),
    "up": ("Duration", "Time of the way on which the named muscles shorten"),
    "pause": ("Duration", "Pause between the two ways"),
    "down": ("Duration", "Time of the way on which the named muscles lengthen"),
    "rest": ("Duration", "Rest between sets"),
    "effort": ("Range", "Perceived effort on a scale from 0 to 10"),
}
LOAD_PARTS: dict[str, tuple[str, str]] = {
    "action": ("string", "The action whose muscles the figures are about"),
    "peakMoment": ("Quantity", "Peak net joint moment of the reference person, N.m"),
    "peakAngle": ("Quantity", "Joint angle at the peak, toward the action's movement"),
    "bearing": ("Quantity", "Share of body weight through the working limb"),
    "person": ("string", "The reference person the figures were computed for"),
    "kindOfWork": ("string", "none, passive, assisted, active, resisted or held"),
    "basis": ("string", "statics: computed; measured: a published figure"),
}


def quantity(value: float, unit: str, code: str) -> dict[str, Any]:
    """A Quantity (or Duration) with a UCUM unit."""
    return {"value": whole(value), "unit": unit, "system": UCUM, "code": code}


def whole(value: float) -> float | int:
    """A number without its last digits' noise, an integer where it is one."""
    rounded = number(value)
    return int(rounded) if float(rounded).is_integer() else rounded


def _part(name: str, kind: str, value: Any) -> dict[str, Any]:
    return {"url": name, f"value{kind[0].upper()}{kind[1:]}": value}


def dose_extension(dose: Dose) -> dict[str, Any] | None:
    """The dose; None where nothing of it needs an extension."""
    values: dict[str, Any] = {"sets": dose.sets}
    if isinstance(dose.sets, Span):
        values = {"setsRange": _range(dose.sets.low, dose.sets.high)}
    if dose.reps:
        values["repetitions"] = _range(dose.reps.low, dose.reps.high)
    for name in ("hold", "duration", "up", "pause", "down", "rest"):
        seconds = getattr(dose, name)
        if isinstance(seconds, Span):
            values[f"{name}Range"] = _range(seconds.low, seconds.high)
            continue
        values[name] = None if seconds is None else quantity(seconds, "s", "s")
    if dose.effort:
        values["effort"] = _range(dose.effort.low, dose.effort.high)
    return _extension(DOSE, DOSE_PARTS, values)


def _range(low: float, high: float) -> dict[str, Any]:
    return {"low": {"value": whole(low)}, "high": {"value": whole(high)}}


def load_extensions(load: ExerciseLoad) -> list[dict[str, Any]]:
    """The computed load, once for each action the exercise works."""
    who = load.person
    person = f"{whole(who.mass_kg)} kg, {whole(who.stature_m)} m, body table {who.body}"
    found = []
    for action, demand in load.demands.items():
        values = {
            "action": action,
            "peakMoment": quantity(demand.peak_nm, "N·m", "N.m"),
            "peakAngle": quantity(demand.peak_at_deg, "°", "deg"),
            "bearing": quantity(load.bearing * 100, "%", "%"),
            "person": person,
            "kindOfWork": kind.word if (kind := load.kind(action)) else None,
            "basis": demand.basis,
        }
        extension = _extension(LOAD, LOAD_PARTS, values)
        if extension:
            found.append(extension)
    return found


def _extension(
    url: str, parts: dict[str, tuple[str, str]], values: dict[str, Any]
) -> dict[str, Any] | None:
    inner = [
        _part(name, kind, values[name])
        for name, (kind, _) in parts.items()
        if values.get(name) is not None
    ]
    return {"url": url, "extension": inner} if inner else None


def definitions() -> list[dict[str, Any]]:
    """The StructureDefinitions of the extensions."""
    return [
        _definition(DOSE, "Dose of an exercise", DOSE_PARTS),
        _definition(LOAD, "Computed load of an exercise", LOAD_PARTS),
    ]


def _definition(url: str, title: str, parts: dict[str, tuple[str, str]]) -> dict[str, Any]:
    elements: list[dict[str, Any]] = [
        {"id": "Extension", "path": "Extension", "short": title, "min": 0, "max": "*"},
        {
            "id": "Extension.extension",
            "path": "Extension.extension",
            "slicing": {
                "discriminator": [{"type": "value", "path": "url"}],
                "ordered": False,
                "rules": "closed",
            },
        },
    ]
    for name, (kind, short) in parts.items():
        elements += _slice(name, kind, short)
    elements += [
        {"id": "Extension.url", "path": "Extension.url", "fixedUri": url},
        {"id": "Extension.value[x]", "path": "Extension.value[x]", "max": "0"},
    ]
    id = url.rsplit("/", 1)[1]
    return {
        "resourceType": "StructureDefinition",
        "id": id,
        "url": url,
        "name": computable_name(id),
        "title": title,
        "status": "active",
        "fhirVersion": "5.0.0",
        "kind": "complex-type",
        "abstract": False,
        "context": [{"type": "element", "expression": "ActivityDefinition"}],
        "type": "Extension",
        "baseDefinition": "http://hl7.org/fhir/StructureDefinition/Extension",
        "derivation": "constraint",
        "differential": {"element": elements},
    }


def _slice(name: str, kind: str, short: str) -> list[dict[str, Any]]:
    at, path = f"Extension.extension:{name}", "Extension.extension"
    return [
        {"id": at, "path": path, "sliceName": name, "short": short, "min": 0, "max": "1"},
        {"id": f"{at}.extension", "path": f"{path}.extension", "max": "0"},
        {"id": f"{at}.url", "path": f"{path}.url", "fixedUri": name},
        {"id": f"{at}.value[x]", "path": f"{path}.value[x]", "min": 1, "type": [{"code": kind}]},
    ]
