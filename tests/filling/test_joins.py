"""Steps of all pairs in arrays are the steps of `ladder.steps`."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from builders.loads import exercise, load
from rungbook.filling.joins import Judge, allowed_by_all, nodes, sizes
from rungbook.ladder.limits import limits_for
from rungbook.ladder.profile import profile
from rungbook.ladder.ruler import Aim
from rungbook.ladder.scale import Scale
from rungbook.model.library import Settings

LIMITS = limits_for(Settings())
OFF = limits_for(Settings(limits={"demand": "off", "lengthening": "off", "speed": "off"}))
numbers = st.integers(0, 60).map(lambda tenths: tenths / 2)
movements = st.sampled_from(
    [
        ({"shoulder": {"flexion": (0.0, 90.0)}},),
        ({"shoulder": {"flexion": (90.0, 0.0)}},),
        ({"shoulder": {"extension": (0.0, 30.0)}},),
        ({"shoulder": {"external-rotation": (0.0, 40.0)}},),
        (),
    ]
)


@st.composite
def profiles(draw, id: str):
    both = exercise(id, movement=draw(movements))
    return profile(
        both,
        load(
            id,
            draw(st.one_of(st.none(), numbers)),
            bearing=draw(numbers) / 30,
            bearing_limb=draw(st.sampled_from(["leg", "arm"])),
            impact=draw(st.sampled_from(["none", "both feet", "one foot"])),
            range_deg=draw(numbers) * 3,
            lengthening_deg=draw(numbers) * 2,
            peak_speed_deg_s=draw(numbers) * 10,
            stability=draw(st.integers(0, 4)),
            time_under_tension_week_s=draw(numbers) * 20,
        ),
    )


@given(
    st.lists(profiles("e"), min_size=2, max_size=5),
    st.one_of(st.none(), numbers),
    st.sampled_from([LIMITS, OFF]),
    st.one_of(st.none(), numbers),
)
@settings(max_examples=150, deadline=None)
def test_a_pair_in_arrays_is_the_step_between_the_two(found, standard, limits, start):
    goal = found[-1]
    scale = Scale({action: 1 + standard for action in goal.works} if standard else {}, 1.5)
    prepared = {action: start for action in goal.works} if start else {}
    judge = Judge(limits, Aim.of(goal), scale if limits is LIMITS else None, prepared)
    rows = np.arange(len(found))
    size, allowed = sizes(nodes(found, [judge], goal), rows[:, None], rows[None, :], [judge])
    for a in rows:
        for b in rows:
            step = judge.step(found[a], found[b])
            assert abs(size[a, b] - step.size) < 1e-6
            assert allowed[a, b] == allowed_by_all(found[a], found[b], [judge])
