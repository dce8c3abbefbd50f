"""The reference of words says everything the format has, and nothing that it has not."""

from __future__ import annotations

import pytest

from rungbook.load.format_words import KINDS, sentences
from rungbook.model.body_point import MIDLINE_POINTS, SIDED_POINTS
from rungbook.model.movement import MOVEMENTS, ROOM_ANGLES
from rungbook.model.position import POSITIONS
from rungbook.reading.schema import descriptions


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("positions", POSITIONS),
        ("joints", (*MOVEMENTS, *ROOM_ANGLES)),
        ("points", (*MIDLINE_POINTS, *SIDED_POINTS)),
    ],
)
def test_every_word_has_its_row_and_its_sentence(kind: str, words: tuple[str, ...]) -> None:
    (table,) = KINDS[kind]()
    assert [row[0] for row in table.rows] == list(words)
    assert set(sentences()[kind]) == set(words)
    assert all(len(row) == len(table.headings) and row[1] for row in table.rows)


def test_every_record_says_where_it_is_written_and_every_key_what_it_means() -> None:
    tables = {table.title: table for table in KINDS["fields"]()}
    assert tables.keys() == descriptions().keys() == sentences()["records"].keys()
    dose = {key: example for key, _, example in tables["Dose"].rows}
    assert (dose["hold"], dose["sessions"], dose["up"]) == ("30 s", "3 per week", "30 s")


def test_zeros_and_usual_ranges_are_those_of_goniometry() -> None:
    """American Academy of Orthopaedic Surgeons, Joint Motion, 1965 (from memory): the forearm
    counts from thumb up, the elbow from straight; elbow flexion 150°, pronation 80°."""
    (table,) = KINDS["joints"]()
    rows = {joint: (zero, movements) for joint, zero, movements in table.rows}
    assert "thumb up" in rows["forearm"][0]
    assert "pronation 80°" in rows["forearm"][1]
    assert "straight" in rows["elbow"][0]
    assert "flexion 150°" in rows["elbow"][1]


def test_a_position_says_what_it_rests_on_and_the_angles_it_brings() -> None:
    """What positions.yml has: sitting on seat and feet, hips and knees at a right angle."""
    (table,) = KINDS["positions"]()
    _, _, rests, angles, _ = next(row for row in table.rows if row[0] == "sitting")
    assert rests == "seat, foot, other-foot"
    assert {"hip flexion 90°", "knee flexion 90°", "forearm pronation 30°"} <= set(
        angles.split(", ")
    )
