"""The JSON Schemas say what reading says, judged by an independent validator (jsonschema)."""

import json
import pathlib
from collections.abc import Iterator
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from jsonschema import Draft202012Validator

from builders.mutations import EXERCISES
from builders.reading import HOP, LADDER, SOUND, VOCABULARY, changed, sound_library
from builders.rich import RICH_KINDS, as_file, odd_versions, rich_library
from rungbook.cli import main
from rungbook.reading.core_schema import Value
from rungbook.reading.front_matter import Parts, split
from rungbook.reading.read import read_library
from rungbook.reading.schema import FILES, VOCABULARIES, all_schemas, descriptions, file_schema
from rungbook.reading.yaml_values import read_yaml

GROWN = file_schema("exercise")
DEMO = pathlib.Path(__file__).parents[2] / "library"


def plain(value: Value) -> Any:
    """YAML values as JSON has them."""
    if isinstance(value, dict):
        return {key: plain(item) for key, item in value.items()}
    return [plain(item) for item in value] if isinstance(value, tuple) else value


def front_matter(text: str) -> Any:
    parts = split(text, "file")
    assert isinstance(parts, Parts)
    return plain(read_yaml(parts.yaml)[0])


def faults(schema: dict[str, Any], value: Any) -> list[str]:
    return [error.message[:200] for error in Draft202012Validator(schema).iter_errors(value)]


def demo_files() -> Iterator[tuple[str, pathlib.Path]]:
    yield "library", DEMO / "library.yml"
    yield from ((kind, DEMO / "vocabulary" / f"{kind}.yml") for kind in VOCABULARIES)
    yield from (("exercise", path) for path in sorted(DEMO.glob("exercises/*/*.md")))
    yield from (("ladder", path) for path in sorted(DEMO.glob("ladders/*.md")))


@pytest.mark.parametrize("kind", FILES)
def test_each_schema_is_a_schema(kind: str) -> None:
    Draft202012Validator.check_schema(file_schema(kind))
    Draft202012Validator.check_schema(file_schema(kind, read_library(DEMO)))


def test_the_demo_library_meets_its_schemas() -> None:
    library = read_library(DEMO)
    schemas = {kind: file_schema(kind, library) for kind in FILES}
    rejected = {}
    for kind, path in demo_files():
        text = path.read_text("utf-8")
        value = front_matter(text) if path.suffix == ".md" else plain(read_yaml(text)[0] or {})
        if found := faults(schemas[kind], value):
            rejected[path.name] = found
    concerned = {finding.place.file.rpartition("/")[2] for finding in library.findings}
    assert {name: found for name, found in rejected.items() if name not in concerned} == {}


def test_one_schema_takes_every_kind_of_file() -> None:
    schema = all_schemas()
    Draft202012Validator.check_schema(schema)
    assert faults(schema, front_matter(SOUND)) == []
    assert faults(schema, front_matter(LADDER)) == []
    assert faults(schema, {"title": 3}) != []


def test_every_key_of_every_record_is_described() -> None:
    for kind in FILES:
        schema = file_schema(kind)
        entry = schema if "properties" in schema else schema["additionalProperties"]["anyOf"][1]
        for part in (entry, *schema["$defs"].values()):
            for key, about in part.get("properties", {}).items():
                assert about.get("description"), (kind, key)


def test_nothing_is_described_that_is_not_there() -> None:
    there: dict[str, set[str]] = {}
    for kind, record in FILES.items():
        schema = file_schema(kind)
        entry = schema if "properties" in schema else schema["additionalProperties"]["anyOf"][1]
        there.setdefault(record.__name__, set()).update(entry["properties"])
        for name, part in schema["$defs"].items():
            there.setdefault(name, set()).update(part["properties"])
    for name, keys in descriptions().items():
        assert set(keys) <= there[name], name


# One change each; reading tells a fault of shape, so the schema must reject it.
REJECTED = [
    ("title: Heel raise\n", ""),
    ("title: Heel raise", "titel: Heel raise"),
    ("title: Heel raise", "title: 2024"),
    ("title: Heel raise", "title: ''"),
    ("sides: both", "id: raise"),
    ("sides: both", "sides: three"),
    ("position: standing", "position: standin"),
    ("works: ankle plantarflexion\n", ""),
    ("works: ankle plantarflexion", "works: ankle"),
    ("works: ankle plantarflexion", "works: [knee flexion, ankle abduction]"),
    ("{ankle: {plantarflexion: [0, 30]}}", "{ancle: {plantarflexion: [0, 30]}}"),
    ("{ankle: {plantarflexion: [0, 30]}}", "{ankle: {abduction: [0, 30]}}"),
    ("[0, 30]", "[0]"),
    ("[0, 30]", "[0, 400]"),
    ("[0, 30]", "30"),
    ("at: forefeet", "at: forefoots"),
    ("{at: forefeet, surface: floor}", "{surface: floor}"),
    ("share: 5 %", "share: 5"),
    ("share: 5 %", "share: 105 %"),
    ("share: 5 %", "share: 5 kg"),
    ("sets: 3", "sets: 0"),
    ("sets: 3", "sets: three"),
    ("reps: 12", "reps: 0"),
    ("reps: 12", "reps: twelve"),
    ("reps: 12", "reps: 12, duration: 30 s"),
    ("rest: 60 s", "rest: 60"),
    ("rest: 60 s", "rest: 60 kg"),
    ("rest: 60 s", "rest: -1 s"),
    ("sessions: 3 per week", "sessions: 3 per month"),
    ("equipment: [counter]", "equipment: counter"),
    ("sides: both", "sides: both\neffort: 3"),
    ("sides: both", "passive: maybe"),
    ("sides: both", "incline: 120"),
    ("sides: both", "posture: {knee: {flexion: bent}}"),
    ("sides: both", "posture: {other-hip: {flexion: 3}}"),
    ("sides: both", "stands-on: other"),
    ("sides: both", "ballistic: true"),
    ("sides: both", "passive: true\nresistance: [{weight: 2 kg, at: hand}]"),
    ("sides: both", "resistance: [{at: hand}]"),
    ("sides: both", "resistance: [{weight: 2 kg}]"),
    ("sides: both", "resistance: [{push: 2 N, at: hand}]"),
    ("sides: both", "resistance: [{push: 2 N, at: hand, pulls: left}]"),
    ("sides: both", "resistance: [{weight: 2 kg, at: hand, pulls: up}]"),
    ("sides: both", "assist: [{at: foot}]"),
    ("sides: both", "assist: [{at: foot, share: 5 %, weight: 1 kg}]"),
    ("sides: both", "assist: [{at: foot, force: 5 N}]"),
    ("sides: both", "reviewed: {date: yesterday, by: me}"),
    ("sides: both", "measured: [{works: knee flexion, value: 3, source: book}]"),
    ("sides: both", "measured: [{works: knee flexion, value: 3 Nm}]"),
    ("sides: both", "stride: 70"),
    ("surface: floor}", "surface: floor, friction: 0.3}"),
    ("surface: floor}", "surface: floor, height: 0.3 m}"),
    ("surface: floor}", "surface: floor, distance: 0.3 m}"),
    ("to: hop, ", ""),
    ("when: [3 sets of 15]", "when: 3 sets of 15"),
    ("to: hop", "to: hop, after: soon"),
    ("cautions: [repair]", "cautions: [repiar]"),
    ("equipment: [counter]", "equipment: [conter]"),
    ("surface: counter", "surface: flor"),
]


@pytest.mark.parametrize(("old", "new"), REJECTED, ids=lambda value: value[:40])
def test_what_reading_rejects_for_its_shape_the_schema_rejects(
    tmp_path: pathlib.Path, old: str, new: str
) -> None:
    text = changed(old, new)
    library = sound_library(tmp_path, {"calf/raise": text})
    assert library.findings
    assert faults(file_schema("exercise", library), front_matter(text)) != []


# One change each; reading accepts it, so the schema must too.
ACCEPTED = [
    ("sides: both", "also-called: [x]"),
    ("reps: 12", "reps: 8-12"),
    ("reps: 12", "hold: 30 s"),
    ("reps: 12,", "duration: 1 min,"),
    ("rest: 60 s", "rest: 0 s"),
    ("works: ankle plantarflexion", "works: [ankle plantarflexion, knee extension]"),
    ("sides: both", "resistance: [{push: 2 N, at: hand, pulls: {toward: hip}}, {effort: 30 %}]"),
    ("sides: both", "resistance: [{band: {start: 0 N, end: 9 N}, at: hand, toward: hip}]"),
    ("sides: both", "assist: [{at: foot, by: therapist, share: 50 %}]"),
    ("sides: both", "posture: {trunk: {forward-lean: 20}}"),
    ("sides: both", "sides: one\nposture: {other-hip: {flexion: -3.5}}\nstands-on: other"),
    ("surface: floor}", "surface: wall, distance: 0.3 m}"),
    ("to: hop", "to: hop, after: 2 weeks"),
    ("equipment: [counter]", "equipment: []"),
    ("dose: {", "dose: {effort: 4-6 of 10, "),
]


@pytest.mark.parametrize(("old", "new"), ACCEPTED, ids=lambda value: value[:40])
def test_what_reading_accepts_the_schema_accepts(
    tmp_path: pathlib.Path, old: str, new: str
) -> None:
    text = changed(old, new)
    library = sound_library(tmp_path, {"calf/raise": text})
    assert library.findings == ()
    assert faults(file_schema("exercise", library), front_matter(text)) == []


@settings(max_examples=150, deadline=None)
@given(exercise=EXERCISES)
def test_the_schema_accepts_every_sound_exercise(exercise: dict[str, Any]) -> None:
    assert faults(GROWN, exercise) == []


# Where a schema cannot know better: an exercise or a picture that is not there, a person out of
# range, and an empty value where an item needs one of several keys.
ONLY_READING_KNOWS = {
    ("pictures", 0, "file"), ("progressions", 0, "to"), ("variation-of",), ("goal",),
    ("entries", "high"), ("person", "mass"), ("assist", 0, "share"), ("resistance", 0, "band"),
    ("resistance", 0, "at"), ("resistance", 0, "pulls"), ("pain-rule", "source"),
    ("back-off",), ("back-off", 0), ("goal-met",), ("goal-met", 0), ("progressions", 0, "when"),
    ("progressions", 0, "when", 0),
}  # fmt: skip


@pytest.mark.parametrize(("file", "kind"), RICH_KINDS.items())
def test_schema_and_reading_agree_on_any_value_in_any_spot(
    tmp_path: pathlib.Path, file: str, kind: str
) -> None:
    folder = rich_library(tmp_path)
    validator = Draft202012Validator(file_schema(kind, read_library(folder)))
    agreed = 0
    for path, keys in odd_versions(file):
        (folder / file).write_text(as_file(file, keys), "utf-8")
        told = any(finding.place.file == file for finding in read_library(folder).findings)
        rejected = not validator.is_valid(keys)
        assert told == rejected or (told and path in ONLY_READING_KNOWS), (path, keys)
        agreed += told == rejected
    assert agreed > 50


def test_a_variation_needs_only_a_title(tmp_path: pathlib.Path) -> None:
    schema = file_schema("exercise", sound_library(tmp_path))
    assert faults(schema, {"title": "Faster", "variation-of": "raise"}) == []
    assert faults(schema, {"title": "Faster", "movement": [{"knee": {"flexion": [0, 9]}}]}) != []
    assert faults(schema, {"variation-of": "raise"}) != []


def test_ids_that_are_not_written_yet_are_accepted(tmp_path: pathlib.Path) -> None:
    schema = file_schema("exercise", sound_library(tmp_path))
    assert faults(schema, {"title": "x", "progressions": [{"to": "not-yet"}]}) == []
    assert faults(schema, {"title": "x", "progressions": [{"to": "Not Yet"}]}) != []


@pytest.mark.parametrize(
    ("kind", "value", "sound"),
    [
        ("cautions", {"repair": "Recent repair"}, True),
        ("cautions", {"repair": {"title": "Recent repair", "red-flag": True}}, True),
        ("cautions", {"repair": {"text": "x"}}, False),
        ("cautions", {"Re pair": "x"}, False),
        ("cautions", {"repair": {"title": "x", "redflag": True}}, False),
        ("restrictions", {"hip": {"title": "x", "never": [{"hip": {"flexion": "over 90"}}]}}, True),
        ("restrictions", {"hip": {"title": "x", "never": [{"hip": {"flexion": 90}}]}}, False),
        ("restrictions", {"hip": {"title": "x", "never": [{"hp": {"flexion": "over 9"}}]}}, False),
        ("library", {}, True),
        ("library", {"limits": {"demand": 1.4, "speed": "off", "bearing": "30 %"}}, True),
        ("library", {"limits": {"demand": 0.9}}, False),
        ("library", {"limits": {"demnad": 1.4}}, False),
        ("library", {"limits": {"bearing": 30}}, False),
        ("library", {"person": {"mass": 70}}, False),
        ("library", {"checks": {"reading-grade": "loud"}}, False),
        ("library", {"review": {"every": "soon"}}, False),
        ("ladder", {"title": "x", "goal": "hop", "entries": {"high": "hop"}}, True),
        ("ladder", {"title": "x", "entries": {"high": "hop"}}, False),
        ("ladder", {"title": "x", "goal": "hop", "entries": {"highest": "hop"}}, False),
        ("ladder", {"title": "x", "goal": "hop"}, False),
        ("ladder", {"title": "x", "goal": "hop", "entries": {}}, False),
        ("ladder", {"title": "x", "goal": "a", "entries": {"low": "a"}, "pain-rule": {}}, False),
    ],
)
def test_other_files_are_judged_alike(
    tmp_path: pathlib.Path, kind: str, value: Any, sound: bool
) -> None:
    library = sound_library(tmp_path, vocabulary=VOCABULARY)
    assert (faults(file_schema(kind, library), value) == []) is sound
    assert HOP["title"] == "Hop"


def test_the_command_prints_a_schema(tmp_path: pathlib.Path) -> None:
    folder = str(sound_library(tmp_path).root)
    done = CliRunner().invoke(main, ["schema", "exercise", "--library", folder])
    assert done.exit_code == 0
    schema = json.loads(done.stdout)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["properties"]["cautions"]["items"] == {"enum": ["repair"]}


def test_the_command_needs_no_library(tmp_path: pathlib.Path) -> None:
    nowhere = str(tmp_path / "nowhere")
    done = CliRunner().invoke(main, ["schema", "--library", nowhere])
    assert done.exit_code == 0
    assert set(json.loads(done.stdout)["$defs"]) == set(FILES)


def test_the_command_writes_one_file_a_kind(tmp_path: pathlib.Path) -> None:
    into = tmp_path / "schema"
    folder = str(sound_library(tmp_path).root)
    done = CliRunner().invoke(main, ["schema", "--library", folder, "--output", str(into)])
    assert done.exit_code == 0
    assert {path.stem for path in into.iterdir()} == set(FILES)


def test_a_validator_that_reads_yaml_1_1_takes_off_as_well() -> None:
    """YAML 1.1 (yaml.org/type/bool.html) makes false of `off`; PyYAML does."""
    import yaml

    text = "limits: {bearing: off, demand: off}\nchecks: {missing-source: off}\n"
    values = yaml.safe_load(text)
    assert values["limits"] == {"bearing": False, "demand": False}
    schema = file_schema("library")
    assert not faults(schema, values)
    assert not faults(schema, {**values, "limits": {"bearing": "off"}})
    assert faults(schema, {"limits": {"bearing": True}})


def test_false_means_off_when_it_is_read(tmp_path: pathlib.Path) -> None:
    settings = "limits: {bearing: false}\nchecks: {missing-source: false}\n"
    library = sound_library(tmp_path, settings=settings)
    assert not library.findings
    assert library.settings.limits == {"bearing": "off"}
    assert library.settings.checks == {"missing-source": "off"}
