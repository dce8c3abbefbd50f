"""JSON Schemas (draft 2020-12) of the library's files, for editors and other programs.

They are made from the models, so that they cannot say anything else; words that the body fixes
and the library's own vocabulary become enumerations.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any

from pydantic import TypeAdapter

from rungbook.model.acting import BUILT_IN_SURFACES, DIRECTIONS, HELPERS
from rungbook.model.body_point import POINT_WORDS
from rungbook.model.criterion import Criterion
from rungbook.model.exercise import Exercise
from rungbook.model.fields import OneAction
from rungbook.model.ladder import Ladder, PainRule
from rungbook.model.library import (
    AXES,
    BODIES,
    MOST_LIMITS,
    RATIO_AXES,
    FlareUpRule,
    Library,
    Settings,
    Source,
    Term,
)
from rungbook.model.position import POSITIONS
from rungbook.model.record import Record
from rungbook.model.restriction import Restriction
from rungbook.reading.functional_tests import functional_tests
from rungbook.reading.names import JOINTS
from rungbook.reading.references import COMMON_PRACTICE
from rungbook.reading.schema_rules import RULES, own_title
from rungbook.reading.yaml_values import read_yaml

Schema = dict[str, Any]

DRAFT = "https://json-schema.org/draft/2020-12/schema"
ID_PATTERN = "^[a-z0-9]+(-[a-z0-9]+)*$"
FILES: dict[str, type[Record]] = {
    "exercise": Exercise,
    "ladder": Ladder,
    "library": Settings,
    "areas": Term,
    "cautions": Term,
    "equipment": Term,
    "restrictions": Restriction,
    "sources": Source,
}
VOCABULARIES = ("areas", "cautions", "equipment", "restrictions", "sources")


@cache
def descriptions() -> Mapping[str, Mapping[str, str]]:
    """What each key of each record means."""
    text = resources.files("rungbook.reading").joinpath("descriptions.yml").read_text("utf-8")
    values, _ = read_yaml(text)
    return dict(values)


def file_schema(kind: str, library: Library | None = None) -> Schema:
    """The schema of one kind of file, a key of `FILES`.

    With a library, its vocabulary is enumerated and the ids of its exercises are offered.
    """
    record = FILES[kind]
    schema = copy.deepcopy(
        record.model_json_schema(by_alias=True, ref_template="#/$defs/{model}", mode="validation")
    )
    parts = schema.pop("$defs", {})
    for name, part in ((record.__name__, schema), *parts.items()):
        _describe(name, part, record.NOT_WRITTEN if part is schema else frozenset())
        _in_languages(name, part)
        _words(name, part, library)
        part.update(RULES.get(name, {}))
    if kind in VOCABULARIES:
        schema = own_title(schema, ID_PATTERN)
    else:
        schema["required"] = [key for key in schema.get("required", ()) if key != "id"]
    return {"$schema": DRAFT, "title": f"Rungbook {kind} file", **schema, "$defs": parts}


def all_schemas(library: Library | None = None) -> Schema:
    """One schema that any file of a library meets, each kind below `$defs`."""
    schemas = {kind: file_schema(kind, library) for kind in FILES}
    for kind, schema in schemas.items():
        schema["$id"] = f"rungbook:{kind}"  # so that each keeps its own $defs
    return {
        "$schema": DRAFT,
        "title": "Files of a Rungbook library",
        "anyOf": [{"$ref": f"rungbook:{kind}"} for kind in FILES],
        "$defs": schemas,
    }


def _describe(name: str, schema: Schema, hidden: frozenset[str]) -> None:
    """Our own words in place of the generated titles; keys that no file has go."""
    schema.pop("title", None)
    properties = schema.get("properties", {})
    for key in hidden:
        properties.pop(key, None)
    for key, value in properties.items():
        if key == "in-languages":
            continue  # keys of their own, see `_in_languages`
        value.pop("title", None)
        value["description"] = descriptions()[name][key]


_TRANSLATED = {one.__name__: one for one in (Exercise, Settings, Criterion, FlareUpRule, PainRule)}


def _in_languages(name: str, schema: Schema) -> None:
    """Keys such as `title (de)`, beside those whose words may be given in other languages."""
    record = _TRANSLATED.get(name)
    if record is None:
        return
    schema["properties"].pop("in-languages", None)
    keys = "|".join(sorted(record.TRANSLATED))
    schema["patternProperties"] = {f"^({keys}) \\([a-z]{{2,3}}\\)$": {"type": "string"}}


def _words(name: str, schema: Schema, library: Library | None) -> None:
    """The words that the body and the library fix, in place of plain text."""
    properties = schema.get("properties", {})
    for key, words in _choices(name, library).items():
        into = properties[key]
        if into.get("type") == "array":
            into["items"] = words
        elif into.get("type") == "object":
            into["additionalProperties"] = words
        else:
            into.pop("type", None)
            may_be_empty = into.pop("anyOf", None) is not None
            into.update({"anyOf": [words, {"type": "null"}]} if may_be_empty else words)
    if name in ("Exercise", "Restriction"):
        _angles(properties)
    if name in ("Assistance", "Resistance"):
        properties["toward"] = {"enum": list(POINT_WORDS), "description": "Short for pulls."}
    if "limits" in properties:
        properties["limits"]["properties"] = {axis: _limit(axis) for axis in AXES}
        properties["limits"]["additionalProperties"] = False


def _choices(name: str, library: Library | None) -> dict[str, Schema]:
    """Words a key may have, by record."""
    points: Schema = {"enum": list(POINT_WORDS)}
    pulls: Schema = {
        "anyOf": [
            {"enum": list(DIRECTIONS)},
            {"type": "string", "pattern": f"^toward ({'|'.join(POINT_WORDS)})$"},
            {
                "type": "object",
                "properties": {"toward": points},
                "required": ["toward"],
                "additionalProperties": False,
            },
        ]
    }
    equipment = _keys(library, "equipment")
    keys = {kind: _keys(library, kind) for kind in VOCABULARIES}
    own = {
        "Contact": {"at": points, "surface": _with(equipment, (*BUILT_IN_SURFACES, *POINT_WORDS))},
        "Assistance": {"at": points, "pulls": pulls, "by": _with(equipment, HELPERS)},
        "Resistance": {"at": points, "pulls": pulls},
        "Person": {"body": {"enum": list(BODIES)}},
        "Measured": {"source": keys["sources"]},
        "Progression": {"to": _exercise_ids(library), "sources": keys["sources"]},
        "Acceptance": {"to": _exercise_ids(library), "from": _exercise_ids(library)},
        "Ladder": {
            "goal": _exercise_ids(library),
            "entries": _exercise_ids(library),
            "standard": _standard(_exercise_ids(library)),
            "restrictions": keys["restrictions"],
        },
        "Criterion": {"test": {"enum": list(functional_tests())}},
        "StartAt": {"enter": _exercise_ids(library)},
        "Gate": {"before": _exercise_ids(library)},
        "LadderTest": {
            "test": {"enum": list(functional_tests())},
            "source": _with(keys["sources"], (COMMON_PRACTICE,)),
        },
        "PainRule": {"source": _with(keys["sources"], (COMMON_PRACTICE,))},
        "FlareUpRule": {"source": _with(keys["sources"], (COMMON_PRACTICE,))},
        "Exercise": {
            "position": {"enum": list(POSITIONS)},
            "variation-of": _exercise_ids(library),
            **{kind: keys[kind] for kind in ("equipment", "cautions", "restrictions", "sources")},
            **({"area": keys["areas"]} if library and library.vocabulary.areas else {}),
        },
    }
    return own.get(name, {})


def _keys(library: Library | None, kind: str) -> Schema:
    if library is None:
        return {"type": "string", "pattern": ID_PATTERN}
    return {"enum": list(getattr(library.vocabulary, kind))} if kind else {}


def _with(keys: Schema, words: tuple[str, ...]) -> Schema:
    return {"enum": [*words, *keys["enum"]]} if "enum" in keys else {"type": "string"}


def _exercise_ids(library: Library | None) -> Schema:
    """Ids of exercises are offered, and others accepted: a file may be written before the next."""
    known = [*library.exercises, *sorted(library.withheld)] if library else []
    other = {"type": "string", "pattern": ID_PATTERN}
    return {"anyOf": [{"enum": known}, other]} if known else other


def _standard(ids: Schema) -> Schema:
    """One exercise, or one for each action."""
    actions = TypeAdapter(OneAction).json_schema()
    return {
        "anyOf": [ids, {"type": "object", "propertyNames": actions, "additionalProperties": ids}]
    }


def _angles(properties: Schema) -> None:
    """`{joint: {movement: …}}` with the names there are."""
    for key in ("posture", "movement", "never"):
        if key in properties:
            into = properties[key]
            into = into["items"] if into["type"] == "array" else into
            least = 1 if key == "movement" else 0  # an item in which nothing moves says nothing
            value = into.pop("additionalProperties")["additionalProperties"]
            into["additionalProperties"] = False
            into["minProperties"] = least
            into["properties"] = {
                joint: {
                    "type": "object",
                    "properties": {movement: value for movement in movements},
                    "additionalProperties": False,
                    "minProperties": least,
                }
                for joint, movements in JOINTS.items()
            }


def _limit(axis: str) -> Schema:
    least = 1 if axis in RATIO_AXES else 0
    number: Schema = {"type": "number", "exclusiveMinimum": least}
    if axis in MOST_LIMITS:
        number["maximum"] = MOST_LIMITS[axis]
    if axis == "bearing":
        number = {"type": "string", "pattern": r"^\d+(\.\d+)?\s*%$"}
    return {"anyOf": [number, {"enum": ["off", False]}]}
