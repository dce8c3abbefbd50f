"""The names that reading checks are those that the body layer has data for."""

from rungbook.body.segments import data
from rungbook.model.body_point import BODY_POINTS
from rungbook.model.movement import MOVEMENTS, ROOM_ANGLES, Action
from rungbook.model.position import POSITIONS


def test_every_position_has_its_data() -> None:
    assert set(data("positions.yml")) == set(POSITIONS)


def test_every_body_point_has_its_data() -> None:
    assert set(BODY_POINTS) <= set(data("points.yml"))


def test_opposite_movements_turn_about_one_axis() -> None:
    # Names and axes of the ISB recommendations (Wu et al. 2002 and 2005; from memory).
    for joint, one, other in [
        ("hip", "flexion", "extension"),
        ("hip", "abduction", "adduction"),
        ("hip", "external-rotation", "internal-rotation"),
        ("ankle", "dorsiflexion", "plantarflexion"),
        ("ankle", "inversion", "eversion"),
        ("shoulder", "abduction", "adduction"),
        ("forearm", "pronation", "supination"),
    ]:
        a, b = Action(joint, one), Action(joint, other)
        assert (a.axis, a.sign) == (b.axis, -b.sign)


def test_nothing_is_a_joint_and_an_angle_in_the_room() -> None:
    assert not MOVEMENTS.keys() & ROOM_ANGLES.keys()
