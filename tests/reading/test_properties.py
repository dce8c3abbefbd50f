"""Sound libraries are read without a finding; damaged ones never raise, and findings are real."""

import copy
import functools
import operator
import os
import pathlib
import random
import time
from collections.abc import Iterator
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders.library import library_folder, markdown
from builders.mutations import EXERCISES, damaged
from builders.reading import HOP, LADDER, SOUND, VOCABULARY, sound_library, told
from rungbook.model.library import Library
from rungbook.reading.read import read_library
from rungbook.reading.yaml_values import read_yaml

SHARED_FOLDER = [HealthCheck.function_scoped_fixture, HealthCheck.too_slow]


def assert_findings_are_real(library: Library) -> None:
    """Each finding lies in a file that is there, on a line that is there, in printable words."""
    for finding in library.findings:
        path = library.root / finding.place.file
        assert path.exists() or finding.place.file == "library.yml", finding
        if path.is_file():
            text = path.read_bytes().decode("utf-8", "replace").removeprefix("\ufeff")
            lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
            assert 1 <= finding.place.line <= len(lines), finding
            assert 1 <= finding.place.column <= len(lines[finding.place.line - 1]) + 1, finding
        assert finding.message.isprintable(), finding
        assert "<script" not in finding.message


@settings(max_examples=150, deadline=None, suppress_health_check=SHARED_FOLDER)
@given(exercise=EXERCISES)
def test_a_sound_exercise_is_read_without_a_finding(
    tmp_path: pathlib.Path, exercise: dict[str, object]
) -> None:
    library = sound_library(tmp_path, {"calf/raise": exercise})
    assert told(library) == []
    assert library.exercises["raise"].title == exercise["title"]


@settings(max_examples=150, deadline=None, suppress_health_check=SHARED_FOLDER)
@given(exercise=EXERCISES)
def test_every_written_value_has_its_place(
    tmp_path: pathlib.Path, exercise: dict[str, object]
) -> None:
    library = sound_library(tmp_path, {"calf/raise": exercise})
    lines = (library.root / "exercises/calf/raise.md").read_text("utf-8").split("\n")
    for key in exercise:
        place = library.exercises["raise"].source.key_place((key,))
        assert lines[place.line - 1][place.column - 1 :].startswith(f"{key}:")


@pytest.mark.parametrize("seed", range(0, 1500, 50))
def test_damage_never_raises_and_every_finding_is_real(tmp_path: pathlib.Path, seed: int) -> None:
    files = {
        "exercises/calf/raise.md": SOUND,
        "exercises/calf/hop.md": markdown(HOP),
        "ladders/calf.md": LADDER,
        "library.yml": "name: Test\nlimits: {demand: 1.5}\npain-rule: {during: 5, source: book}\n",
        **{f"vocabulary/{kind}.yml": str(text) for kind, text in VOCABULARY.items()},
    }
    folder = library_folder(tmp_path, files=files)
    for number in range(seed, seed + 50):
        dice = random.Random(number)
        hit = dice.sample(sorted(files), dice.randint(1, 2))
        for name in files:
            text = damaged(files[name], number) if name in hit else files[name]
            (folder / name).write_text(text, encoding="utf-8", errors="surrogatepass", newline="")
        assert_findings_are_real(read_library(folder))


RICH = {
    "title": "Raise", "area": "calf", "also-called": ["x"], "sides": "one", "position": "sitting",
    "incline": 5, "posture": {"knee": {"flexion": 5}}, "works": ["ankle plantarflexion"],
    "movement": [{"ankle": {"plantarflexion": [0, 30]}}], "stride": "0.5 m", "front": "other",
    "contacts": [{"at": "hands", "surface": "counter", "height": "1 m", "share": "5 %"}],
    "assist": [{"at": "foot", "by": "towel", "share": "50 %"}],
    "resistance": [
        {"band": {"start": "1 N", "end": "9 N"}, "at": "foot", "pulls": {"toward": "hip"}},
    ],
    "dose": {"sets": 3, "reps": "8-12", "up": "2 s", "sessions": "3 per week"},
    "equipment": ["counter"], "cautions": ["repair"], "sources": ["book"],
    "measured": [{"works": "ankle plantarflexion", "value": "1 Nm/kg", "source": "book"}],
    "pictures": [{"file": "x.jpg", "alt": "x"}], "reviewed": {"date": "2026-05-01", "by": "x"},
    "back-off": ["x"], "progressions": [{"to": "hop", "when": ["x"], "after": "2 weeks"}],
    "accepts": [{"check": "single-way", "because": "x", "until": "2027-01-01"}],
    "variation-of": "hop",
}  # fmt: skip
FILES: dict[str, dict[str, Any]] = {
    "exercises/calf/rich.md": RICH,
    "ladders/rich.md": {
        "title": "L", "works": "knee extension", "condition": "tendon", "goal": "hop",
        "goal-met": ["x"], "entries": {"high": "raise"}, "restrictions": ["hip"],
        "pain-rule": {"during": 3, "source": "book"}, "limits": {"demand": 1.4}, "accepts": [],
    },
    "library.yml": {
        "name": "x", "language": "en", "person": {"mass": "70 kg", "body": "male"},
        "limits": {"bearing": "30 %"}, "levers": ["range"], "review": {"every": "2 years"},
        "flare-up": [{"lasts": "x", "do": "y", "source": "book"}], "pain-rule": {"during": 5},
        "site": {"url": "https://example.org"}, "checks": {"single-way": "off"},
    },
    "vocabulary/restrictions.yml": {
        "hip": {"title": "x", "never": [{"hip": {"flexion": "over 9"}}]},
    },
    "vocabulary/equipment.yml": {"counter": "x", "towel": {"title": "x", "assists": "felt"}},
    "vocabulary/sources.yml": {"book": {"title": "x", "year": 2001, "doi": "10.1000/1"}},
}  # fmt: skip
ODD: list[Any] = [None, True, 7, -1.5, "", "x", "9 kg", [], ["x"], [["x"]], {}, {"x": "y"}, [{}]]


def spots(value: Any, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, item in items:
        yield (*path, key)
        if isinstance(item, (dict, list)):
            yield from spots(item, (*path, key))


@pytest.mark.parametrize("file", FILES)
def test_any_value_in_any_spot_is_survived(tmp_path: pathlib.Path, file: str) -> None:
    folder = sound_library(tmp_path).root
    for name, keys in FILES.items():
        (folder / name).write_text(written(name, keys), "utf-8")
    (folder / "pictures").mkdir()
    (folder / "pictures/x.jpg").write_bytes(b"x")
    assert told(read_library(folder)) == []
    for *path, last in spots(FILES[file]):
        for odd in ODD:
            keys = copy.deepcopy(FILES[file])
            functools.reduce(operator.getitem, path, keys)[last] = odd
            (folder / file).write_text(written(file, keys), "utf-8")
            assert_findings_are_real(read_library(folder))


def written(name: str, keys: dict[str, Any]) -> str:
    text = yaml.safe_dump(keys, sort_keys=False)
    return f"---\n{text}---\n" if name.endswith(".md") else text


@pytest.mark.skipif("RUNGBOOK_FUZZ_SECONDS" not in os.environ, reason="asked for by .ci/run")
def test_damage_for_as_long_as_asked(tmp_path: pathlib.Path) -> None:
    folder = library_folder(tmp_path, {"calf/raise": SOUND, "calf/hop": HOP}, {"calf": LADDER})
    end = time.monotonic() + float(os.environ["RUNGBOOK_FUZZ_SECONDS"])
    seed = 1_000_000
    while time.monotonic() < end:
        seed += 1
        text = damaged(SOUND, seed)
        path = folder / "exercises/calf/raise.md"
        path.write_text(text, encoding="utf-8", errors="surrogatepass", newline="")
        assert_findings_are_real(read_library(folder))
    print(f"{seed - 1_000_000} damaged libraries survived")


@settings(max_examples=100, deadline=None, suppress_health_check=SHARED_FOLDER)
@given(content=st.binary(max_size=300))
def test_any_bytes_at_all_are_survived(tmp_path: pathlib.Path, content: bytes) -> None:
    front = b"---\n" + content + b"\n---\n"
    library = sound_library(tmp_path, files={"exercises/calf/raise.md": front})
    assert_findings_are_real(library)


@settings(max_examples=500, deadline=None)
@given(text=st.text(max_size=200))
def test_any_text_at_all_is_values_or_a_fault(text: str) -> None:
    value, faults = read_yaml(text)
    for fault in faults:
        assert fault.line >= 0
    assert value is None or isinstance(value, (bool, int, float, str, tuple, dict))


def test_the_order_of_findings_is_that_of_their_places(tmp_path: pathlib.Path) -> None:
    library = sound_library(
        tmp_path,
        {"calf/raise": {"titel": "x"}, "calf/a": {"sides": "three"}},
        settings="nmae: x\n",
    )
    keys = [finding.sort_key() for finding in library.findings]
    assert keys == sorted(keys)
