"""The Bundle against FHIR R5, by the models of fhir.resources (made from HL7's definitions)."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest
from fhir.resources.activitydefinition import ActivityDefinition
from fhir.resources.bundle import Bundle
from fhir.resources.plandefinition import PlanDefinition
from fhir.resources.structuredefinition import StructureDefinition

from builders.exports import DEMO, awkward_library, measured_library
from rungbook.exporting.fhir import fhir_bundle, fhir_json
from rungbook.ladder.measured import MeasuredLibrary

# hl7.org/fhir/R5: codes of related-artifact-type-all and of action-selection-behavior; datatypes
# `id` and the pattern of constraint cnl-0 (from memory).
ARTIFACTS = {"citation", "successor", "predecessor", "derived-from"}
ID = re.compile(r"[A-Za-z0-9\-.]{1,64}")
NAME = re.compile(r"[A-Z]([A-Za-z0-9_]){1,254}")
PARTS = ("demo", "awkward", "with a site")


@pytest.fixture(scope="module", params=PARTS)
def measured(request: Any, tmp_path_factory: pytest.TempPathFactory) -> MeasuredLibrary:
    if request.param == "demo":
        return measured_library(DEMO)
    url = "https://clinic.example/rungs" if request.param == "with a site" else ""
    return awkward_library(tmp_path_factory.mktemp("library"), url)


@pytest.fixture(scope="module")
def bundle(measured: MeasuredLibrary) -> dict[str, Any]:
    return json.loads(fhir_json(measured))


def resources(bundle: dict[str, Any], kind: str) -> dict[str, dict[str, Any]]:
    found = [entry["resource"] for entry in bundle["entry"]]
    return {one["id"]: one for one in found if one["resourceType"] == kind}


def test_the_bundle_is_valid_and_comes_back_the_same(bundle: dict[str, Any]) -> None:
    read = Bundle.model_validate(bundle)
    assert json.loads(read.model_dump_json()) == bundle
    kinds = {type(entry.resource) for entry in read.entry}
    assert kinds == {ActivityDefinition, PlanDefinition, StructureDefinition}


def test_every_exercise_and_ladder_is_there(
    measured: MeasuredLibrary, bundle: dict[str, Any]
) -> None:
    activities = resources(bundle, "ActivityDefinition")
    assert len(activities) == len(measured.library.exercises)
    assert len(resources(bundle, "PlanDefinition")) == len(measured.library.ladders)
    titles = {one.title for one in measured.library.exercises.values()}
    assert {one["title"] for one in activities.values()} == titles


def test_ids_names_and_addresses_keep_the_rules(bundle: dict[str, Any]) -> None:
    found = [entry["resource"] for entry in bundle["entry"]]
    assert all(ID.fullmatch(one["id"]) for one in found)
    assert all(NAME.fullmatch(one["name"]) for one in found)
    addresses = [entry["fullUrl"] for entry in bundle["entry"]]
    assert len(set(addresses)) == len(addresses)
    assert addresses == [one["url"] for one in found]
    assert all(re.match(r"https?://|urn:uuid:", address) for address in addresses)


def test_what_the_brief_of_an_exercise_is(bundle: dict[str, Any]) -> None:
    for one in resources(bundle, "ActivityDefinition").values():
        assert (one["kind"], one["intent"]) == ("ServiceRequest", "proposal")
        assert (one["status"] == "active") == ("lastReviewDate" in one)
        assert all(site.keys() == {"text"} for site in one.get("bodySite", ())), "no code system"
        assert "licensed clinician" in one["usage"]


def test_progressions_are_successors_both_ways(
    measured: MeasuredLibrary, bundle: dict[str, Any]
) -> None:
    activities = resources(bundle, "ActivityDefinition")
    by_address = {
        (one["url"] + f"|{one['version']}" if "version" in one else one["url"]): one["title"]
        for one in activities.values()
    }
    edges: dict[str, set[tuple[str, str]]] = {"successor": set(), "predecessor": set()}
    for one in activities.values():
        for artifact in one.get("relatedArtifact", ()):
            assert artifact["type"] in ARTIFACTS
            if artifact["type"] in edges:
                edges[artifact["type"]].add((one["title"], by_address[artifact["resource"]]))
    titles = {id: one.title for id, one in measured.library.exercises.items()}
    graph = {(titles[easier], titles[harder]) for easier, harder in measured.graph.edges}
    assert edges["successor"] == graph
    assert edges["predecessor"] == {(harder, easier) for easier, harder in graph}


def test_a_plan_orders_nothing_in_time(measured: MeasuredLibrary, bundle: dict[str, Any]) -> None:
    assert "relatedAction" not in json.dumps(bundle)
    for id, plan in resources(bundle, "PlanDefinition").items():
        (choice,) = plan["action"]
        assert choice["selectionBehavior"] == "at-most-one"
        titles = [measured.library.exercises[rung].title for rung in measured.ladders[id].rungs]
        assert [action["title"] for action in choice["action"]] == titles


def test_doses_are_in_the_documented_extension(
    measured: MeasuredLibrary, bundle: dict[str, Any]
) -> None:
    defined = {one["url"]: one for one in resources(bundle, "StructureDefinition").values()}
    doses = 0
    for one in resources(bundle, "ActivityDefinition").values():
        for extension in one.get("extension", ()):
            elements = defined[extension["url"]]["differential"]["element"]
            slices = {e["sliceName"]: e["id"] for e in elements if "sliceName" in e}
            types = {e["id"]: e["type"][0]["code"] for e in elements if "type" in e}
            for part in extension["extension"]:
                kind = types[f"{slices[part['url']]}.value[x]"]
                assert f"value{kind[0].upper()}{kind[1:]}" in part
            doses += extension["url"].endswith("exercise-dose")
    with_dose = [e for e in measured.library.exercises.values() if e.dose]
    assert doses == len(with_dose)


def test_frequencies_fit_the_timing_of_the_standard(bundle: dict[str, Any]) -> None:
    """2.5 sessions a week are 5 in 2 weeks: `frequency` is a whole number (R5, Timing)."""
    activities = resources(bundle, "ActivityDefinition")
    if "easy" in activities:
        assert activities["easy"]["timingTiming"]["repeat"] == {
            "duration": 90, "durationUnit": "s", "frequency": 5, "period": 2, "periodUnit": "wk",
        }  # fmt: skip
        assert activities["hard"]["timingTiming"]["repeat"] == {
            "frequency": 2, "period": 1, "periodUnit": "d",
        }  # fmt: skip


def test_sources_are_citations(bundle: dict[str, Any]) -> None:
    activities = resources(bundle, "ActivityDefinition")
    if "easy" in activities:
        cited = [a for a in activities["easy"]["relatedArtifact"] if a["type"] == "citation"]
        assert cited == [
            {
                "type": "citation",
                "label": "one",
                "citation": "A B. A study. 2020.",
                "document": {"url": "https://doi.org/10.1000/182", "title": "A study."},
            },
            {
                "type": "citation",
                "label": "two",
                "citation": "A page.",
                "document": {"url": "https://example.org/a?b=c&d", "title": "A page"},
            },
        ]


def test_the_same_library_gives_the_same_bytes(measured: MeasuredLibrary) -> None:
    assert fhir_json(measured) == fhir_json(measured)
    assert fhir_bundle(measured)["type"] == "collection"


def test_a_range_of_sessions_is_a_frequency_from_and_to(bundle: dict[str, Any]) -> None:
    """hl7.org/fhir/R5/datatypes.html#Timing: frequency and frequencyMax a period."""
    for one in resources(bundle, "ActivityDefinition").values():
        if one["title"] == "Long name":
            repeat = one["timingTiming"]["repeat"]
            assert repeat == {"frequency": 2, "frequencyMax": 3, "period": 1, "periodUnit": "wk"}
            (dose,) = (x for x in one["extension"] if x["url"].endswith("exercise-dose"))
            parts = {part["url"]: part["valueRange"] for part in dose["extension"]}
            assert parts == {
                "setsRange": {"low": {"value": 2}, "high": {"value": 3}},
                "holdRange": {"low": {"value": 10}, "high": {"value": 30}},
            }
