"""A message says the true way out: what it tells to write is then taken."""

from __future__ import annotations

import pathlib

import pytest

from builders.reading import SOUND, changed, sound_library, told

CASES = [
    # (what is written, in its place, what is told of it)
    ("at: forefeet", "at: forehead",
     "raise.md:9:10 wrong-value: 'forehead' is not a point of the body: write 'head'"),
    ("at: forefeet", "at: soles",
     "raise.md:9:10 wrong-value: 'soles' is not a point of the body: write 'feet'"),
    ("{ankle: {plantarflexion: [0, 30]}}", "{neck: {retraction: [0, 3 cm]}}",
     "raise.md:7:20 wrong-value: 'retraction' is not a movement of the neck: did you mean "
     "'rotation'? It has flexion, extension, side-bend, rotation"),
    ("equipment: [counter]", "equipment: [own hands]",
     "raise.md:12:13 unknown-reference: there is no piece of equipment 'own hands': a key is made "
     "of a-z, 0-9 and hyphens: write 'own-hands' here, and 'own-hands: own hands' in "
     "vocabulary/equipment.yml"),
    ("[3 sets of 15]", "[{{sets}} sets of 15]",
     "raise.md:16:23 wrong-value: braces begin keys and values here: put the text that begins "
     "with '{{' in quotes, such as '{{hold}}', and for a list of keys write one brace only"),
    ("{to: hop, ", "{to: hop, because: harder, longer, and faster, ",
     "raise.md:16:32 unknown-field: unknown key 'longer': a comma ends a text between braces: put "
     "it in quotes, because: 'harder, longer, and faster'",
     "raise.md:16:40 unknown-field: unknown key 'and faster': a comma ends a text between braces: "
     "put it in quotes, because: 'harder, longer, and faster'"),
    ("[3 sets of 15]", "[3 sets of 15: no pain]",
     "raise.md:16:22 unknown-field: unknown key '3 sets of 15': a colon makes a key of what "
     "precedes it: put it in quotes, '3 sets of 15: no pain'"),
    ("[repair]", "[repair, note: hot]",
     "raise.md:13:20 wrong-value: 'cautions' is keys with values, not text: a colon or brace makes "
     "keys of a text: put it in quotes"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "expected"), [(a, b, c) for a, b, *c in CASES])
def test_the_way_out_is_told(
    tmp_path: pathlib.Path, old: str, new: str, expected: list[str]
) -> None:
    library = sound_library(tmp_path, exercises={"calf/raise": changed(old, new)})
    assert told(library) == expected


@pytest.mark.parametrize(
    ("line", "way_out"),
    [
        ("title: Heel: raise", "put the text after the first one in quotes"),
        ("title: @home", "a text may not begin with this character: put the text in quotes"),
        ("title: [Heel raise", "a list that is opened and never closed"),
        ("title: {a: Heel raise", "a brace that is opened and never closed"),
        ('title: "Heel raise', "a quote that is opened and never closed: close it"),
        ("\ttitle: Heel raise", "a tab stands where spaces indent: write spaces"),
    ],
)
def test_broken_yaml_is_told_with_its_usual_cause(
    tmp_path: pathlib.Path, line: str, way_out: str
) -> None:
    text = changed("title: Heel raise", line)
    (finding, *_) = told(sound_library(tmp_path, exercises={"calf/raise": text}))
    assert "broken YAML" in finding
    assert way_out in finding


def test_a_comma_in_a_title_between_braces_wants_quotes(tmp_path: pathlib.Path) -> None:
    bare = {"areas": "calf: {title: Elbow, wrist and grip}\n"}
    (finding,) = told(sound_library(tmp_path / "bare", vocabulary=bare))
    assert finding.endswith("put it in quotes, title: 'Elbow, wrist and grip'")
    quoted = {"areas": "calf: {title: 'Elbow, wrist and grip'}\n"}
    assert told(sound_library(tmp_path / "quoted", vocabulary=quoted)) == []


def test_the_key_that_is_told_for_words_with_a_blank_is_taken(tmp_path: pathlib.Path) -> None:
    text = changed("equipment: [counter]", "equipment: [own-hands]")
    equipment = {"equipment": "counter: Counter\nown-hands: own hands\n"}
    assert told(sound_library(tmp_path, {"calf/raise": text}, vocabulary=equipment)) == []


@pytest.mark.parametrize("fault", ["titel: Hop\n", "title: [Hop\n", "title: Hop\nsides: three\n"])
def test_a_file_with_an_error_of_its_own_is_there_all_the_same(
    tmp_path: pathlib.Path, fault: str
) -> None:
    """Nothing that leads to it is told to lead nowhere."""
    broken = f"---\n{fault}---\n"
    files = {"calf/raise": SOUND.replace("to: hop", "to: broken"), "calf/broken": broken}
    assert {line.split(":")[0] for line in told(sound_library(tmp_path, files))} == {"broken.md"}
