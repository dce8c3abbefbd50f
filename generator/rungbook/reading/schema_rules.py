"""What JSON Schema can say of values that make no sense together; see `contradictions`."""

from __future__ import annotations

from typing import Any

from rungbook.model.body_point import POINT_WORDS

Schema = dict[str, Any]

_TRUE = {"const": True}


def _any_of(*keys: str) -> Schema:
    return {"anyOf": [{"required": [key]} for key in keys]}


def _excludes(one: str, *others: str) -> Schema:
    return {"not": {"required": [one], **_any_of(*others)}}


_VARIES = {"required": ["variation-of"]}
_MOVES = {"required": ["movement"], "properties": {"movement": {"minItems": 1}}}
_BALLISTIC = {"required": ["ballistic"], "properties": {"ballistic": _TRUE}}
_PULLED = _any_of("pulls", "toward")
_SIDED = {"pattern": "^other-"}
_POINTS = list(POINT_WORDS)

RULES: dict[str, Schema] = {
    "Exercise": {
        "allOf": [
            {"if": {**_MOVES, "not": _VARIES}, "then": {"required": ["works"]}},
            {"if": {**_BALLISTIC, "not": _VARIES}, "then": {"required": ["measured", "impact"]}},
            {
                "not": {
                    "required": ["passive", "resistance"],
                    "properties": {"passive": _TRUE, "resistance": {"minItems": 1}},
                }
            },
            {
                "not": {
                    "required": ["passive", "ballistic"],
                    "properties": {"passive": _TRUE, "ballistic": _TRUE},
                }
            },
            {
                "if": {
                    "anyOf": [
                        {"required": ["sides"], "properties": {"sides": {"const": "both"}}},
                        {"not": {"anyOf": [{"required": ["sides"]}, _VARIES]}},
                    ]
                },
                "then": {
                    "properties": {
                        "posture": {"propertyNames": {"not": _SIDED}},
                        "movement": {"items": {"propertyNames": {"not": _SIDED}}},
                        "stands-on": False,
                        "front": False,
                    }
                },
            },
        ]
    },
    "Ladder": {
        "allOf": [
            {"required": ["entries"], "properties": {"entries": {"minProperties": 1}}},
            {"properties": {"pain-rule": {"if": {"type": "object"}, "then": _any_of("source")}}},
        ]
    },
    "RestrictionRow": {
        "allOf": [
            _any_of("action", "bearing", "brace"),
            {
                "if": _any_of("kinds", "up-to", "from", "between", "ceiling"),
                "then": {"required": ["action"]},
            },
            {
                "if": {"required": ["action"]},
                "then": _any_of("kinds", "up-to", "from", "between", "ceiling", "bearing"),
            },
            _excludes("between", "up-to", "from"),
            {
                "if": {"required": ["ends"], "properties": {"ends": {"const": "date"}}},
                "then": {"required": ["weeks"], "properties": {"weeks": {"minItems": 2}}},
            },
            {"properties": {"action": {"not": _SIDED}}},
        ]
    },
    "Dose": _excludes("duration", "reps", "hold"),
    "Contact": {
        "allOf": [
            {
                "if": {"required": ["friction"]},
                "then": {"required": ["slides"], "properties": {"slides": _TRUE}},
            },
            {
                "if": {"required": ["distance"]},
                "then": {"required": ["surface"], "properties": {"surface": {"const": "wall"}}},
            },
            {
                "not": {
                    "required": ["height", "surface"],
                    "properties": {"surface": {"const": "floor"}},
                }
            },
            {
                "if": {"required": ["thickness"]},
                "then": {"required": ["surface"], "properties": {"surface": {"enum": _POINTS}}},
            },
            {
                "if": {"required": ["surface"], "properties": {"surface": {"enum": _POINTS}}},
                "then": {"not": _any_of("height", "distance", "share", "friction")},
            },
        ]
    },
    "Assistance": {
        "oneOf": [
            {"required": ["share"], "not": _any_of("pulls", "toward", "weight", "force")},
            {"required": ["weight"], **_PULLED, "not": _any_of("force")},
            {"required": ["force"], **_PULLED},
        ]
    },
    "Resistance": {
        "oneOf": [
            {
                "required": ["weight", "at"],
                "not": _any_of("pulls", "toward", "band", "push", "machine", "cable"),
            },
            {
                "required": ["band", "at"],
                **_PULLED,
                "not": _any_of("push", "machine", "cable", "off-axis"),
            },
            {
                "required": ["push", "at"],
                **_PULLED,
                "not": _any_of("machine", "cable", "off-axis"),
            },
            {"required": ["machine"], "not": _any_of("at", "cable", "off-axis")},
            {"required": ["cable"], "not": _any_of("at", "off-axis")},
            {"required": ["effort"], "not": _any_of("machine", "cable")},
        ]
    },
}


def own_title(entry: Schema, pattern: str) -> Schema:
    """The schema of a vocabulary: keys with an entry each, or with a title alone."""
    return {
        "type": "object",
        "propertyNames": {"pattern": pattern},
        "additionalProperties": {"anyOf": [{"type": "string", "minLength": 1}, entry]},
    }
