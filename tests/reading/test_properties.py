"""Sound libraries are read without a finding; damaged ones never raise, and findings are real."""

import os
import pathlib
import random
import time

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builders.library import library_folder, markdown
from builders.mutations import EXERCISES, damaged
from builders.reading import HOP, LADDER, SOUND, VOCABULARY, sound_library, told
from builders.rich import RICH_KINDS, as_file, odd_versions, rich_library
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


@pytest.mark.parametrize("file", RICH_KINDS)
def test_any_value_in_any_spot_is_survived(tmp_path: pathlib.Path, file: str) -> None:
    folder = rich_library(tmp_path)
    assert told(read_library(folder)) == []
    for _, keys in odd_versions(file):
        (folder / file).write_text(as_file(file, keys), "utf-8")
        assert_findings_are_real(read_library(folder))


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
