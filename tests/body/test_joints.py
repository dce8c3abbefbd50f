"""Which way the joints' angles turn, worked by hand in the room."""

from __future__ import annotations

import numpy as np
import pytest

from builders.poses import load_of, posed
from rungbook.body.joints import SEGMENT

PALM, THUMB = (
    np.array([1.0, 0, 0]),
    np.array([0, -1.0, 0]),
)  # of a right hand, hanging, palm forward


@pytest.mark.parametrize(
    ("pronation", "palm", "thumb"),
    # American Academy of Orthopaedic Surgeons 1965 (from memory): elbow at a right angle, zero with
    # the thumb up; pronation turns the palm down, supination up.
    [(0, (0, 1, 0), (0, 0, 1)), (90, (0, 0, -1), (0, 1, 0)), (-90, (0, 0, 1), (0, -1, 0))],
)
def test_a_forearm_counts_from_thumb_up(
    pronation: float, palm: tuple[float, ...], thumb: tuple[float, ...]
) -> None:
    pose = posed(right_elbow_flexion=90, right_forearm_pronation=pronation)
    turn = pose.turn[SEGMENT["hand_right"], :, :, 0]
    assert turn @ PALM == pytest.approx(palm, abs=1e-12)
    assert turn @ THUMB == pytest.approx(thumb, abs=1e-12)


def test_the_left_hand_is_the_mirror_image() -> None:
    pose = posed(left_elbow_flexion=90, left_forearm_pronation=90)
    assert pose.turn[SEGMENT["hand_left"], :, :, 0] @ PALM == pytest.approx((0, 0, -1), abs=1e-12)


@pytest.mark.parametrize(("pronation", "acting"), [(80, "extension"), (-80, "flexion")])
def test_a_palm_that_looks_down_is_held_by_the_wrist_extensors(
    pronation: float, acting: str
) -> None:
    other = {"extension": "flexion", "flexion": "extension"}[acting]
    hand = {
        "sides": "one", "position": "sitting",
        "posture": {"elbow": {"flexion": 90}, "shoulder": {"flexion": 0},
                    "forearm": {"pronation": pronation}},
        "movement": [{"wrist": {"flexion": [0, 0]}}],
        "resistance": [{"weight": "1 kg", "at": "hand"}],
    }  # fmt: skip
    # Hand and weight 0.043 of stature from the wrist: 9.81 · (1 + 0.4) · 0.073 is about 1 N·m.
    assert load_of(**hand, works=f"wrist {acting}").demand_nm == pytest.approx(1.0, abs=0.15)
    assert load_of(**hand, works=f"wrist {other}").demand_nm == 0.0
