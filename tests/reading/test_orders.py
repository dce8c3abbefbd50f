"""Rows of an order: how they are read, what is wrong with them and where, and in what words."""

from __future__ import annotations

import json
import pathlib
from typing import Any

import jsonschema
import pytest
import yaml

from builders.reading import sound_library, told
from rungbook.ladder.order_words import order_in_words
from rungbook.model.quantity import LoadCeiling, parse_action
from rungbook.model.written import written
from rungbook.reading.schema import file_schema

ORDER = """
cuff:
  title: Cuff repair
  ordered-by: surgeon
  rows:
    - {action: shoulder flexion, kinds: [passive, assisted], up-to: 90, weeks: [0, 6]}
    - {action: knee extension, kinds: [active, resisted], between: [90, 45], ceiling: 5 kg, weeks: [12]}
    - {action: hip flexion, from: 20, up-to: 60, ceiling: effort 30 %, bearing: 20 %, ends: surgeon}
    - {brace: locked straight, ends: criterion, text: Straight leg raise without lag.}
  never: [{hip: {flexion: over 90, adduction: over 0}}]
"""


def test_rows_are_read_with_units_weeks_and_ends(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, vocabulary={"restrictions": ORDER})
    assert told(library) == []
    first, second, third, fourth = library.vocabulary.restrictions["cuff"].rows
    assert (first.action, first.kinds) == (
        parse_action("shoulder flexion"),
        ("passive", "assisted"),
    )
    assert (first.arc, first.weeks, first.ends) == ((None, 90.0), (0.0, 6.0), None)
    assert (second.ceiling, second.weeks) == (LoadCeiling("kg", 5.0), (12.0, None))
    assert second.arc == (-90.0, -45.0), "extension of the knee counts in degrees of flexion"
    assert (third.arc, third.ceiling) == ((20.0, 60.0), LoadCeiling("effort", 0.3))
    assert (third.most_bearing, third.ends) == (0.2, "surgeon")
    assert (fourth.brace, fourth.action) == ("locked straight", None)


def test_an_order_is_said_as_a_clinician_would(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path, vocabulary={"restrictions": ORDER})
    assert list(order_in_words(library.vocabulary.restrictions["cuff"])) == [
        "Shoulder flexion only passive or assisted, up to 90°, weeks 0 to 6.",
        "Knee extension only active or resisted, between 45° and 90° of flexion, at most 5 kg, "
        "from week 12 on.",
        "Hip flexion, from 20° to 60°, at most effort 30 %, weight bearing 20 %. "
        "It holds until the surgeon ends it.",
        "Brace locked straight. It holds until its criterion is met, whatever the date. "
        "Straight leg raise without lag.",
        "Never hip flexion over 90° with hip adduction over 0°.",
    ]


def test_what_is_written_out_again_is_read_as_the_same(tmp_path: pathlib.Path) -> None:
    library = sound_library(tmp_path / "a", vocabulary={"restrictions": ORDER})
    order = library.vocabulary.restrictions["cuff"]
    again = yaml.safe_dump({"cuff": written(order)}, sort_keys=False)
    other = sound_library(tmp_path / "b", vocabulary={"restrictions": again})
    assert told(other) == [] and other.vocabulary.restrictions["cuff"] == order
    json.dumps(written(order))


FAULTS = [
    ("{action: shoulder flexion, kinds: [lazy]}",
     "wrong-value: 'kinds' is 'lazy', not one of none, passive, assisted"),
    ("{action: shoulder flexon, up-to: 90}", "not an action such as 'ankle plantarflexion'"),
    ("{action: other-shoulder flexion, up-to: 90}", "leave out 'other-'"),
    ("{action: shoulder flexion}", "the row allows nothing and forbids nothing"),
    ("{up-to: 90}", "kinds, arc and ceiling are of an action: add one"),
    ("{weeks: [0, 6]}", "the row says nothing"),
    ("{action: shoulder flexion, up-to: 90 deg}", "wrong-value"),
    ("{action: shoulder flexion, from: 90, up-to: 30}", "nothing lies from 90° up to 30°"),
    ("{action: shoulder flexion, between: [0, 90], up-to: 30}", "'between' says both ends"),
    ("{action: knee extension, ceiling: 5}", "wrong-unit"),
    ("{action: knee extension, ceiling: 5 m}", "wrong-unit"),
    ("{action: knee extension, ceiling: effort 130 %}", "an effort from 0 to 100 %"),
    ("{action: knee extension, up-to: 30, weeks: [6, 2]}", "weeks from and to"),
    ("{action: knee extension, up-to: 30, weeks: 6}", "weeks from and to"),
    ("{action: knee extension, up-to: 30, ends: sometime}", "not one of date, surgeon, criterion"),
    ("{action: knee extension, up-to: 30, ends: date}", "but no week ends it"),
    ("{bearing: 120 %}", "not a share from 0 to 100 %"),
    ("{bearing: 20 %, until: 6}", "unknown key 'until'"),
]  # fmt: skip


@pytest.mark.parametrize(("row", "said"), FAULTS, ids=[row for row, _ in FAULTS])
def test_a_row_that_is_wrong_is_told_where_it_is(
    tmp_path: pathlib.Path, row: str, said: str
) -> None:
    text = f"cuff:\n  title: Cuff\n  rows:\n    - {row}\n"
    (found,) = told(sound_library(tmp_path, vocabulary={"restrictions": text}))
    assert found.startswith("vocabulary/restrictions.yml:4:") and said in found


# What JSON Schema cannot say: sums, order of two numbers, numbers within words.
ONLY_READING_KNOWS = {
    "{action: shoulder flexion, from: 90, up-to: 30}",
    "{action: knee extension, ceiling: effort 130 %}",
    "{action: knee extension, up-to: 30, weeks: [6, 2]}",
    "{bearing: 120 %}",
}


@pytest.mark.parametrize("row", [row for row, _ in FAULTS])
def test_the_schema_for_editors_refuses_the_same_rows(row: str) -> None:
    schema = jsonschema.Draft202012Validator(file_schema("restrictions"))
    order: dict[str, Any] = {"cuff": {"title": "Cuff", "rows": [yaml.safe_load(row)]}}
    assert schema.is_valid(order) is (row in ONLY_READING_KNOWS)


def test_the_schema_for_editors_takes_a_sound_order() -> None:
    schema = jsonschema.Draft202012Validator(file_schema("restrictions"))
    assert schema.is_valid(yaml.safe_load(ORDER))
