from __future__ import annotations

import pathlib

import pytest

from builders.findings import found

PLANK = """[exercises/side/plank.md]
title: Side plank on the knees
position: side-plank
pictures: [{file: plank.jpg, alt: On the knees}]
---
## Do
Knees bent.
## For the patient
Bend your knees.
## For the patient (de)
Knie beugen.
[pictures/plank.jpg]
[exercises/side/feet.md]
title: Side plank on the feet
variation-of: plank
"""


def told(root: pathlib.Path, written: str) -> list[str]:
    return [one.message.split(": ")[0] for one in found(root, "words-inherited", written)]


ALL = "feet is done otherwise than plank and takes over its Do and For the patient and For the patient (de) and pictures"


@pytest.mark.parametrize(
    "own",
    [
        "posture: {knee: {flexion: 0}}",
        "position: plank",
        "contacts: [{at: feet, surface: floor}]",
        "resistance: [{weight: 2 kg, at: hand}]",
        "movement: [{hip: {abduction: [0, 20]}}]\nsides: one\nworks: hip abduction",
        "incline: 20",
    ],
)
def test_a_variation_that_is_done_otherwise_needs_words_of_its_own(
    tmp_path: pathlib.Path, own: str
) -> None:
    assert told(tmp_path, f"{PLANK}{own}\n") == [ALL]


def test_a_variation_that_is_done_the_same_way_needs_none(tmp_path: pathlib.Path) -> None:
    assert told(tmp_path, f"{PLANK}dose: {{sets: 2}}\n") == []


def test_confirmed_words_stand(tmp_path: pathlib.Path) -> None:
    assert told(tmp_path, f"{PLANK}posture: {{knee: {{flexion: 0}}}}\nwords-checked: true\n") == []


def test_what_it_writes_itself_is_not_told(tmp_path: pathlib.Path) -> None:
    own = "posture: {knee: {flexion: 0}}\npictures: []\n---\n## Do\nStraight.\n## For the patient\nStraight."
    (message,) = told(tmp_path, PLANK + own)
    assert message.endswith("takes over its For the patient (de)")


def test_words_stay_foreign_down_a_chain_until_somebody_writes_or_checks_them(
    tmp_path: pathlib.Path,
) -> None:
    chain = (
        f"{PLANK}posture: {{knee: {{flexion: 0}}}}\n"
        "[exercises/side/feet-long.md]\ntitle: Longer\nvariation-of: feet\ndose: {hold: 60 s}\n"
        "[exercises/side/feet-own.md]\ntitle: Own\nvariation-of: feet\nwords-checked: true\n"
        "[exercises/side/feet-last.md]\ntitle: Last\nvariation-of: feet-own\ndose: {hold: 60 s}\n"
    )
    assert {message.split()[0] for message in told(tmp_path, chain)} == {"feet", "feet-long"}


def test_confirming_is_nobody_elses(tmp_path: pathlib.Path) -> None:
    """A variation of a confirmed one that moves otherwise again is to be read again."""
    chain = (
        f"{PLANK}posture: {{knee: {{flexion: 0}}}}\nwords-checked: true\n"
        "[exercises/side/high.md]\ntitle: High\nvariation-of: feet\nincline: 10\n"
    )
    assert [message.split()[0] for message in told(tmp_path, chain)] == ["high"]
