"""A library of random exercises with random loads, the same for the same seed.

Nothing in it makes sense to a clinician: it exists to make two programs that must agree meet
every case, ties and missing values included.
"""

from __future__ import annotations

import pathlib
import random
from typing import Any

import numpy as np

from builders.loads import demand, load
from rungbook.ladder.measure import measure
from rungbook.ladder.measured import MeasuredLibrary
from rungbook.load.result import PHASES, ExerciseLoad, JointCurve, KindsOfWork
from rungbook.model.exercise import Exercise
from rungbook.model.kind_of_work import KINDS, KindOfWork
from rungbook.model.ladder import Ladder
from rungbook.model.library import Library, Restriction, Settings, Term, Vocabulary
from rungbook.model.position import POSITIONS

ACTIONS = ("hip abduction", "knee extension", "ankle plantarflexion", "other-hip extension")
MOVES = (("hip", "abduction"), ("knee", "flexion"), ("ankle", "plantarflexion"), ("hip", "flexion"))
JOINTS = (
    "working hip flexion", "working hip abduction", "other hip flexion", "working knee flexion",
    "other knee flexion", "working ankle dorsiflexion", "lumbar flexion",
)  # fmt: skip
EQUIPMENT = ("band", "box", "counter", "sling")
CAUTIONS = ("clot", "fracture", "balance")


def _exercise(dice: random.Random, number: int, ids: list[str]) -> Exercise:
    joint, movement = dice.choice(MOVES)
    later = ids[number + 1 :]
    to = dice.sample(later, min(len(later), dice.choice((0, 1, 1, 2))))
    works = dice.sample(ACTIONS, dice.choice((1, 1, 1, 2)))
    written: dict[str, Any] = {
        "id": ids[number],
        "title": f"Exercise {ids[number]}",
        "sides": dice.choice(("one", "both")),
        "position": dice.choice(sorted(POSITIONS)[:5]),
        "works": works,
        "movement": ({joint: {movement: (0.0, float(dice.randrange(0, 120, 10)))}},),
        "dose": {
            "sets": 3,
            "reps": 10,
            "up": "2 s",
            "sessions": dice.choice(("3 per week", "1 per day")),
        },
        "equipment": tuple(dice.sample(EQUIPMENT, dice.choice((0, 0, 1, 2)))),
        "cautions": tuple(dice.sample(CAUTIONS, dice.choice((0, 1, 2)))),
        "progressions": tuple(
            {
                "to": one,
                "when": ("calm",),
                "after": dice.choice(("6 sessions", "10 days", "1 week")),
            }
            for one in to
        ),
    }
    return Exercise.model_validate(written)


def _load(dice: random.Random, exercise: Exercise) -> ExerciseLoad | None:
    if dice.random() < 0.06:
        return None
    nm = np.random.default_rng(dice.randrange(10**9))
    joints = {}
    for name in JOINTS:
        if dice.random() < 0.85:
            *side, joint, axis = name.split()
            at = nm.uniform(-40, 120, PHASES)
            which: Any = side[0] if side else None
            joints[name] = JointCurve(which, joint, axis, at, nm.uniform(-60, 80, PHASES))
    bare = dice.random() < 0.1
    shares = nm.dirichlet((1, 1, 1))
    found = load(
        exercise.id,
        {str(action): float(nm.uniform(0, 90)) for action in exercise.works} if not bare else None,
        works=str(exercise.works[0]),
        on=dict(dice.choice(((), (("hand", 0.2),), (("hands", 0.5), ("knee", 0.3))))),
        bearing=dice.choice((0.0, 0.5, 1.0, float(nm.uniform(0, 1)))),
        bearing_limb=dice.choice(("leg", "leg", "arm")),
        range_deg=float(dice.randrange(0, 120, 5)),
        lengthening_deg=float(nm.uniform(-20, 60)),
        peak_speed_deg_s=float(nm.uniform(0, 300)),
        stability=dice.randrange(5),
        impact=dice.choice(("none", "none", "both feet", "one foot")),
        time_under_tension_week_s=dice.choice((0.0, 540.0, float(nm.uniform(5, 900)))),
        volume_nms=float(nm.uniform(0, 20000)),
        withheld=dice.choice((None, None, None, "no statics")),
    )  # fmt: skip
    demands = {works: demand(works, one.peak_nm) for works, one in found.demands.items()}
    for one in demands.values():
        object.__setattr__(
            one,
            "contraction",
            dict(zip(("concentric", "eccentric", "held"), map(float, shares), strict=True)),
        )
    object.__setattr__(found, "joints", joints)
    object.__setattr__(found, "kinds", _kinds(dice, exercise))
    object.__setattr__(found, "demands", demands)
    return found


def _kinds(dice: random.Random, exercise: Exercise) -> KindsOfWork | None:
    if dice.random() < 0.1:
        return None
    named = [*map(str, exercise.works), "hip flexion", "other-hip extension", "shoulder flexion"]
    return {
        action: KindOfWork(dice.choice(KINDS), dice.random() < 0.2)
        for action in dict.fromkeys(named)
        if dice.random() < 0.7
    }


def random_library(seed: int, size: int = 40) -> MeasuredLibrary:
    """`size` exercises, three ladders, restrictions that some of them break."""
    dice = random.Random(seed)
    ids = [f"e{number:03d}" for number in range(size)]
    exercises = {key: _exercise(dice, number, ids) for number, key in enumerate(ids)}
    goals = dice.sample(ids[size // 2 :], 3)
    ladders = {
        f"ladder-{number}": Ladder.model_validate(
            {
                "id": f"ladder-{number}",
                "title": f"Ladder {number}",
                "goal": goal,
                "works": (works := dice.sample(ACTIONS, dice.choice((1, 1, 2)))),
                "standard": dice.choice(
                    (None, dice.choice(ids), {action: dice.choice(ids) for action in works})
                ),
                "entries": {"high": ids[number], "low": ids[number + 3]},
                "restrictions": dice.choice(((), ("hip-careful",))),
                "limits": dice.choice(({}, {"demand": 1.4}, {"range": "off"}, {"demand": "off"})),
            }
        )
        for number, goal in enumerate(goals)
    }
    vocabulary = Vocabulary(
        cautions={key: Term(title=key.capitalize()) for key in CAUTIONS},
        equipment={key: Term(title=key.capitalize()) for key in EQUIPMENT},
        restrictions={
            "hip-careful": Restriction.model_validate(
                {"title": "Careful hip", "never": ({"hip": {"flexion": "over 110"}},)}
            ),
            "half-weight": Restriction.model_validate(
                {"title": "Half weight", "rows": ({"bearing": "50 %"},)}
            ),
        },
    )
    library = Library(pathlib.Path("random"), Settings(), vocabulary, exercises, ladders)
    loads = {key: one for key, e in exercises.items() if (one := _load(dice, e)) is not None}
    return measure(library, loads)
