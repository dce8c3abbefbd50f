"""Worked examples of textbooks, with their published answers.

The moment is the engine's; a published muscle force follows from it by the lever that the example
gives. OpenStax texts are CC BY 4.0 (OpenStax College Physics 2e, section 9.6; University Physics
volume 1, section 12.2) and use g = 9.80 m/s².
"""

from __future__ import annotations

import math
from typing import ClassVar

import numpy as np
import pytest

from builders.corners import on_corners
from builders.poses import hung, moment, posed
from rungbook.body.joints import SEGMENT, SEGMENTS
from rungbook.body.kinematics import Pose
from rungbook.body.segments import landmark, segment_table
from rungbook.body.statics import Wrench

G = 9.80


def down(newtons: float) -> tuple[float, float, float]:
    return (0.0, 0.0, -newtons)


def pushes(places: list[float], weight: float, at: float) -> list[float]:
    """Vertical forces at places along a line that carry a weight."""
    load = [0, 0, -weight, 0, weight * at, 0]
    solved = on_corners([[place, 0, 0] for place in places], load)
    assert np.abs(solved.rest).max() < 1e-9
    return [float(size) for size in solved.force[0, :, 0]]


def test_a_book_in_the_hand_takes_a_biceps_force_of_470_newtons() -> None:
    # OpenStax College Physics 2e, 9.6, example on muscles that exert bigger forces.
    pose = posed(right_elbow_flexion=90)
    arm = hung(
        pose,
        ("forearm_right", (0, 0, -0.160), down(2.50 * G)),
        ("forearm_right", (0, 0, -0.380), down(4.00 * G)),
    )
    elbow = moment(pose, arm, "right", "elbow", "flexion")
    assert elbow == pytest.approx(18.816, abs=1e-9)  # arithmetic from the book's numbers
    assert elbow / 0.0400 == pytest.approx(470, abs=0.5)
    assert elbow / 0.0400 / (6.50 * G) == pytest.approx(7.38, abs=0.01)
    assert elbow / 0.0400 - 6.50 * G == pytest.approx(407, abs=0.5)


def test_a_forearm_30_degrees_below_level_takes_less() -> None:
    # The same section, exercise with the elbow at 120 degrees: 407 N (answer from a solution site).
    pose = posed(right_elbow_flexion=60)
    arm = hung(
        pose,
        ("forearm_right", (0, 0, -0.160), down(2.50 * G)),
        ("forearm_right", (0, 0, -0.380), down(4.00 * G)),
    )
    elbow = moment(pose, arm, "right", "elbow", "flexion")
    assert elbow == pytest.approx(16.295, abs=5e-4)
    assert elbow / 0.0400 == pytest.approx(407, abs=0.5)


def test_lifting_with_the_back_takes_4200_newtons() -> None:
    # The same section, example on lifting: trunk level, 55 kg at 0.35 m, box of 30 kg at 0.50 m.
    pose = posed(root_pitch=90)
    # Places are measured from the lumbar joint; the load hangs on the thorax.
    offset = pose.origin[SEGMENT["thorax"], 0, 0] - pose.origin[SEGMENT["abdomen"], 0, 0]
    trunk = hung(
        pose,
        ("thorax", (0, 0, 0.350 - offset), down(55.0 * G)),
        ("thorax", (0, 0, 0.500 - offset), down(30.0 * G)),
    )
    lumbar = -moment(pose, trunk, "mid", "lumbar", "flexion")
    assert lumbar == pytest.approx(335.65, abs=0.01)
    assert lumbar / 0.0800 == pytest.approx(4.20e3, rel=2e-3)
    muscle, angle = lumbar / 0.0800, math.radians(29.0)
    across, along = 85.0 * G + muscle * math.sin(angle), muscle * math.cos(angle)
    assert across == pytest.approx(2.87e3, rel=3e-3)
    assert along == pytest.approx(3.67e3, rel=3e-3)
    assert math.hypot(across, along) == pytest.approx(4.66e3, rel=3e-3)


def test_a_press_up_puts_294_newtons_on_the_hands() -> None:
    # The same section, press-up problem: 50.0 kg, 0.90 m and 1.50 m from the feet.
    feet, hands = pushes([0.0, 1.50], 50.0 * G, 0.90)
    assert hands == pytest.approx(294, abs=0.5)
    assert hands / (50.0 * G) == pytest.approx(0.600, abs=1e-9)
    assert feet == pytest.approx(196, abs=0.5)
    # Hand 0.200 m from the elbow, level; lever of the triceps 0.0175 m: 1680 N.
    pose = posed(right_elbow_flexion=90)
    push = hung(pose, ("forearm_right", (0, 0, -0.200), (0, 0, hands / 2)))
    elbow = -moment(pose, push, "right", "elbow", "flexion")
    assert elbow == pytest.approx(29.4, abs=1e-6)
    assert elbow / 0.0175 == pytest.approx(1680, abs=1)


def test_standing_on_the_toes_of_one_foot_takes_2210_newtons() -> None:
    # The same section: 75 kg on one foot, Achilles tendon 4.0 cm behind and floor 12 cm in front.
    pose = posed()
    floor = hung(pose, ("foot_right", (0.12, 0, -0.05), (0, 0, 75 * G)))
    ankle = -moment(pose, floor, "right", "ankle", "dorsiflexion")
    assert ankle == pytest.approx(88.2, abs=1e-9)
    assert ankle / 0.040 == pytest.approx(2.21e3, rel=3e-3)
    assert ankle / 0.040 + 75 * G == pytest.approx(2.94e3, rel=3e-3)


def test_a_head_held_erect_takes_25_newtons() -> None:
    # The same section: head of 50 N, 2.5 cm in front; muscle 5.0 cm behind.
    pose = posed()
    neck = -moment(pose, hung(pose, ("head", (0.025, 0, 0.1), down(50))), "mid", "neck", "flexion")
    assert neck == pytest.approx(1.25, abs=1e-9)
    assert neck / 0.050 == pytest.approx(25, abs=1e-9)
    assert neck / 0.050 + 50 == pytest.approx(75, abs=1e-9)


@pytest.mark.parametrize(("forearm_n", "tension"), [(0.0, 1927.0), (8.896, 1963.0)])
def test_a_weight_of_50_pounds_takes_1927_newtons(forearm_n: float, tension: float) -> None:
    # OpenStax University Physics volume 1, 12.2: 222.4 N at 13.0 in, muscle at 1.5 in, vertical;
    # forearm at 60 degrees to the upright upper arm. The second answer is printed 0.15 % low.
    inch = 0.0254
    pose = posed(right_elbow_flexion=180 - 60)
    arm = hung(
        pose,
        ("forearm_right", (0, 0, -13.0 * inch), down(222.4)),
        ("forearm_right", (0, 0, -6.5 * inch), down(forearm_n)),
    )
    elbow = moment(pose, arm, "right", "elbow", "flexion")
    assert elbow / (1.5 * inch * math.sin(math.radians(60))) == pytest.approx(tension, rel=5e-3)


@pytest.mark.parametrize(("flexion", "published"), [(90.0, 21.56), (120.0, 18.67)])
def test_a_vertical_muscle_needs_539_newtons_at_any_angle(flexion: float, published: float) -> None:
    # The same chapter, end problem: 3.0 kg at 15.0 cm, 5.0 kg at 35 cm, muscle at 4 cm: 539 N.
    pose = posed(right_elbow_flexion=flexion)
    arm = hung(
        pose,
        ("forearm_right", (0, 0, -0.15), down(3.0 * G)),
        ("forearm_right", (0, 0, -0.35), down(5.0 * G)),
    )
    elbow = moment(pose, arm, "right", "elbow", "flexion")
    assert elbow == pytest.approx(published, abs=0.006)
    lever = 0.04 * abs(math.sin(math.radians(flexion)))
    assert elbow / lever == pytest.approx(539, abs=0.5)


def test_a_deltoid_holds_the_arm_out_with_about_250_newtons() -> None:
    # A problem in the manner of Giancoli's textbook (seen in a forum): arm of 3.3 kg at 24 cm,
    # deltoid at 12 cm and 15 degrees.
    pose = posed(right_shoulder_abduction=90)
    arm = hung(pose, ("upper_arm_right", (0, 0, -0.24), down(3.3 * G)))
    shoulder = moment(pose, arm, "right", "shoulder", "abduction")
    assert shoulder == pytest.approx(7.762, abs=1e-3)
    assert shoulder / (0.12 * math.sin(math.radians(15))) == pytest.approx(250, rel=0.01)


@pytest.mark.parametrize(
    ("below_level", "moment_nm"), [(0, 60.0), (30, 51.96), (60, 30.0), (90, 0.0)]
)
def test_a_weight_boot_falls_with_the_cosine(below_level: float, moment_nm: float) -> None:
    # Problem in the manner of Özkaya and Nordin: 50 N at 20 cm and 100 N at 50 cm; arithmetic.
    pose = posed(right_hip_flexion=90, right_knee_flexion=below_level)
    leg = hung(
        pose,
        ("shank_right", (0, 0, -0.20), down(50)),
        ("shank_right", (0, 0, -0.50), down(100)),
    )
    knee = -moment(pose, leg, "right", "knee", "flexion")
    assert knee == pytest.approx(moment_nm, abs=0.005)


@pytest.mark.parametrize(
    ("below_level", "moment_nm"), [(0, 19.6), (30, 16.97), (60, 9.8), (90, 0.0)]
)
def test_an_ankle_weight_falls_with_the_cosine(below_level: float, moment_nm: float) -> None:
    # Textbook question: 5 kg at 40 cm, four positions; arithmetic.
    pose = posed(right_hip_flexion=90, right_knee_flexion=below_level)
    knee = -moment(
        pose, hung(pose, ("shank_right", (0, 0, -0.40), down(5 * G))), "right", "knee", "flexion"
    )
    assert knee == pytest.approx(moment_nm, abs=0.005)


def test_the_ball_of_one_foot_takes_1400_newtons() -> None:
    # Giancoli: 72 kg on the ball of one foot, twice as far from the joint as the tendon:
    # tendon 1400 N, joint 2100 N.
    pose = posed()
    ankle = -moment(
        pose,
        hung(pose, ("foot_right", (0.10, 0, -0.05), (0, 0, 72 * G))),
        "right",
        "ankle",
        "dorsiflexion",
    )
    assert ankle / 0.05 == pytest.approx(1400, rel=0.01)
    assert ankle / 0.05 + 72 * G == pytest.approx(2100, rel=0.01)


def test_a_calf_on_the_curb_takes_1715_newtons() -> None:
    # Textbook problem (seen second-hand): 70 kg, 15.0 cm in front, 6.0 cm behind: 1715 N, 2401 N.
    pose = posed()
    ankle = -moment(
        pose,
        hung(pose, ("foot_right", (0.15, 0, -0.05), (0, 0, 70 * G))),
        "right",
        "ankle",
        "dorsiflexion",
    )
    assert ankle == pytest.approx(102.9, abs=1e-9)
    assert ankle / 0.06 == pytest.approx(1715, abs=0.5)
    assert ankle / 0.06 + 70 * G == pytest.approx(2401, abs=0.5)


class TestPublishedSegmentChain:
    """BMClab, notebook on body segment parameters (CC BY 4.0): a leg of a person of 100 kg.

    Joints (m): second metatarsal (1.011, 0.013), ankle (0.849, 0.110), knee (0.864, 0.549),
    hip (0.721, 0.928); Dempster's parameters as in Winter.
    """

    joints: ClassVar[dict[str, tuple[float, float]]] = {
        "hip": (0.721, 0.928), "knee": (0.864, 0.549),
        "ankle": (0.849, 0.110), "ball": (1.011, 0.013),
    }  # fmt: skip
    parts = (
        ("thigh", "hip", "knee"), ("shank", "knee", "ankle"), ("foot", "ankle", "ball"),
    )  # fmt: skip

    def mass(self, part: str) -> float:
        return 100.0 * segment_table("winter").mass[SEGMENT[f"{part}_right"]]

    def centre(self, part: str, start: str, end: str) -> np.ndarray:
        one, two = np.array(self.joints[start]), np.array(self.joints[end])
        return one + self.fraction(part) * (two - one)

    def fraction(self, part: str) -> float:
        """Where the table puts the centre of mass between the segment's ends."""
        ends = {
            "thigh": ("hip", "knee"),
            "shank": ("shank top", "ankle"),
            "foot": ("foot ankle", "ball"),
        }
        start, end = (landmark(name) for name in ends[part])
        centre = segment_table("winter").centre[SEGMENT[f"{part}_right"]]
        return float(np.linalg.norm(centre - start) / np.linalg.norm(end - start))

    def test_centres_of_mass(self) -> None:
        published = {"foot": (0.930, 0.062), "shank": (0.858, 0.359), "thigh": (0.783, 0.764)}
        for part, start, end in self.parts:
            assert self.centre(part, start, end) == pytest.approx(published[part], abs=1e-3)
        total = sum(self.mass(part) for part, *_ in self.parts)
        limb = sum(self.mass(part) * self.centre(part, *ends) for part, *ends in self.parts) / total
        assert limb == pytest.approx((0.818, 0.584), abs=1e-3)

    def test_moments_of_inertia(self) -> None:
        published = {"foot": 0.012, "shank": 0.082, "thigh": 0.171}
        about_hip = 0.0
        for part, start, end in self.parts:
            ends = {
                "thigh": ("hip", "knee"),
                "shank": ("shank top", "ankle"),
                "foot": ("foot ankle", "ball"),
            }
            low, high = (landmark(name) for name in ends[part])
            gyration = segment_table("winter").gyration[SEGMENT[f"{part}_right"]]
            share = np.linalg.norm(gyration) / np.linalg.norm(high - low)
            length = math.dist(self.joints[start], self.joints[end])
            own = self.mass(part) * (share * length) ** 2
            assert own == pytest.approx(published[part], abs=1e-3)
            away = math.dist(self.centre(part, start, end), self.joints["hip"])
            about_hip += own + self.mass(part) * away**2
        assert about_hip == pytest.approx(3.317, abs=2e-3)

    def test_gravity_moments_about_hip_and_knee(self) -> None:
        # Arithmetic from the published centres with g = 9.81: 15.27 N·m and 0.64 N·m.
        origin = np.zeros((len(SEGMENTS), 3, 1))
        for segment, joint in (("thigh", "hip"), ("shank", "knee"), ("foot", "ankle")):
            x, z = self.joints[joint]
            origin[SEGMENT[f"{segment}_right"], :, 0] = (x, 0, z)
        upright = posed()
        pose = Pose(upright.turn, origin, upright.axis)
        wrench = Wrench.zero(1)
        for part, start, end in self.parts:
            x, z = self.centre(part, start, end)
            place = np.array([[x], [0], [z]])
            force = np.array([[0], [0], [-9.81 * self.mass(part)]])
            wrench.add_at(SEGMENT[f"{part}_right"], slice(0, 1), place, force)
        assert moment(pose, wrench, "right", "hip", "flexion") == pytest.approx(15.27, abs=0.02)
        assert abs(moment(pose, wrench, "right", "knee", "flexion")) == pytest.approx(
            0.64, abs=0.02
        )
