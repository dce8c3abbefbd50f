"""Segment tables and the skeleton they lie on."""

from __future__ import annotations

import numpy as np
import pytest

from rungbook.body.joints import SEGMENT, SEGMENTS
from rungbook.body.segments import UnknownTable, joint_offsets, segment_table, table_names


@pytest.mark.parametrize("name", ["female", "male", "winter"])
def test_masses_sum_to_the_body(name: str) -> None:
    table = segment_table(name)
    assert table.mass.sum() == pytest.approx(1.0, abs=1e-12)
    assert np.all(
        table.mass[[s for s, part in enumerate(SEGMENTS) if not part.startswith("toes")]] > 0
    )


def test_published_fractions_are_those_of_the_tables() -> None:
    # de Leva 1996, male: thigh .1416, shank .0433, foot .0137; Winter: thigh .100, leg .0465.
    male, winter = segment_table("male").mass, segment_table("winter").mass
    assert male[SEGMENT["thigh_right"]] == pytest.approx(0.1416, rel=1e-3)
    assert male[SEGMENT["shank_left"]] == pytest.approx(0.0433, rel=1e-3)
    assert male[SEGMENT["foot_left"]] == pytest.approx(0.0137, rel=1e-3)
    assert winter[SEGMENT["thigh_left"]] == pytest.approx(0.100, rel=1e-3)
    assert winter[SEGMENT["shank_right"]] == pytest.approx(0.0465, rel=1e-3)


def test_both_sides_are_mirror_images() -> None:
    offsets = joint_offsets()
    for part in ("thigh", "shank", "foot", "toes", "upper_arm", "forearm", "hand"):
        right, left = offsets[SEGMENT[f"{part}_right"]], offsets[SEGMENT[f"{part}_left"]]
        assert left == pytest.approx(right * [1, -1, 1])


def test_the_hips_lie_about_a_twentieth_of_stature_from_the_middle() -> None:
    # Bell et al. 1989: 14 % of the spine distance medial to each spine; Harrington et al. 2007:
    # 0.33 of it and 7.3 mm. With 0.24 m between the spines and 1.70 m (from memory).
    bell, harrington = (0.5 - 0.14) * 0.24 / 1.70, (0.33 * 0.24 + 0.0073) / 1.70
    hip = abs(joint_offsets()[SEGMENT["thigh_right"], 1])
    assert hip == pytest.approx(bell, rel=0.03)
    assert hip == pytest.approx(harrington, rel=0.03)


def test_an_unknown_table_names_those_there_are() -> None:
    with pytest.raises(UnknownTable, match="female, male, winter"):
        segment_table("robot")
    assert table_names() == ("female", "male", "winter")
